"""One run of ``beadcheck measure --each``: how far it is while it runs, and what came of it."""

import json as json_text
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import asdict, dataclass, field
from typing import Final

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from beadcheck.cli.failures import FOUND_OUTSIDE, INTERRUPTED, MEASURED, NOT_MEASURED
from beadcheck.cli.many_flags import Many
from beadcheck.cli.pace import Pace
from beadcheck.cli.run import Showing, refusal_words
from beadcheck.cli.streams import put, tell
from beadcheck.errors import BeadcheckError
from beadcheck.errors.cluster import ClusterExtraMissingError
from beadcheck.many_photos import (
    LocalWorkers,
    PhotoOutcome,
    Told,
    Workers,
    ask_of,
    journal_in,
    measured_each,
)
from beadcheck.many_photos.journal import SUMMARY_FILE
from beadcheck.many_photos.workers import usable_cores
from beadcheck.pipeline import Request
from beadcheck.report.wording import FINDING_ORDER
from beadcheck.result import CAUTION

MOST_NAMED: Final = 20
"""Photos amiss that the end names; the summary names all."""


@dataclass(slots=True, kw_only=True)
class Tally:
    """What came of the photos so far; of many photos, only counts are kept."""

    total: int
    began_s: float = field(default_factory=time.monotonic)
    outcomes: Counter[PhotoOutcome] = field(default_factory=Counter)
    findings: Counter[str] = field(default_factory=Counter)
    new: int = 0
    outside: bool = False
    amiss: list[str] = field(default_factory=list)

    def add(self, told: Told) -> None:
        """Count one photo."""
        record = told.record
        self.outcomes[record.outcome] += 1
        self.findings.update(record.findings)
        self.new += told.new
        self.outside |= record.outside
        if record.outcome is not PhotoOutcome.MEASURED and len(self.amiss) < MOST_NAMED:
            self.amiss.append(photo_words(told))

    @property
    def done(self) -> int:
        """Photos dealt with."""
        return self.outcomes.total()

    @property
    def all_measured(self) -> bool:
        """Whether each gave a measurement."""
        return self.outcomes[PhotoOutcome.MEASURED] == self.done

    @property
    def pace(self) -> Pace:
        """How far, and how fast."""
        return Pace(
            total=self.total,
            done=self.done,
            new=self.new,
            amiss=self.done - self.outcomes[PhotoOutcome.MEASURED],
            elapsed_s=time.monotonic() - self.began_s,
        )


def measured_many(request: Request, many: Many, showing: Showing, *, strict: bool) -> int:
    """Measure each photo of a request by itself, show what came of them; return the exit code.

    Raises
    ------
    BeadcheckError
        Nothing can be measured or kept any more; what is done stays done.
    """
    ask = ask_of(request, pictures=showing.pictures, unit=showing.unit)
    photos = [(take.kind, photo) for take in request.takes for photo in take.photos]
    tally = Tally(total=len(photos))
    with journal_in(many.out, ask.fingerprint) as journal:
        try:
            with _workers(many, len(photos)) as workers, _progress(tally) as tell_of:
                for told in measured_each(photos, ask, workers, journal):
                    tally.add(told)
                    if showing.json:
                        put(json_line(told))
                    tell_of(told)
        except KeyboardInterrupt:
            tell(f"Stopped. {_go_on(tally)}")
            return INTERRUPTED
        except BeadcheckError:
            tell(_go_on(tally))
            raise
    if not showing.json:
        for line in _end_lines(tally, many):
            put(line)
    if not tally.all_measured:
        return NOT_MEASURED
    return FOUND_OUTSIDE if strict and tally.outside else MEASURED


def json_line(told: Told) -> str:
    """What came of one photo, as the journal has it, for a program."""
    return json_text.dumps({**asdict(told.record), "file": told.file, "caution": CAUTION})


def photo_words(told: Told) -> str:
    """What came of one photo, in a line."""
    record = told.record
    if record.outcome is PhotoOutcome.MEASURED:
        return f"{told.file}: measured"
    return refusal_words(told.file, record.why, record.code)


def _workers(many: Many, photos: int) -> "AbstractContextManager[Workers]":
    if many.cluster is not None:
        try:
            from beadcheck.many_photos.cluster import cluster_workers
        except ImportError as error:
            raise ClusterExtraMissingError from error

        return cluster_workers(many.cluster, limit_s=many.time_limit_s)
    jobs = min(many.jobs or usable_cores(), max(photos, 1))
    return LocalWorkers(jobs, limit_s=many.time_limit_s)


@contextmanager
def _progress(tally: Tally) -> Iterator[Callable[[Told], None]]:
    """Progress on standard error: a bar on a terminal, else a line for each photo of this run."""
    console = Console(stderr=True)
    if not console.is_terminal:

        def tell_line(told: Told) -> None:
            if told.new:
                tell(f"{photo_words(told)} ({tally.pace.words})")

        yield tell_line
        return
    columns = (TextColumn("Measuring"), BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task(tally.pace.words, total=tally.total)

        def advance(told: Told) -> None:
            if told.new and told.record.outcome is not PhotoOutcome.MEASURED:
                bar.console.print(photo_words(told), markup=False, highlight=False)
            bar.update(task, completed=tally.done, description=tally.pace.words)

        yield advance


def _go_on(tally: Tally) -> str:
    return (
        f"{tally.done} of {tally.total} photos are done and kept; the same command goes on from "
        "there."
    )


def _end_lines(tally: Tally, many: Many) -> Iterator[str]:
    counts = ", ".join(f"{tally.outcomes[each]} {each}" for each in PhotoOutcome)
    earlier = tally.done - tally.new
    yield f"{tally.done} photo{'s' * (tally.done != 1)}: {counts}." + (
        f" {earlier} were done before, or are the same as another." if earlier else ""
    )
    if tally.findings:
        kinds = [each for each in FINDING_ORDER if tally.findings[each]]
        found = ", ".join(f"{tally.findings[each]} {each}" for each in kinds)
        yield f"Findings: {found}."
    more = tally.done - tally.outcomes[PhotoOutcome.MEASURED] - len(tally.amiss)
    yield from (f"  {line}" for line in tally.amiss)
    if more:
        yield f"  and {more} more, in {SUMMARY_FILE}"
    if tally.outcomes[PhotoOutcome.FAILED]:
        yield "The same command tries again those that failed."
    yield f"Written to {many.out}: a folder for each photo, and {SUMMARY_FILE} of all."
    yield CAUTION
