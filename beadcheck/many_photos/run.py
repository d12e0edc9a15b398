"""Photo after photo, as they come back: kept at once, told at once, none held."""

import queue
from collections.abc import Iterable, Iterator
from concurrent.futures import Future
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from beadcheck.errors import BeadcheckError, PhotoError
from beadcheck.errors.work import ProcessNotStartedError, WorkFaultError
from beadcheck.many_photos.ask import Ask, NamedFile
from beadcheck.many_photos.journal import Journal
from beadcheck.many_photos.one import Made, Order
from beadcheck.many_photos.record import PhotoOutcome, Record
from beadcheck.many_photos.workers import Workers
from beadcheck.photo import PhotoKind
from beadcheck.photo.read import photo_contents

LONGEST_STEM: Final = 80
"""Characters of a photo's name in its folder's: file systems end at 255 bytes."""
KEY_DIGITS: Final = 10
"""Of a key in a folder's name: two photos of one name share them once in 10^12."""
FAULT_FILE: Final = "mistake.txt"
_LOOK_AFTER_S: Final = 1.0

_Answer = tuple[str, "Future[Made]"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One photo done.

    Attributes
    ----------
    file
        Its name; `record.file` is that under which its bytes were measured first.
    new
        Whether it was measured just now, and not earlier or under another name.
    """

    file: str
    record: Record
    new: bool


def measured_each(
    photos: Iterable[tuple[PhotoKind, Path]], ask: Ask, workers: Workers, journal: Journal
) -> Iterator[Told]:
    """Ask the same of every photo; each is told once, as soon as it is kept.

    A photo that cannot be measured, or whose process died or took too long, is told like any other.

    Raises
    ------
    ProcessNotStartedError, FolderNotWritableError
        No photo can be measured, or kept, any more; what was told is kept.
    """
    answers: queue.SimpleQueue[_Answer] = queue.SimpleQueue()
    flying: dict[str, str] = {}
    twice: list[tuple[str, str]] = []
    for kind, path in photos:
        try:
            contents, file = photo_contents(path)
        except PhotoError as refusal:
            yield _kept(journal, _failed("", path.name, journal, refusal), {})
            continue
        key = ask.key(kind, contents)
        if (earlier := journal.earlier(key)) is not None:
            yield Told(file=file, record=earlier, new=False)
            continue
        if key in flying:
            twice.append((key, file))
            continue
        flying[key] = file
        photo = NamedFile(name=path.name, contents=contents)
        future = workers.submit(Order(ask=ask, kind=kind, photo=photo))
        future.add_done_callback(partial(_put, answers, key))
        while len(flying) >= workers.at_once:
            yield _next(answers, flying, workers, journal)
    while flying:
        yield _next(answers, flying, workers, journal)
    for key, file in twice:
        yield Told(file=file, record=journal.records[key], new=False)


def _put(answers: "queue.SimpleQueue[_Answer]", key: str, future: "Future[Made]") -> None:
    answers.put((key, future))


def _next(
    answers: "queue.SimpleQueue[_Answer]",
    flying: dict[str, str],
    workers: Workers,
    journal: Journal,
) -> Told:
    """Wait for whichever comes back first, and keep it."""
    while True:
        try:
            # In slices: on Windows nothing else lets Ctrl-C in.
            key, future = answers.get(timeout=_LOOK_AFTER_S)
        except queue.Empty:
            workers.check()
        else:
            return _kept(journal, *_record(key, flying.pop(key), journal, future))


def _record(
    key: str, file: str, journal: Journal, future: "Future[Made]"
) -> tuple[Record, dict[str, bytes]]:
    """What to remember of a photo, and its files."""
    folder = f"{Path(file).stem[:LONGEST_STEM]}-{key[:KEY_DIGITS]}"
    try:
        made = future.result()
    except ProcessNotStartedError:
        raise
    except WorkFaultError as fault:
        record = _failed(key, file, journal, fault, folder=folder)
        return record, {FAULT_FILE: fault.details.encode()}
    except BeadcheckError as refusal:
        return _failed(key, file, journal, refusal), {}
    record = Record(
        key=key,
        fingerprint=journal.fingerprint,
        file=file,
        folder=folder,
        outcome=made.said.outcome,
        why=made.said.why,
        code=made.said.code,
        values=made.said.values,
        findings=made.said.findings,
    )
    return record, dict(made.files)


def _failed(
    key: str, file: str, journal: Journal, error: BeadcheckError, *, folder: str = ""
) -> Record:
    return Record(
        key=key,
        fingerprint=journal.fingerprint,
        file=file,
        folder=folder,
        outcome=PhotoOutcome.FAILED,
        why=str(error),
        code=error.code,
    )


def _kept(journal: Journal, record: Record, files: dict[str, bytes]) -> Told:
    journal.keep(record, files)
    return Told(file=record.file, record=record, new=True)
