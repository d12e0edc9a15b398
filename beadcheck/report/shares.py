"""Lengths of a photo without a target, each beside its share of the mean."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from beadcheck.report.wording import percent_words
from beadcheck.result import QuantityRecord
from beadcheck.units import Unit

WHOLES: Final = {"toe_waviness": "the weld width"}
"""What a share is of, where it is not the mean of the same quantity."""


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
    records = list(quantities)
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


def _which(quantity: QuantityRecord) -> tuple[str, str, str | None, int | None]:
    return quantity.name, quantity.statistic, quantity.side, quantity.photo
