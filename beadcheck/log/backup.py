"""A back-up of the log: one file with every row and every photo, whichever database it was.

It is a ZIP archive: ``backup.json`` says what it is, ``rows/TABLE.jsonl`` holds the rows, and
``photos/`` the copies.
"""

import contextlib
import json
import os
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Table, select

from beadcheck.errors.log_backup import (
    BackupNotWrittenError,
    FileInTheWayError,
)
from beadcheck.log.layout import newest_revision
from beadcheck.log.open import Log
from beadcheck.log.photos import COPY_ENDING, copy_place, is_whole
from beadcheck.log.tables import METADATA, photo

FORMAT: Final = "beadcheck-log-backup/1"
CONTENTS: Final = "backup.json"
ROWS_FOLDER: Final = "rows/"
PHOTOS_FOLDER: Final = "photos/"


@dataclass(frozen=True, slots=True, kw_only=True)
class BackedUp:
    """What went into a back-up; `missing` counts the photos whose copy is gone or damaged."""

    measurements: int
    photos: int
    missing: int


def back_up(log: Log, file: Path, *, at: datetime) -> BackedUp:
    """Write everything into one file, which is whole or not there.

    Others may save meanwhile: the back-up holds what was there when it began.

    Raises
    ------
    FileInTheWayError, BackupNotWrittenError, LogError
    """
    if file.exists():
        raise FileInTheWayError(str(file))
    with _whole_or_nothing(file) as archive, log.reading() as connection:
        counts = {
            table.name: _write_rows(archive, connection, table) for table in METADATA.sorted_tables
        }
        kept = missing = 0
        for sha256 in connection.scalars(select(photo.c.sha256).order_by(photo.c.sha256)):
            copy = copy_place(log.address.photos, sha256)
            if is_whole(copy):
                archive.write(copy, f"{PHOTOS_FOLDER}{sha256}{COPY_ENDING}", zipfile.ZIP_STORED)
                kept += 1
            else:
                missing += 1
        contents = {
            "format": FORMAT,
            "layout": newest_revision(),
            "made_at": at.isoformat(),
            "rows": counts,
            "photos": kept,
        }
        archive.writestr(CONTENTS, json.dumps(contents, indent=2) + "\n")
    return BackedUp(measurements=counts["measurement"], photos=kept, missing=missing)


def _write_rows(archive: zipfile.ZipFile, connection: Connection, table: Table) -> int:
    count = 0
    ordered = select(table).order_by(*table.primary_key.columns)
    with archive.open(f"{ROWS_FOLDER}{table.name}.jsonl", "w", force_zip64=True) as lines:
        for row in connection.execute(ordered).mappings():
            text = json.dumps(dict(row), ensure_ascii=False, default=_plain)
            lines.write(text.encode("utf-8") + b"\n")
            count += 1
    return count


def _plain(value: Any) -> str:  # json asks for what it cannot write, and that is times alone
    if not isinstance(value, datetime):
        msg = f"a column holds a {type(value).__name__}"
        raise TypeError(msg)
    return value.isoformat()


@contextmanager
def _whole_or_nothing(file: Path) -> Iterator[zipfile.ZipFile]:
    """Archive under a passing name, which becomes the file once it is on the disk."""
    try:
        handle, name = tempfile.mkstemp(prefix=f".{file.name}-", dir=file.parent)
        passing = Path(name)
        try:
            with os.fdopen(handle, "w+b") as stream:
                with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
                    yield archive
                stream.flush()
                os.fsync(stream.fileno())
            passing.replace(file)
        finally:
            with contextlib.suppress(OSError):
                passing.unlink(missing_ok=True)
    except OSError as error:
        why = (error.strerror or "the system refuses").lower()
        raise BackupNotWrittenError(str(file), why) from error
