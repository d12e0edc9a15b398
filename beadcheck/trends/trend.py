"""One value over many welds: how steady it is, and what moved it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from beadcheck.consistency import (
    Capability,
    Change,
    Charts,
    Reading,
    RunRule,
    Signal,
    Stretch,
    by_clock,
    capability,
    change,
    individuals_charts,
    mean_and_range_charts,
    signals,
)
from beadcheck.consistency.capability import FEWEST_VALUES as FEWEST_FOR_CAPABILITY
from beadcheck.consistency.control_chart import FEWEST_VALUES as FEWEST_FOR_CHARTS
from beadcheck.log import SettingOf, SummaryRow, Wanted
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.trends.points import Points, points_of
from beadcheck.trends.settings_change import SettingsChange, last_settings_change

MOST_ON_A_SIDE: Final = 8
"""Welds that speak for before and for after a change: older ones were another hand's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Limits of a value, in its unit; None where there is none."""

    lowest: float | None = None
    highest: float | None = None
    source: str = ""

    @property
    def known(self) -> bool:
        """Whether there is any."""
        return self.lowest is not None or self.highest is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trend:
    """A value over the welds of one person, oldest first.

    Attributes
    ----------
    points
        What stands as one point on the charts.
    charts
        Means and ranges where the points are several readings each, else individuals and moving
        ranges; None where there are too few.
    signals
        What the run rules pick out of the chart of the level, by points.
    uneven
        Points whose range lies beyond its limit. Moving ranges say nothing that the individuals do
        not: none are picked out (Nelson, Journal of Quality Technology 14, 1982).
    capability
        Against the bounds; None without bounds, with too few welds, or without any scatter.
    since_last
        The last weld against the one before it; None where there is one alone.
    settings
        The last change of settings; None where none was given or none changed.
    since_settings
        Welds after that change against those before; None likewise.
    """

    wanted: Wanted
    rows: tuple[SummaryRow, ...]
    bounds: Bounds
    points: Points
    charts: Charts | None
    signals: tuple[Signal, ...]
    uneven: tuple[Signal, ...]
    capability: Capability | None
    since_last: Change | None
    settings: SettingsChange | None
    since_settings: Change | None


def trend_of(
    rows: Sequence[SummaryRow],
    wanted: Wanted,
    *,
    parts: Sequence[SummaryRow] = (),
    settings: Iterable[SettingOf] = (),
    bounds: Bounds | None = None,
    repeatability: float | None = None,
) -> Trend:
    """Work out the trend of one person's welds.

    Parameters
    ----------
    rows
        One for each weld, oldest first, in the wanted unit.
    parts
        What single photos of the welds gave beside it.
    repeatability
        Standard deviation of measuring the same weld again, from a repeatability study.
    """
    bounds = bounds or Bounds()
    values = [row.value for row in rows]
    points = points_of(rows, parts)
    charts = _charts(points)
    moved = last_settings_change(rows, settings)
    return Trend(
        wanted=wanted,
        rows=tuple(rows),
        bounds=bounds,
        points=points,
        charts=charts,
        signals=() if charts is None else signals(charts.level),
        uneven=_uneven(charts) if points.grouped and charts is not None else (),
        capability=_capability(values, bounds),
        since_last=_change(rows[-2:-1], rows[-1:], repeatability),
        settings=moved,
        since_settings=None if moved is None else _since(rows, moved.first_after, repeatability),
    )


def _charts(points: Points) -> Charts | None:
    if len(points.each) < FEWEST_FOR_CHARTS:
        return None
    readings = [point.readings for point in points.each]
    if points.grouped:
        return mean_and_range_charts(readings)
    return individuals_charts([value for (value,) in readings])


def _uneven(charts: Charts) -> tuple[Signal, ...]:
    # The rules of zones suppose limits that are symmetric, which those of ranges are not.
    found = signals(charts.scatter)
    return tuple(signal for signal in found if signal.rule is RunRule.BEYOND_LIMIT)


def round_the_clock(rows: Iterable[SummaryRow]) -> tuple[Stretch, ...]:
    """Twelve sectors of the clock: what single photos of pipes gave there; empty without any."""
    placed = [(row.clock_deg, row.value) for row in rows if row.clock_deg is not None]
    if not placed:
        return ()
    clock_deg, values = zip(*placed, strict=True)
    return by_clock(clock_deg, values)


def _since(
    rows: Sequence[SummaryRow], first_after: int, repeatability: float | None
) -> Change | None:
    before = rows[max(0, first_after - MOST_ON_A_SIDE) : first_after]
    return _change(before, rows[first_after : first_after + MOST_ON_A_SIDE], repeatability)


def _change(
    before: Sequence[SummaryRow], after: Sequence[SummaryRow], repeatability: float | None
) -> Change | None:
    if not before or not after:
        return None
    return change(_readings(before), _readings(after), repeatability=repeatability)


def _readings(rows: Sequence[SummaryRow]) -> list[Reading]:
    return [
        Reading(value=row.value, standard_uncertainty=row.expanded_uncertainty / COVERAGE_FACTOR)
        for row in rows
    ]


def _capability(values: Sequence[float], bounds: Bounds) -> Capability | None:
    enough = len(values) >= FEWEST_FOR_CAPABILITY and len(set(values)) > 1
    if not bounds.known or not enough:
        return None
    return capability(values, lowest=bounds.lowest, highest=bounds.highest)
