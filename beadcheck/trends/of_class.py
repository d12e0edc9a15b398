"""A class at one look: each person's welds in one line, who is getting steadier, and the weeks."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.log import ClassValues, SummaryRow
from beadcheck.trends.trend import MOST_ON_A_SIDE
from beadcheck.trends.within import MOST_WELDS

WEEK_DAYS: Final = 7


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

    @property
    def share_words(self) -> str:
        """That, as a share of the first; "" of one weld alone, and where the first is nothing.

        Examples
        --------
        >>> when = datetime(2026, 3, 2)
        >>> member = Member(
        ...     person="Tern", welds=9, last_at=when, mean=0.5, first=0.6, latest=0.45
        ... )
        >>> member.share_words
        '-25 %'
        """
        if self.welds < 2 or not self.first:
            return ""
        percent = round(100.0 * self.difference / self.first)
        return f"{percent:+d} %" if percent else "0 %"


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """What was measured within a week, in the values' unit; `first_day` is a Monday, UTC."""

    first_day: date
    count: int
    people: int
    mean: float
    least: float
    greatest: float


def latest_numbers(values: ClassValues) -> list[int]:
    """Numbers of the latest measurements of each person, for all that is looked at closely."""
    return [
        number
        for own in _by_person(values).values()
        for number in values.measurements[own[-MOST_WELDS:]].tolist()
    ]


def of_class(values: ClassValues, latest: Iterable[SummaryRow]) -> tuple[Member, ...]:
    """Return a line for each person, by name.

    Parameters
    ----------
    latest
        Of each person the latest weld at least, oldest first.
    """
    last_at = {row.person: row.measured_at for row in latest}
    members = []
    for number, own in _by_person(values).items():
        name, welds = values.names[number], values.values[own]
        if name not in last_at:
            continue  # deleted since the values were read
        part = max(1, min(welds.size // 2, MOST_ON_A_SIDE))
        members.append(
            Member(
                person=name,
                welds=welds.size,
                last_at=last_at[name],
                mean=float(welds.mean()),
                first=float(welds[:part].mean()),
                latest=float(welds[-part:].mean()),
            )
        )
    return tuple(sorted(members, key=lambda member: member.person))


def weeks_of(values: ClassValues) -> tuple[Week, ...]:
    """Mean and range of each week, oldest first."""
    # Day 1 was a Monday.
    first_days = values.days - (values.days - 1) % WEEK_DAYS
    weeks = []
    for first_day, own in _groups(first_days).items():
        measured = values.values[own]
        weeks.append(
            Week(
                first_day=date.fromordinal(first_day),
                count=measured.size,
                people=np.unique(values.people[own]).size,
                mean=float(measured.mean()),
                least=float(measured.min()),
                greatest=float(measured.max()),
            )
        )
    return tuple(weeks)


def _by_person(values: ClassValues) -> dict[int, NDArray[np.int64]]:
    return _groups(values.people)


def _groups(keys: NDArray[np.int64]) -> dict[int, NDArray[np.int64]]:
    """Indices of each key, ascending as keys are; those of one key in their order."""
    order = np.argsort(keys, kind="stable").astype(np.int64)
    found, firsts = np.unique(keys[order], return_index=True)
    return dict(zip(found.tolist(), np.split(order, firsts[1:]), strict=True)) if keys.size else {}
