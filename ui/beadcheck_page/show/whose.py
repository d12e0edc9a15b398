"""Which photos a record stands for: one, the photos of a pair, or all of the coupon's."""

from collections.abc import Iterable, Mapping
from typing import Final, TypeVar

from beadcheck.photo import PhotoKind
from beadcheck.result import CheckRecord, NotMeasuredRecord, QuantityRecord, Result
from beadcheck_page.show.markup import listed

Record = TypeVar("Record", QuantityRecord, CheckRecord)
Whose = tuple[int, ...]
"""Indices into the photos; empty for the coupon as a whole, and for its settings."""


def whose(record: QuantityRecord | CheckRecord | NotMeasuredRecord) -> Whose:
    """Photos that a record stands for."""
    if isinstance(record, QuantityRecord) and record.scope == "coupon":
        return ()
    return record.photos if record.photo is None else (record.photo,)


MOST_NAMED: Final = 4
"""Photos that a heading names one by one."""


def grouped(records: Iterable[Record]) -> Mapping[Whose, list[Record]]:
    """Records by the photos that they stand for, in the photos' order, the coupon last."""
    groups: dict[Whose, list[Record]] = {}
    for record in records:
        groups.setdefault(whose(record), []).append(record)
    return {key: groups[key] for key in sorted(groups, key=lambda key: (not key, key))}


def whose_words(key: Whose, result: Result) -> str:
    """Names of those photos, as plain text."""
    if not key:
        return "the coupon"
    if len(key) > MOST_NAMED:
        return f"the coupon, from {len(key)} photos"
    together = " together" if len(key) > 1 else ""
    return listed(result.photos[photo].file for photo in key) + together


def heading_words(key: Whose, result: Result) -> str:
    """Return the same as a heading."""
    return whose_words(key, result).replace("the coupon", "The coupon", 1)


def parted(
    groups: Mapping[Whose, list[Record]], result: Result
) -> tuple[Mapping[Whose, list[Record]], Mapping[Whose, list[Record]]]:
    """Part the groups into what is shown, and what only repeats it photo by photo.

    Where several photos from above were joined to one weld, the whole weld's records say it all.
    """
    if result.whole_weld is None:
        return groups, {}
    joined: Mapping[Whose, list[Record]] = {
        key: records
        for key, records in groups.items()
        if len(key) == 1 and result.photos[key[0]].kind == PhotoKind.FACE
    }
    return {key: records for key, records in groups.items() if key not in joined}, joined
