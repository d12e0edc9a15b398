"""Deleting what a person has in the log, when they ask for it."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, delete, select

from beadcheck.log.open import Log
from beadcheck.log.people import known_person
from beadcheck.log.photos import remove_copies
from beadcheck.log.tables import (
    correction,
    coupon,
    measured_photo,
    measurement,
    pass_run,
    person,
    photo,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten:
    """What was deleted."""

    person: str
    coupons: int
    measurements: int
    photos: int


def forget_person(log: Log, name: str) -> Forgotten:
    """Delete a person with their coupons, measurements and photos.

    What was first kept under another's name, and corrected since, goes with it where it shows the
    same photo. Photos that somebody else's measurements use stay. Where the person measured or
    corrected somebody else's weld, that stays without their name. Earlier back-ups still hold the
    person.

    Raises
    ------
    UnknownPersonError, LogError
    """
    with log.writing() as connection:
        row = known_person(connection, name)
        theirs = select(coupon.c.id).where(coupon.c.person_id == row)
        runs = select(pass_run.c.id).where(pass_run.c.coupon_id.in_(theirs))
        measured = select(measurement.c.id).where(measurement.c.pass_run_id.in_(runs))
        shown = connection.scalar(select(person.c.name).where(person.c.id == row))
        coupons = len(connection.scalars(theirs).all())
        own = connection.scalars(measured).all()
        misnamed = _kept_under_another_name(connection, own)
        connection.execute(delete(measurement).where(measurement.c.id.in_(misnamed)))
        for table, filled in (
            (pass_run, measurement.c.pass_run_id),
            (coupon, pass_run.c.coupon_id),
        ):
            connection.execute(delete(table).where(table.c.id.not_in(select(filled))))
        connection.execute(delete(person).where(person.c.id == row))
        used = select(measured_photo.c.photo_sha256).where(
            measured_photo.c.photo_sha256.is_not(None)
        )
        unused = connection.scalars(select(photo.c.sha256).where(photo.c.sha256.not_in(used))).all()
        connection.execute(delete(photo).where(photo.c.sha256.not_in(used)))
        # Before the transaction ends: as long as it lasts, nobody else saves the same photo.
        photos = remove_copies(log.address.photos, unused)
    _empty_journal(log)
    return Forgotten(
        person=str(shown),
        coupons=coupons,
        measurements=len({*own, *misnamed}),
        photos=photos,
    )


def _kept_under_another_name(connection: Connection, own: Sequence[int]) -> set[int]:
    """Measurements that these take the place of, and what those did, of the same photos."""
    older, newer = measured_photo.alias(), measured_photo.alias()
    same_photo = (
        select(correction.c.corrects_id)
        .join(newer, newer.c.measurement_id == correction.c.measurement_id)
        .join(
            older,
            (older.c.measurement_id == correction.c.corrects_id)
            & (older.c.photo_sha256 == newer.c.photo_sha256),
        )
    )
    found: set[int] = set()
    reached = set(own)
    while reached:
        earlier = connection.scalars(same_photo.where(correction.c.measurement_id.in_(reached)))
        reached = set(earlier.all()) - found
        found |= reached
    return found


def _empty_journal(log: Log) -> None:
    """Take what was deleted out of SQLite's journal too; a reader may put that off to later."""
    if log.address.file is not None:
        with log.engine.connect() as connection:
            raw = connection.connection.cursor()
            raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            raw.close()
