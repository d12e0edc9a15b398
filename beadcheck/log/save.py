"""Saving a measurement: one transaction, its photos on the disk before it ends."""

import json
from collections.abc import Mapping, Sequence
from datetime import UTC
from typing import Any

from sqlalchemy import Connection, Table, insert, select

from beadcheck.errors.log import NoSuchMeasurementError
from beadcheck.log.adding import new_row, same_or_new
from beadcheck.log.entry import Correction, Entry, Saved
from beadcheck.log.names import key_of, name_of
from beadcheck.log.open import Log
from beadcheck.log.people import somebody
from beadcheck.log.photos import StagedCopy, staged_copies, take_back
from beadcheck.log.rows import finding_counts, quantity_rows, setting_rows
from beadcheck.log.tables import (
    LONGEST_FILE_NAME,
    correction,
    coupon,
    document,
    measured_photo,
    measurement,
    pass_run,
    person,
    photo,
    quantity,
    setting,
)
from beadcheck.result import Result, result_to_json


def save(log: Log, entry: Entry) -> Saved:
    """Add a measurement. What is there is never changed: measured again, it gets another row.

    Either everything is saved once this returns, or, after a refusal or a crash, nothing.

    Raises
    ------
    LogError
    """
    with staged_copies(log.address.photos, entry.photos) as copies, log.writing() as connection:
        welder, is_new = somebody(connection, entry.person, at=entry.measured_at)
        run = _run_row(connection, _coupon_row(connection, welder, entry), entry)
        number = _measurement_row(connection, run, entry)
        _add(connection, quantity, number, quantity_rows(entry.result))
        _add(connection, setting, number, setting_rows(entry.result))
        for each in entry.corrections:
            _add_correction(connection, number, each, entry)
        name = connection.scalar(select(person.c.name).where(person.c.id == welder))
        new = _add_photos(connection, number, entry.result, copies)
        # Last of all: what fails before leaves no copy behind.
        _settle(log, copies, new)
    return Saved(
        number=number, person=str(name), coupon=entry.coupon, run=entry.run, new_person=is_new
    )


def _coupon_row(connection: Connection, welder: int, entry: Entry) -> int:
    said = entry.result.coupon
    name = name_of(entry.coupon, "coupon")
    return same_or_new(
        connection,
        coupon,
        {
            "person_id": welder,
            "name_key": key_of(name),
            "shape": said.shape,
            "outside_diameter_mm": said.outside_diameter_mm,
            "wall_thickness_mm": said.wall_thickness_mm,
            "position": said.position,
            "progression": said.progression,
        },
        {"name": name, "added_at": entry.measured_at},
    )


def _run_row(connection: Connection, of_coupon: int, entry: Entry) -> int:
    name = name_of(entry.run, "pass")
    return same_or_new(
        connection,
        pass_run,
        {
            "coupon_id": of_coupon,
            "name_key": key_of(name),
            "weld_pass": entry.result.coupon.weld_pass,
            "process": entry.result.coupon.process,
            "filler": entry.filler,
        },
        {"name": name, "added_at": entry.measured_at},
    )


def _measurement_row(connection: Connection, run: int, entry: Entry) -> int:
    measurer = entry.measured_by or entry.person
    row = {
        "pass_run_id": run,
        "measured_at": entry.measured_at,
        "day": entry.measured_at.astimezone(UTC).date().toordinal(),
        "measured_by_id": somebody(connection, measurer, at=entry.measured_at)[0],
        "limit_set": entry.limit_set,
        "limit_edition": entry.limit_edition,
        "made_with": entry.result.made_with,
        **finding_counts(entry.result),
    }
    number = new_row(connection, measurement, row)
    text = _compact(entry.result)
    whole = {"measurement_id": number, "result": text, "coupon_file": entry.coupon_file}
    connection.execute(insert(document).values(whole))
    return number


def _compact(result: Result) -> str:
    """Result as JSON without the spaces that only people need."""
    written = json.loads(result_to_json(result))
    return json.dumps(written, ensure_ascii=False, separators=(",", ":"))


def _add(
    connection: Connection, table: Table, number: int, rows: Sequence[Mapping[str, Any]]
) -> None:
    if rows:
        connection.execute(insert(table), [{"measurement_id": number, **row} for row in rows])


def _add_photos(
    connection: Connection, number: int, result: Result, copies: Sequence[StagedCopy | None]
) -> list[str]:
    """Add the photos' rows; return the hashes of those that the log did not hold yet."""
    new: list[str] = []
    for place, (record, copy) in enumerate(zip(result.photos, copies, strict=True)):
        if copy is not None:
            known = select(photo.c.sha256).where(photo.c.sha256 == copy.sha256)
            if connection.scalar(known) is None:
                row = {
                    "sha256": copy.sha256,
                    "width_px": copy.width_px,
                    "height_px": copy.height_px,
                    "bytes": copy.bytes,
                }
                connection.execute(insert(photo).values(row))
                new.append(copy.sha256)
        shown = {
            "measurement_id": number,
            "place": place,
            "file": record.file[:LONGEST_FILE_NAME],
            "kind": record.kind,
            "photo_sha256": None if copy is None else copy.sha256,
        }
        connection.execute(insert(measured_photo).values(shown))
    return new


def _settle(log: Log, copies: Sequence[StagedCopy | None], new: Sequence[str]) -> None:
    """Bring the copies to their places, or none of those that the log did not hold yet."""
    try:
        for copy in filter(None, copies):
            copy.settle()
    except BaseException:
        take_back(log.address.photos, new)
        raise


def _add_correction(
    connection: Connection, number: int, corrected: Correction, entry: Entry
) -> None:
    earlier = corrected.corrects
    if earlier is not None:
        there = select(measurement.c.id).where(measurement.c.id == earlier)
        if connection.scalar(there) is None:
            raise NoSuchMeasurementError(earlier)
    row = {
        "measurement_id": number,
        "corrects_id": earlier,
        "corrected_by_id": somebody(connection, corrected.by, at=entry.measured_at)[0],
        "corrected_at": entry.measured_at,
        "what": corrected.what.value,
        "why": corrected.why or None,
    }
    connection.execute(insert(correction).values(row))
