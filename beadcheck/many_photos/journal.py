"""What is done already, in the output folder: lines that are only added, each whole or skipped.

Each photo's files are there before its line is, so that whatever stops the work (Ctrl-C, a crash,
a power cut) costs the photos in hand and no more.
"""

import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import BinaryIO, Final

from filelock import FileLock, Timeout
from pydantic import TypeAdapter, ValidationError

from beadcheck.errors.output import (
    FolderInUseError,
    ForeignFileError,
    NotAFolderError,
)
from beadcheck.many_photos.record import Record
from beadcheck.many_photos.summary import HEADER_START, header, row
from beadcheck.report.folder import RESULT_FILE, said_plainly
from beadcheck.whole_file import write_whole

JOURNAL_FILE: Final = "journal.jsonl"
SUMMARY_FILE: Final = "summary.csv"
LOCK_FILE: Final = "journal.lock"
"""Stays there, empty: the system lets go of the lock itself when a process ends, however."""
STAGED: Final = ".beadcheck-"
BYTE_ORDER_MARK: Final = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""By which spreadsheets tell UTF-8."""
_FIRST_LINE: Final = json.dumps({"format": "beadcheck-journal/1"}).encode() + b"\n"


class Journal:
    """An output folder with what was done in it; nobody else may write there meanwhile.

    Attributes
    ----------
    records
        What is known of the photos that this was asked of, by key.
    """

    def __init__(self, folder: Path, lines: BinaryIO, fingerprint: str) -> None:
        self.folder = folder
        self.fingerprint = fingerprint
        self.records: dict[str, Record] = {}
        self._lines = lines
        self._unread: list[Record] = []

    def earlier(self, key: str) -> Record | None:
        """What an earlier run did of this photo, if nothing is gained by doing it again."""
        record = self.records.get(key)
        if record is None or not record.done:
            return None
        return record if (self.folder / record.folder / RESULT_FILE).is_file() else None

    def keep(self, record: Record, files: Mapping[str, bytes]) -> None:
        """Bring a photo's files to their place, then note that it is done.

        Raises
        ------
        FolderNotWritableError
        """
        with said_plainly(self.folder):
            if files:
                self._put(record.folder, files)
            _add_line(self._lines, _adapter().dump_json(record) + b"\n")
            with (self.folder / SUMMARY_FILE).open("a", encoding="utf-8", newline="") as summary:
                summary.write(row(record, first=not self.records and not self._unread))
        if record.key:
            self.records[record.key] = record
        else:
            self._unread.append(record)

    def write_summary(self) -> None:
        """Write the summary anew, a row for each photo: only the journal is sure to be right.

        Raises
        ------
        FileNotWritableError, ForeignFileError
        """
        path = self.folder / SUMMARY_FILE
        with said_plainly(path):
            if path.exists() and not _is_our_summary(path):
                raise ForeignFileError(str(path))
        records = (*self.records.values(), *self._unread)
        rows = (row(each, first=i == 0) for i, each in enumerate(records))
        write_whole(path, (text.encode() for text in (BYTE_ORDER_MARK, header(), *rows)))

    def _put(self, name: str, files: Mapping[str, bytes]) -> None:
        staged = Path(tempfile.mkdtemp(prefix=STAGED, dir=self.folder))
        place = self.folder / name
        try:
            place.mkdir(exist_ok=True)
            for each, contents in files.items():
                with (staged / each).open("wb") as file:
                    file.write(contents)
                    file.flush()
                    os.fsync(file.fileno())
                (staged / each).replace(place / each)
        finally:
            shutil.rmtree(staged, ignore_errors=True)


@contextmanager
def journal_in(folder: Path, fingerprint: str) -> Iterator[Journal]:
    """Open the journal of an output folder, made where it is not there, and its summary.

    While the work goes on rows are added to the summary; at the end it is written anew.

    Raises
    ------
    NotAFolderError, FolderNotWritableError, FolderInUseError, FileNotWritableError
        Nothing can be written there, or another run does.
    ForeignFileError
        A file of the same name is not ours.
    """
    if folder.exists() and not folder.is_dir():
        raise NotAFolderError(str(folder))
    with _alone_in(folder), _opened(folder) as lines:
        journal = Journal(folder, lines, fingerprint)
        with said_plainly(folder):
            _read(journal, lines)
            for left in folder.glob(f"{STAGED}*"):
                shutil.rmtree(left, ignore_errors=True)
        journal.write_summary()
        try:
            yield journal
        finally:
            journal.write_summary()


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep others out of an output folder, which is made where it is not there."""
    lock = FileLock(folder / LOCK_FILE, blocking=False)
    with said_plainly(folder):
        folder.mkdir(parents=True, exist_ok=True)
        try:
            lock.acquire()
        except Timeout:
            raise FolderInUseError(str(folder)) from None
    try:
        yield
    finally:
        lock.release()


def _opened(folder: Path) -> BinaryIO:
    with said_plainly(folder):
        return (folder / JOURNAL_FILE).open("a+b", buffering=0)


def _read(journal: Journal, lines: BinaryIO) -> None:
    """Take in what earlier runs noted; a line that was never finished is passed over."""
    path = journal.folder / JOURNAL_FILE
    with path.open("rb") as file:
        line = file.readline(len(_FIRST_LINE))
        if line != _FIRST_LINE:
            if not _FIRST_LINE.startswith(line):
                raise ForeignFileError(str(path))
            lines.truncate(0)
            _add_line(lines, _FIRST_LINE)
            return
        for line in file:
            try:
                record = _adapter().validate_json(line)
            except ValidationError:
                continue
            if record.key and record.fingerprint == journal.fingerprint:
                journal.records[record.key] = record
    if not line.endswith(b"\n"):
        _add_line(lines, b"\n")


def _is_our_summary(path: Path) -> bool:
    with path.open("rb") as file:
        start = file.readline(4096).decode("utf-8-sig", errors="replace")
    return start.startswith(HEADER_START)


def _add_line(lines: BinaryIO, line: bytes) -> None:
    """Add a line and see it onto the disk.

    Raises
    ------
    OSError
    """
    if lines.write(line) != len(line):
        msg = "no room is left"
        raise OSError(msg)
    os.fsync(lines.fileno())


@cache
def _adapter() -> TypeAdapter[Record]:
    return TypeAdapter(Record)
