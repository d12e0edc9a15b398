"""Photos in which no target was seen: the page offers to measure them without one."""

from typing import Final

from beadcheck.errors.target import NoMarkerError
from beadcheck.photo import PhotoKind
from beadcheck.result import PhotoRecord
from beadcheck_page.orders import Outcome

WITHOUT_TARGET_HELPS: Final = frozenset({NoMarkerError.code})
"""Refusals of photos that may show no target at all."""


def shows_no_target(record: PhotoRecord) -> bool:
    """Tell whether a photo from above was refused because no target was seen in it."""
    codes = {problem.code for problem in record.problems}
    from_above = record.kind == PhotoKind.FACE
    return from_above and not record.usable and not WITHOUT_TARGET_HELPS.isdisjoint(codes)


def keys_without_target(outcome: Outcome | None) -> frozenset[str]:
    """Keys of the photos in which no target was seen."""
    if outcome is None:
        return frozenset()
    pairs = zip(outcome.photos, outcome.result.photos, strict=True)
    return frozenset(photo.key for photo, record in pairs if shows_no_target(record))
