"""Adding to the log what ``beadcheck measure`` measured."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from beadcheck.cli.log_flags import Keeping
from beadcheck.cli.streams import tell
from beadcheck.log import (
    Corrected,
    Correction,
    Entry,
    Log,
    Run,
    coupon_of_now,
    log_address,
    open_log,
    save,
)
from beadcheck.log.find import require_measurement
from beadcheck.log.names import name_of, run_called
from beadcheck.pipeline import Request
from beadcheck.pipeline.outcome import limit_set_of
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class FromFile:
    """What a coupon file says of one pass, beyond what the result holds."""

    coupon: str
    run: str
    filler: str | None
    text: str


@contextmanager
def keeper(keeping: Keeping | None) -> Iterator["Keeper | None"]:
    """Open log to keep results in, before anything is measured; None where nothing is kept.

    Raises
    ------
    NameNotUsableError, NoSuchMeasurementError, LogError
    """
    if keeping is None:
        yield None
        return
    for what, name in (
        ("person", keeping.person),
        ("person", keeping.measured_by),
        ("coupon", keeping.coupon),
    ):
        if name is not None:
            name_of(name, what)
    with open_log(log_address(os.environ, keeping.log)) as log:
        if keeping.corrects is not None:
            require_measurement(log, keeping.corrects)
        yield Keeper(log=log, keeping=keeping, now=datetime.now().astimezone())


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper:
    """An open log, and what is said of everything that goes into it in this run."""

    log: Log
    keeping: Keeping
    now: datetime

    def keep(
        self,
        result: Result,
        request: Request,
        photos: tuple[Path, ...],
        unit: LengthUnit,
        *,
        by_hand: bool,
        person: str,
        file: FromFile | None = None,
    ) -> None:
        """Save one result, and say so, and what changed since the person's last run.

        Raises
        ------
        LogError
        """
        if not any(photo.usable for photo in result.photos):
            tell("Nothing was measured, so nothing was saved.")
            return
        limit_set = limit_set_of(request)
        run = self._run(result, person, file)
        since = self.since(result, unit, person=person, file=file)
        saved = save(
            self.log,
            Entry(
                result=result,
                photos=photos,
                person=person,
                coupon=run.coupon,
                run=run.name,
                measured_at=self.now,
                measured_by=self.keeping.measured_by,
                limit_set=limit_set.name,
                limit_edition=limit_set.edition,
                filler=file.filler if file else None,
                coupon_file=file.text if file else None,
                corrections=self._corrections(person, by_hand=by_hand),
            ),
        )
        new = f" {saved.person} is new in the log." if saved.new_person else ""
        tell(f"Saved as number {saved.number}: {saved.person}, {run.coupon}, {run.name}.{new}")
        for line in since:
            tell(line)

    def since(
        self, result: Result, unit: LengthUnit, *, person: str, file: FromFile | None = None
    ) -> list[str]:
        """Sentences on what changed since the person's last run of this kind.

        Raises
        ------
        LogError
        """
        from beadcheck.trends import last_run_lines, since_last_run

        return last_run_lines(
            since_last_run(self.log, result, self._run(result, person, file)), unit
        )

    def _run(self, result: Result, person: str, file: FromFile | None) -> Run:
        return Run(
            person=person,
            coupon=self.keeping.coupon or (file.coupon if file else coupon_of_now(self.now)),
            name=file.run if file else run_called(result.coupon),
            weld_pass=result.coupon.weld_pass,
            process=result.coupon.process,
            measured_at=self.now,
            corrects=self.keeping.corrects,
        )

    def _corrections(self, person: str, *, by_hand: bool) -> tuple[Correction, ...]:
        earlier = self.keeping.corrects
        if not by_hand and earlier is None:
            return ()
        return (
            Correction(
                what=Corrected.TOES if by_hand else Corrected.OTHER,
                by=self.keeping.measured_by or person,
                corrects=earlier,
            ),
        )
