"""The log a page at a time, the newest first, each measurement with its headline values."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Connection, and_, func, or_, select

from beadcheck.log.entry import Logged, Selection
from beadcheck.log.find import EVERYTHING, replaced_by, require_person
from beadcheck.log.open import Log
from beadcheck.log.tables import measurement, quantity
from beadcheck.log.wanted import logged_of, logged_rows, narrowed, whose
from beadcheck.quantity import QuantityName, Statistic

HEADLINES: Final = (
    (QuantityName.WELD_WIDTH, Statistic.MEAN),
    (QuantityName.WELD_WIDTH, Statistic.SD),
    (QuantityName.FACE_REINFORCEMENT, Statistic.MAX),
    (QuantityName.UNDERCUT_DEPTH, Statistic.MAX),
    (QuantityName.RIPPLE_SPACING, Statistic.MEAN),
)
"""What a line of the list tells of a measurement, as far as it was measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Headline:
    """A value that stands for the whole pass, in its unit; U at k = 2."""

    name: str
    statistic: str
    value: float
    expanded_uncertainty: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedLine:
    """One measurement of the list.

    Attributes
    ----------
    replaced_by
        Number of the measurement that took its place; None where none did.
    """

    logged: Logged
    headlines: tuple[Headline, ...]
    replaced_by: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedPage:
    """Some of the selected measurements.

    Attributes
    ----------
    skipped
        How many newer ones there are.
    total
        How many were selected in all.
    """

    lines: tuple[LoggedLine, ...]
    skipped: int
    total: int


def newest(
    log: Log, selection: Selection = EVERYTHING, *, most: int, skipped: int = 0
) -> LoggedPage:
    """Return at most so many of the selected measurements, the one saved last first.

    Raises
    ------
    UnknownPersonError, LogError
    """
    with log.reading() as connection:
        require_person(connection, selection)
        count = select(func.count(measurement.c.id)).select_from(whose())
        total = connection.scalar(narrowed(count, selection)) or 0
        wanted = logged_rows(selection).order_by(None).order_by(measurement.c.id.desc())
        rows = connection.execute(wanted.limit(most).offset(skipped)).mappings()
        found = [logged_of(row) for row in rows]
        numbers = [each.number for each in found]
        headlines = _headlines(connection, numbers)
        newer = replaced_by(connection, numbers)
    return LoggedPage(
        lines=tuple(
            LoggedLine(
                logged=each,
                headlines=tuple(headlines.get(each.number, ())),
                replaced_by=newer.get(each.number),
            )
            for each in found
        ),
        skipped=skipped,
        total=total,
    )


def _headlines(connection: Connection, numbers: Sequence[int]) -> dict[int, list[Headline]]:
    names = ("name", "statistic", "value", "expanded_uncertainty", "unit")
    wanted = [
        and_(quantity.c.name == name.value, quantity.c.statistic == statistic.value)
        for name, statistic in HEADLINES
    ]
    rows = connection.execute(
        select(quantity.c.measurement_id, *(quantity.c[name] for name in names))
        .where(quantity.c.measurement_id.in_(numbers), quantity.c.for_pass, or_(*wanted))
        .order_by(quantity.c.id)
    )
    found: dict[int, list[Headline]] = {}
    for number, *values in rows:
        headline = Headline(**dict(zip(names, values, strict=True)))
        found.setdefault(number, []).append(headline)
    order = [(name.value, statistic.value) for name, statistic in HEADLINES]
    for each in found.values():
        each.sort(key=lambda line: order.index((line.name, line.statistic)))
    return found
