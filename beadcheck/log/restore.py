"""A back-up brought back into an empty log, on either database."""

import json
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Table, func, insert, select
from sqlalchemy.exc import DataError, IntegrityError

from beadcheck.errors.log_backup import (
    BackupDamagedError,
    BackupNewerError,
    BackupOlderError,
    LogNotEmptyError,
    NotABackupError,
)
from beadcheck.log.backup import CONTENTS, FORMAT, PHOTOS_FOLDER, ROWS_FOLDER
from beadcheck.log.layout import known_revisions, newest_revision
from beadcheck.log.moment import Moment
from beadcheck.log.open import Log
from beadcheck.log.photos import COPY_ENDING, copied_back, take_back
from beadcheck.log.tables import METADATA, measurement, person, photo

_ROWS_AT_ONCE: Final = 1000
_LONGEST_ROW: Final = 64_000_000
_LONGEST_CONTENTS: Final = 1_000_000
"""Bytes; what is packed small may be large."""
_PACKED: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_BROKEN: Final = (
    KeyError,
    ValueError,
    OSError,
    EOFError,
    RuntimeError,  # lists in lists without end; a password
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What came back."""

    measurements: int
    photos: int


def restore(log: Log, file: Path) -> Restored:
    """Bring everything of a back-up into an empty log, or nothing.

    Raises
    ------
    NotABackupError, BackupNewerError, BackupOlderError, BackupDamagedError, LogNotEmptyError,
    LogError
    """
    with _opened(file) as (archive, contents), log.writing() as connection:
        _require_empty(connection, log)
        counts = {
            table.name: _bring_rows(archive, connection, table, file)
            for table in METADATA.sorted_tables
        }
        for name, count in counts.items():
            if contents["rows"].get(name) != count:
                raise BackupDamagedError(file.name, f"{ROWS_FOLDER}{name}.jsonl")
        return Restored(
            measurements=counts["measurement"], photos=_bring_photos(archive, connection, log, file)
        )


@contextmanager
def _opened(file: Path) -> Iterator[tuple[zipfile.ZipFile, dict[str, Any]]]:
    """Archive, and what it says of itself."""
    try:
        archive = zipfile.ZipFile(file)
        if any(part.compress_type not in _PACKED for part in archive.infolist()):
            raise zipfile.BadZipFile
    except _BROKEN as error:
        why = getattr(error, "strerror", None) or "it is no archive, or not whole"
        raise NotABackupError(str(file), why.lower()) from error
    with archive:
        try:
            with archive.open(CONTENTS) as file_of_contents:
                contents = json.loads(file_of_contents.read(_LONGEST_CONTENTS))
        except _BROKEN as error:
            raise NotABackupError(str(file), f"{CONTENTS} is not in it") from error
        if not isinstance(contents, dict) or contents.get("format") != FORMAT:
            raise NotABackupError(str(file), f"its format is not {FORMAT}")
        if not isinstance(contents.get("rows"), dict):
            raise NotABackupError(str(file), f"{CONTENTS} does not count its rows")
        _require_layout_of_today(contents.get("layout"), file)
        yield archive, contents


def _require_layout_of_today(layout: object, file: Path) -> None:
    if layout == newest_revision():
        return
    if not isinstance(layout, str):
        raise NotABackupError(str(file), f"{CONTENTS} does not name its layout")
    if layout in known_revisions():
        raise BackupOlderError(file.name, layout)
    raise BackupNewerError(file.name, layout)


def _require_empty(connection: Connection, log: Log) -> None:
    for table in (person, measurement):
        if connection.scalar(select(func.count()).select_from(table)):
            raise LogNotEmptyError(str(log.address))


def _bring_rows(archive: zipfile.ZipFile, connection: Connection, table: Table, file: Path) -> int:
    name = f"{ROWS_FOLDER}{table.name}.jsonl"
    count = 0
    try:
        with archive.open(name) as lines:
            each = iter(lambda: lines.readline(_LONGEST_ROW), b"")
            while rows := [_row(line, table) for line in islice(each, _ROWS_AT_ONCE)]:
                connection.execute(insert(table), rows)
                count += len(rows)
    except (*_BROKEN, OverflowError, IntegrityError, DataError) as error:
        raise BackupDamagedError(file.name, name) from error
    if count and "id" in table.columns and connection.dialect.name == "postgresql":
        # SQLite counts on from the greatest number by itself.
        sequence = func.pg_get_serial_sequence(table.name, "id")
        connection.execute(
            select(func.setval(sequence, select(func.max(table.c.id)).scalar_subquery()))
        )
    return count


def _row(line: bytes, table: Table) -> dict[str, Any]:
    """Row of a line that holds every column, and no other.

    Raises
    ------
    ValueError, RuntimeError
        The line is not such a row.
    """
    row: dict[str, Any] = json.loads(line)
    if not isinstance(row, dict) or set(row) != set(table.columns.keys()):
        msg = "other columns"
        raise ValueError(msg)
    for column in table.columns:
        if isinstance(column.type, Moment) and row[column.name] is not None:
            row[column.name] = datetime.fromisoformat(str(row[column.name]))
    return row


def _bring_photos(archive: zipfile.ZipFile, connection: Connection, log: Log, file: Path) -> int:
    """Copies that the rows name; those that the back-up lacked already stay away."""
    there = set(archive.namelist())
    brought: list[str] = []
    try:
        for sha256 in connection.scalars(select(photo.c.sha256)).all():
            name = f"{PHOTOS_FOLDER}{sha256}{COPY_ENDING}"
            if name not in there:
                continue
            try:
                contents = archive.read(name)
            except _BROKEN as error:
                raise BackupDamagedError(file.name, name) from error
            if not copied_back(log.address.photos, sha256, contents):
                raise BackupDamagedError(file.name, name)
            brought.append(sha256)
    except BaseException:
        take_back(log.address.photos, brought)
        raise
    return len(brought)
