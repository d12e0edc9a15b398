"""Values of many measurements at once, as rows for a trend."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any, Final

from sqlalchemy import Connection, Select, select

from beadcheck.log.entry import Selection
from beadcheck.log.find import EVERYTHING, require_person
from beadcheck.log.open import Log
from beadcheck.log.tables import coupon, measurement, pass_run, person, quantity, setting
from beadcheck.log.wanted import narrowed, whose
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.units import Unit

AT_ONCE: Final = 500
"""Numbers in one query: databases bound how many values it may have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which value of each measurement is wanted.

    Attributes
    ----------
    side
        None for the values that have no side.
    for_pass
        Whether the one value that stands for the whole pass is wanted, or what the photos gave
        beside it.
    """

    name: QuantityName
    statistic: Statistic
    unit: Unit = Unit.MM
    side: Side | None = None
    for_pass: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryRow:
    """One value of one measurement, in the unit that was wanted."""

    measurement: int
    measured_at: datetime
    person: str
    class_name: str | None
    coupon: str
    run: str
    weld_pass: str | None
    process: str | None
    position: str | None
    value: float
    expanded_uncertainty: float
    count: int
    photo: int | None
    clock_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingOf:
    """One number as set for the pass of a measurement."""

    measurement: int
    name: str
    value: float
    expanded_uncertainty: float | None
    unit: Unit


_COLUMNS: Final = (
    measurement.c.id.label("measurement"),
    measurement.c.measured_at,
    person.c.name.label("person"),
    person.c.class_name,
    coupon.c.name.label("coupon"),
    pass_run.c.name.label("run"),
    pass_run.c.weld_pass,
    pass_run.c.process,
    coupon.c.position,
    quantity.c.value,
    quantity.c.expanded_uncertainty,
    quantity.c.count,
    quantity.c.photo,
    quantity.c.clock_deg,
)


def summary_rows(
    log: Log, wanted: Wanted, selection: Selection = EVERYTHING
) -> tuple[SummaryRow, ...]:
    """Value of every selected measurement, oldest first.

    Raises
    ------
    UnknownPersonError, LogError
    """
    query = values_of(select(*_COLUMNS), wanted, selection)
    with log.reading() as connection:
        require_person(connection, selection)
        oldest_first = query.order_by(measurement.c.measured_at, quantity.c.id)
        return tuple(_rows(connection, oldest_first))


def summary_rows_of(log: Log, wanted: Wanted, numbers: Iterable[int]) -> tuple[SummaryRow, ...]:
    """Value of each of these measurements, oldest first.

    Raises
    ------
    LogError
    """
    found: list[SummaryRow] = []
    rest = iter(numbers)
    with log.reading() as connection:
        while portion := list(islice(rest, AT_ONCE)):
            of_these = values_of(select(*_COLUMNS), wanted, EVERYTHING)
            found += _rows(connection, of_these.where(measurement.c.id.in_(portion)))
    return tuple(sorted(found, key=lambda row: (row.measured_at, row.measurement)))


def settings_of(log: Log, selection: Selection = EVERYTHING) -> tuple[SettingOf, ...]:
    """Every number that was set for the passes of the selected measurements.

    Raises
    ------
    UnknownPersonError, LogError
    """
    columns = (
        setting.c.measurement_id.label("measurement"),
        setting.c.name,
        setting.c.value,
        setting.c.expanded_uncertainty,
        setting.c.unit,
    )
    source = whose(setting.join(measurement, setting.c.measurement_id == measurement.c.id))
    query = narrowed(select(*columns).select_from(source), selection).order_by(setting.c.id)
    with log.reading() as connection:
        require_person(connection, selection)
        rows = connection.execute(query).mappings()
        return tuple(SettingOf(**{**row, "unit": Unit(row["unit"])}) for row in rows)


def values_of(query: Select[Any], wanted: Wanted, selection: Selection) -> Select[Any]:
    """Query narrowed to the wanted value of the selected measurements."""
    values = quantity.join(measurement, quantity.c.measurement_id == measurement.c.id)
    return narrowed(query.select_from(whose(values)), selection).where(
        quantity.c.name == wanted.name.value,
        quantity.c.statistic == wanted.statistic.value,
        quantity.c.unit == wanted.unit.value,
        quantity.c.side == (None if wanted.side is None else wanted.side.value),
        quantity.c.for_pass == wanted.for_pass,
    )


def _rows(connection: Connection, query: Select[Any]) -> Iterator[SummaryRow]:
    names = [column.name for column in _COLUMNS]
    for row in connection.execute(query):
        yield SummaryRow(**dict(zip(names, row, strict=True)))
