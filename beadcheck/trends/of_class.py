"""A class at one look: each person's welds in one line, and who is getting steadier."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from beadcheck.log import SummaryRow
from beadcheck.trends.trend import MOST_ON_A_SIDE


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One person's welds, in the values' unit.

    Attributes
    ----------
    first, latest
        Means of the first and of the last welds, no more than half of all and than
        `MOST_ON_A_SIDE` each; of one weld alone both are its value.
    """

    person: str
    welds: int
    last_at: datetime
    mean: float
    first: float
    latest: float

    @property
    def difference(self) -> float:
        """Latest less first."""
        return self.latest - self.first


def of_class(rows: Iterable[SummaryRow]) -> tuple[Member, ...]:
    """Return a line for each person, by name."""
    welds: dict[str, list[SummaryRow]] = {}
    for row in rows:
        welds.setdefault(row.person, []).append(row)
    return tuple(_member(person, own) for person, own in sorted(welds.items()))


def _member(person: str, rows: list[SummaryRow]) -> Member:
    values = np.array([row.value for row in rows])
    part = max(1, min(values.size // 2, MOST_ON_A_SIDE))
    return Member(
        person=person,
        welds=values.size,
        last_at=rows[-1].measured_at,
        mean=float(values.mean()),
        first=float(values[:part].mean()),
        latest=float(values[-part:].mean()),
    )
