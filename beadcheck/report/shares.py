"""Lengths of a photo without a target, each beside its share of the mean."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.report.wording import percent_words
from beadcheck.result import QuantityRecord
from beadcheck.units import Unit

WHOLES: Final = {"toe_waviness": "the weld width"}
"""What a share is of, where it is not the mean of the same quantity."""


ONE_READING: Final = "one section"
"""Statistic of a value that rests on one reading: mean, least and largest are the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueRow:
    """One value as people read it; `share` is the same length as a share of the mean, or None."""

    quantity: QuantityRecord
    share: QuantityRecord | None

    @property
    def share_parts(self) -> tuple[str, ...]:
        """The share with its U, and what it is a share of; empty where there is none."""
        if self.share is None:
            return ()
        words = percent_words(self.share.value, self.share.expanded_uncertainty, decimals=1)
        return words, f"of {WHOLES.get(self.share.name, 'the mean')}"

    @property
    def share_words(self) -> str:
        """Both parts in one line."""
        return " ".join(self.share_parts)


def value_rows(quantities: Iterable[QuantityRecord]) -> list[ValueRow]:
    """Put every quantity into a row; a share goes into the row of its length."""
    records = _without_repeats(quantities)
    lengths = {_which(each) for each in records if each.unit == Unit.PX}
    shares = {
        _which(each): each
        for each in records
        if each.unit == Unit.RATIO and _which(each) in lengths
    }
    return [
        ValueRow(quantity=each, share=shares.get(_which(each)) if each.unit == Unit.PX else None)
        for each in records
        if each is not shares.get(_which(each))
    ]


def _without_repeats(quantities: Iterable[QuantityRecord]) -> list[QuantityRecord]:
    """Records without those that one reading alone repeats as mean, least and largest."""
    kept: dict[object, QuantityRecord] = {}
    for each in quantities:
        alone = (
            (each.name, each.side, each.photo, each.photos, each.value) if each.count == 1 else None
        )
        key = (each.unit, *_which(each)) if alone is None else alone
        kept[key] = replace(each, statistic=ONE_READING) if key in kept else each
    return list(kept.values())


def _which(quantity: QuantityRecord) -> tuple[str, str, str | None, int | None, tuple[int, ...]]:
    return (
        quantity.name,
        quantity.statistic,
        quantity.side,
        quantity.photo,
        quantity.photos,
    )
