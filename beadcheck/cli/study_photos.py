"""Measuring the photos of a repeatability study."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.progress import track

from beadcheck.coupon import Coupon
from beadcheck.errors.gauge_study import StudyPhotoNotMeasuredError
from beadcheck.gauge_study import StudyLine, StudyReading
from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.report.wording import full_words
from beadcheck.result import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class Studied:
    """Which value of each photo is studied, and how the photos are measured."""

    name: QuantityName
    statistic: Statistic
    side: Side | None
    coupon: Coupon
    target: Path | None
    measured_bar_mm: float | None


def study_readings(lines: Sequence[StudyLine], studied: Studied) -> tuple[StudyReading, ...]:
    """Reading of each line: its value as it stands, or what its photo gives.

    Raises
    ------
    StudyPhotoNotMeasuredError
    """
    console = Console(stderr=True)
    shown = track(
        lines,
        description="Measuring",
        console=console,
        transient=True,
        disable=not console.is_terminal or not any(isinstance(line.source, Path) for line in lines),
    )
    return tuple(
        StudyReading(
            part=line.part,
            by=line.by,
            value=_measured(line.source, studied) if isinstance(line.source, Path) else line.source,
            gauge=line.gauge,
        )
        for line in shown
    )


def _measured(photo: Path, studied: Studied) -> float:
    request = Request(
        takes=takes_of([photo]),
        coupon=studied.coupon,
        target=studied.target,
        measured_bar_mm=studied.measured_bar_mm,
    )
    result = measure(request)
    side = None if studied.side is None else studied.side.value
    for each in result.quantities:
        if (each.name, each.statistic, each.side) == (studied.name, studied.statistic, side):
            return each.value
    what = full_words(studied.name.value, studied.statistic.value, side)
    raise StudyPhotoNotMeasuredError(photo.name, what, _why(result, studied))


def _why(result: Result, studied: Studied) -> str:
    """Reason in the result's own words, without its full stop."""
    problems = [p.message for photo in result.photos if not photo.usable for p in photo.problems]
    reasons = [each.reason for each in result.not_measured if each.name == studied.name]
    return next(iter([*problems, *reasons]), "it is no value of such a photo").rstrip(".")
