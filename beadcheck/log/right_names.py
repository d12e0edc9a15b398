"""A measurement under a wrong name: kept once more under the right one, and the first one stays."""

from datetime import datetime
from typing import Final

from sqlalchemy import Connection, Table, insert, literal, select
from sqlalchemy.engine import RowMapping

from beadcheck.errors.log import (
    NamesAsTheyAreError,
    NoSuchMeasurementError,
    ReplacedAlreadyError,
)
from beadcheck.log.adding import new_row, same_or_new
from beadcheck.log.entry import Corrected, Saved
from beadcheck.log.find import replaced_by
from beadcheck.log.names import key_of, name_of
from beadcheck.log.open import Log
from beadcheck.log.people import somebody
from beadcheck.log.tables import (
    correction,
    coupon,
    document,
    measured_photo,
    measurement,
    pass_run,
    person,
    quantity,
    setting,
)

_ALSO: Final = (
    "measured_at",
    "day",
    "limit_set",
    "limit_edition",
    "made_with",
    "within",
    "outside",
    "undecided",
    "not_measured",
)
"""Columns of a measurement that no name changes."""


def correct_names(
    log: Log, number: int, *, person_name: str | None, coupon_name: str | None, at: datetime
) -> Saved:
    """Keep a measurement once more under the right names; it then corrects the first one.

    Nothing is measured again: values, settings, photos and the time of measuring are the same.

    Parameters
    ----------
    person_name, coupon_name
        The right nickname or number, and the right name of the coupon; None where it was right.
    at
        When it is corrected, with its zone.

    Raises
    ------
    NoSuchMeasurementError, ReplacedAlreadyError, NamesAsTheyAreError, NameNotUsableError, LogError
    """
    with log.writing() as connection:
        row = _kept(connection, number)
        welder, is_new = row["welder"], False
        if person_name is not None:
            welder, is_new = somebody(connection, person_name, at=at)
        named = row["coupon_name"] if coupon_name is None else name_of(coupon_name, "coupon")
        if welder == row["welder"] and key_of(named) == key_of(row["coupon_name"]):
            raise NamesAsTheyAreError(number)
        of_coupon = _like(connection, coupon, row["coupon_id"], of=welder, name=named, at=at)
        of_run = _like(connection, pass_run, row["run_id"], of=of_coupon, name=row["run"], at=at)
        measurer = row["measured_by_id"]
        copied = {name: row[name] for name in _ALSO}
        new = new_row(
            connection,
            measurement,
            {
                **copied,
                "pass_run_id": of_run,
                # Who was taken for the welder was taken for the one who measured it, too.
                "measured_by_id": welder if measurer == row["welder"] else measurer,
            },
        )
        for table in (document, quantity, setting, measured_photo):
            _copy(connection, table, of=number, to=new)
        corrected = {
            "measurement_id": new,
            "corrects_id": number,
            "corrected_by_id": welder,
            "corrected_at": at,
            "what": Corrected.OTHER.value,
            "why": "kept under a wrong name",
        }
        connection.execute(insert(correction).values(corrected))
        shown = connection.scalar(select(person.c.name).where(person.c.id == welder))
    return Saved(number=new, person=str(shown), coupon=named, run=row["run"], new_person=is_new)


def _kept(connection: Connection, number: int) -> RowMapping:
    """Row of the measurement with its names; only one that nothing took the place of."""
    wanted = (
        select(
            measurement,
            pass_run.c.id.label("run_id"),
            pass_run.c.name.label("run"),
            coupon.c.id.label("coupon_id"),
            coupon.c.name.label("coupon_name"),
            coupon.c.person_id.label("welder"),
        )
        .join(pass_run, measurement.c.pass_run_id == pass_run.c.id)
        .join(coupon, pass_run.c.coupon_id == coupon.c.id)
        .where(measurement.c.id == number)
    )
    row = connection.execute(wanted).mappings().first()
    if row is None:
        raise NoSuchMeasurementError(number)
    newer = replaced_by(connection, [number]).get(number)
    if newer is not None:
        raise ReplacedAlreadyError(number, newer)
    return row


def _like(
    connection: Connection, table: Table, row: int, *, of: int, name: str, at: datetime
) -> int:
    """Coupon or pass that is described as this one is, of another owner or under another name."""
    known = connection.execute(select(table).where(table.c.id == row)).mappings().one()
    (owner,) = (column.name for column in table.c if column.foreign_keys)
    described = {
        key: known[key] for key in known if key not in ("id", "name", "name_key", "added_at", owner)
    }
    alike = {**described, owner: of, "name_key": key_of(name)}
    return same_or_new(connection, table, alike, {"name": name, "added_at": at})


def _copy(connection: Connection, table: Table, *, of: int, to: int) -> None:
    """Add what belongs to one measurement to another."""
    names = [each.name for each in table.c if each.name not in ("id", "measurement_id")]
    rows = select(literal(to), *(table.c[name] for name in names)).where(
        table.c.measurement_id == of
    )
    if "id" in table.c:
        rows = rows.order_by(table.c.id)
    connection.execute(insert(table).from_select(["measurement_id", *names], rows))
