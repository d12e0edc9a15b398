"""Measurements found again."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from sqlalchemy import Connection, func, or_, select

from beadcheck.errors.log import NoSuchMeasurementError
from beadcheck.log.entry import (
    Corrected,
    KeptCorrection,
    KeptPhoto,
    Logged,
    Measurement,
    Run,
    Selection,
)
from beadcheck.log.names import key_of
from beadcheck.log.open import Log
from beadcheck.log.people import known_person
from beadcheck.log.photos import copy_place
from beadcheck.log.tables import (
    correction,
    coupon,
    document,
    measured_photo,
    measurement,
    pass_run,
    person,
)
from beadcheck.log.wanted import REPLACED, logged_of, logged_rows
from beadcheck.result import result_from_json

EVERYTHING = Selection()


def measurements(log: Log, selection: Selection = EVERYTHING) -> tuple[Logged, ...]:
    """Return the selected measurements, in the order in which they were saved.

    Raises
    ------
    UnknownPersonError, LogError
    """
    with log.reading() as connection:
        require_person(connection, selection)
        rows = connection.execute(logged_rows(selection)).mappings()
        return tuple(logged_of(row) for row in rows)


def measurement_of(log: Log, number: int) -> Measurement:
    """Return one measurement with its result, photos and corrections.

    Raises
    ------
    NoSuchMeasurementError, LogError
    """
    with log.reading() as connection:
        wanted = logged_rows(EVERYTHING).where(measurement.c.id == number)
        row = connection.execute(wanted).mappings().first()
        if row is None:
            raise NoSuchMeasurementError(number)
        whole = connection.execute(
            select(document.c.result, document.c.coupon_file).where(
                document.c.measurement_id == number
            )
        ).one()
        photos = _photos(connection, number, log.address.photos)
        corrections = _corrections(connection, number)
        newer = replaced_by(connection, [number]).get(number)
    return Measurement(
        logged=logged_of(row),
        result=result_from_json(whole.result),
        coupon_file=whole.coupon_file,
        photos=photos,
        corrections=corrections,
        replaced_by=newer,
    )


def run_before(log: Log, run: Run) -> Logged | None:
    """Return the person's last measurement of another run with the same pass and process.

    Raises
    ------
    LogError
    """
    key = key_of(run.person)
    wanted = (
        logged_rows(EVERYTHING)
        .where(
            or_(person.c.name_key == key, person.c.number_key == key),
            # SQLAlchemy writes "IS NULL" where a value is None.
            pass_run.c.weld_pass == run.weld_pass,
            pass_run.c.process == run.process,
            or_(coupon.c.name_key != key_of(run.coupon), pass_run.c.name_key != key_of(run.name)),
            measurement.c.measured_at <= run.measured_at,
            measurement.c.id.not_in(REPLACED),
            measurement.c.id != (run.corrects or 0),
        )
        .order_by(None)
        .order_by(measurement.c.measured_at.desc(), measurement.c.id.desc())
        .limit(1)
    )
    with log.reading() as connection:
        row = connection.execute(wanted).mappings().first()
        return None if row is None else logged_of(row)


def each_document(log: Log, selection: Selection = EVERYTHING) -> Iterator[tuple[Logged, str]]:
    """Every selected measurement with its result as JSON, one after another.

    Raises
    ------
    UnknownPersonError, LogError
    """
    wanted = (
        logged_rows(selection)
        .add_columns(document.c.result)
        .where(document.c.measurement_id == measurement.c.id)
    )
    with log.reading() as connection:
        require_person(connection, selection)
        for row in connection.execute(wanted).mappings():
            yield logged_of(row), row["result"]


def require_person(connection: Connection, selection: Selection) -> None:
    """Refuse a selection by a person who is not there.

    Raises
    ------
    UnknownPersonError
    """
    if selection.person is not None:
        known_person(connection, selection.person)


def require_measurement(log: Log, number: int) -> None:
    """Refuse a number that no measurement has.

    Raises
    ------
    NoSuchMeasurementError, LogError
    """
    with log.reading() as connection:
        wanted = select(measurement.c.id).where(measurement.c.id == number)
        if connection.scalar(wanted) is None:
            raise NoSuchMeasurementError(number)


def replaced_by(connection: Connection, numbers: Sequence[int]) -> dict[int, int]:
    """Of measurements that another one took the place of, that one's number; the last, of several.

    A measurement that was measured again without any correction is not among them.
    """
    rows = connection.execute(
        select(correction.c.corrects_id, func.max(correction.c.measurement_id).label("newer"))
        .where(correction.c.corrects_id.in_(numbers))
        .group_by(correction.c.corrects_id)
    )
    return {row.corrects_id: row.newer for row in rows}


def _photos(connection: Connection, number: int, folder: Path) -> tuple[KeptPhoto, ...]:
    rows = connection.execute(
        select(measured_photo.c.file, measured_photo.c.kind, measured_photo.c.photo_sha256)
        .where(measured_photo.c.measurement_id == number)
        .order_by(measured_photo.c.place)
    )
    return tuple(
        KeptPhoto(
            file=row.file,
            kind=row.kind,
            copy=None if row.photo_sha256 is None else copy_place(folder, row.photo_sha256),
        )
        for row in rows
    )


def _corrections(connection: Connection, number: int) -> tuple[KeptCorrection, ...]:
    rows = connection.execute(
        select(correction, person.c.name.label("by"))
        .select_from(correction.outerjoin(person, correction.c.corrected_by_id == person.c.id))
        .where(correction.c.measurement_id == number)
        .order_by(correction.c.id)
    )
    return tuple(
        KeptCorrection(
            what=Corrected(row.what),
            by=row.by,
            at=row.corrected_at,
            why=row.why or "",
            corrects=row.corrects_id,
        )
        for row in rows
    )
