"""One person's trend, or a class's, looked up in the log: for both faces."""

from dataclasses import dataclass, replace

from beadcheck.consistency import Stretch
from beadcheck.log import (
    Log,
    Selection,
    Wanted,
    class_values,
    measurement_of,
    settings_of,
    summary_rows,
    summary_rows_of,
)
from beadcheck.report.wording import LengthUnit
from beadcheck.trends.bounds_of import bounds_of
from beadcheck.trends.last_run import LastRun, last_run_of
from beadcheck.trends.last_run_wording import last_run_lines
from beadcheck.trends.of_class import Member, Week, latest_numbers, of_class, weeks_of
from beadcheck.trends.points import single_readings
from beadcheck.trends.trend import Bounds, Trend, round_the_clock, trend_of
from beadcheck.trends.within import WithinWelds, within_welds
from beadcheck.trends.within_wording import within_lines
from beadcheck.trends.wording import clock_lines, subject_words, trend_lines


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PersonLooked:
    """What the log says of one person.

    Attributes
    ----------
    within
        Where along or round the welds the width strays; None for other values.
    around
        Round the clock what single photos gave, of other values than the width.
    last_run
        The latest weld against the run before; None where there was none of its kind.
    """

    trend: Trend
    within: WithinWelds | None
    around: tuple[Stretch, ...]
    last_run: LastRun | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClassLooked:
    """What the log says of a class: a line for each person, and the weeks.

    Attributes
    ----------
    within
        Where along or round everybody's welds the width strays; None for other values.
    """

    wanted: Wanted
    members: tuple[Member, ...]
    weeks: tuple[Week, ...]
    within: WithinWelds | None


def look_up_person(
    log: Log,
    selection: Selection,
    wanted: Wanted,
    *,
    bounds: Bounds | None = None,
    repeatability: float | None = None,
) -> PersonLooked:
    """Look a value up over the welds of the person who is selected.

    Parameters
    ----------
    bounds
        Limits of the value; None for those of the latest measurement.
    repeatability
        Standard deviation of measuring the same weld again, from a repeatability study.

    Raises
    ------
    UnknownPersonError, LogError
    """
    rows = summary_rows(log, wanted, selection)
    parts = summary_rows(log, replace(wanted, for_pass=False), selection)
    last_run = None
    if rows:
        latest = measurement_of(log, rows[-1].measurement)
        bounds = bounds or bounds_of(latest.result, wanted)
        last_run = last_run_of(log, latest)
    within = within_welds(log, rows, wanted.name)
    return PersonLooked(
        trend=trend_of(
            rows,
            wanted,
            parts=parts,
            settings=settings_of(log, selection),
            bounds=bounds,
            repeatability=repeatability,
        ),
        within=within,
        around=()
        if within is not None
        else round_the_clock(reading for mine in single_readings(rows, parts) for reading in mine),
        last_run=last_run,
    )


def look_up_class(log: Log, selection: Selection, wanted: Wanted) -> ClassLooked:
    """Look a value up over the welds of everybody who is selected.

    Raises
    ------
    LogError
    """
    values = class_values(log, wanted, selection)
    latest = summary_rows_of(log, wanted, latest_numbers(values))
    return ClassLooked(
        wanted=wanted,
        members=of_class(values, latest),
        weeks=weeks_of(values),
        within=within_welds(log, latest, wanted.name),
    )


def person_lines(found: PersonLooked, unit: LengthUnit) -> list[str]:
    """Everything that one person's welds say together, the most telling first."""
    return [
        *trend_lines(found.trend, unit),
        *within_lines(found.within, unit),
        *clock_lines(found.around, subject_words(found.trend)),
        *last_run_lines(found.last_run, unit),
    ]
