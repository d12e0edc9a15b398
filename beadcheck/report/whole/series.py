"""What a plot of the whole weld holds: one quantity by places, with its limits."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.wording import LengthUnit, full_words
from beadcheck.result import BeyondLimitRecord, Result, SectorRecord, WholeWeldRecord
from beadcheck.units import MM_PER_INCH

Floats = NDArray[np.float64]

FIRST_SHOWN: Final = ("weld_width", "ripple_spacing", "pulse_overlap", "face_reinforcement")
"""What comes first; other quantities follow in the order of the result."""
AGAINST_MEAN: Final = {"max - mean": 1.0, "mean - min": -1.0}
"""Limits on how far a width may lie from the mean, and to which side."""


class Half(StrEnum):
    """Which half of a pipe's weld a sector lies in; the words for it."""

    FIRST = "12 through 3 to 6 o'clock"
    SECOND = "6 through 9 to 12 o'clock"
    BOTH = "a sector of both halves"
    NONE = "sector"


@dataclass(frozen=True, slots=True, kw_only=True)
class SectorPoint:
    """One value of one sector, in the unit shown."""

    arc_mm: float
    value: float
    expanded: float
    half: Half


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    """One quantity by places along the weld, in the unit shown.

    Attributes
    ----------
    title
        Its name, with the unit.
    arc_mm, values, expanded
        (N,) its single readings, every mm; empty where only sectors have values.
    points
        Values of the sectors.
    lowest, highest
        Its limits; None where there is none.
    beyond
        Where it lies beyond them, as recorded.
    factor
        By what a recorded value is multiplied to be in the unit shown.
    """

    title: str
    arc_mm: Floats
    values: Floats
    expanded: Floats
    points: tuple[SectorPoint, ...]
    lowest: float | None
    highest: float | None
    beyond: tuple[BeyondLimitRecord, ...]
    factor: float

    @property
    def extent(self) -> tuple[float, float]:
        """Least and greatest value that a plot has to hold: bands and limits included."""
        held = [
            *(self.values - self.expanded),
            *(self.values + self.expanded),
            *(point.value - point.expanded for point in self.points),
            *(point.value + point.expanded for point in self.points),
            *(each for each in (self.lowest, self.highest) if each is not None),
        ]
        low, high = float(min(held)), float(max(held))
        room = 0.06 * max(high - low, 1e-6)
        return low - room, high + room

    def at(self, arc_mm: float) -> float:
        """Value at a place: of the nearest single reading, else of the nearest sector."""
        if self.arc_mm.size:
            return float(self.values[np.argmin(np.abs(self.arc_mm - arc_mm))])
        return min(self.points, key=lambda point: abs(point.arc_mm - arc_mm)).value


def series_of(result: Result, *, unit: LengthUnit) -> tuple[Series, ...]:
    """Return every quantity that has values by sector; empty where photos were not joined."""
    whole = result.whole_weld
    if whole is None:
        return ()
    kinds = dict.fromkeys(
        (value.name, value.side) for sector in whole.sectors for value in sector.values
    )
    ordered = sorted(
        kinds,
        key=lambda kind: FIRST_SHOWN.index(kind[0]) if kind[0] in FIRST_SHOWN else len(FIRST_SHOWN),
    )
    made = (_series(result, whole, name, side, unit) for name, side in ordered)
    return tuple(each for each in made if each is not None)


def _series(
    result: Result, whole: WholeWeldRecord, name: str, side: str | None, unit: LengthUnit
) -> Series | None:
    """One quantity; None where no sector has its mean or greatest value."""
    lowest, highest, limited = _limits(result, name)
    statistics = {
        value.statistic: value.unit
        for sector in whole.sectors
        for value in sector.values
        if (value.name, value.side) == (name, side)
    }
    # A limit on the greatest value says nothing of means.
    statistic = limited if limited in statistics else "mean"
    if statistic not in statistics:
        return None
    in_unit = statistics[statistic]
    inches = unit is LengthUnit.INCH and in_unit == "mm"
    factor = 1.0 / MM_PER_INCH if inches else 100.0 if in_unit == "ratio" else 1.0
    sign = "in" if inches else {"ratio": "%", "deg": "°"}.get(in_unit, in_unit)
    stations = whole.stations if name == "weld_width" else ()
    return Series(
        title=f"{full_words(name, None if stations else statistic, side)}, {sign}",
        arc_mm=np.array([each.arc_mm for each in stations], dtype=np.float64),
        values=factor * np.array([each.weld_width_mm for each in stations], dtype=np.float64),
        expanded=factor * np.array([each.weld_width_U_mm for each in stations], dtype=np.float64),
        points=tuple(
            SectorPoint(
                arc_mm=0.5 * (sector.from_arc_mm + sector.to_arc_mm),
                value=factor * value.value,
                expanded=factor * value.expanded_uncertainty,
                half=half_of(whole, sector),
            )
            for sector in whole.sectors
            for value in sector.values
            if (value.name, value.side, value.statistic) == (name, side, statistic)
        ),
        lowest=None if lowest is None else factor * lowest,
        highest=None if highest is None else factor * highest,
        beyond=tuple(each for each in whole.beyond_limits if each.name == name),
        factor=factor,
    )


def _limits(result: Result, name: str) -> tuple[float | None, float | None, str]:
    """Lowest and highest limit on a quantity itself, and the statistic that they are on.

    Limits on a distance from the mean are laid about the mean of the whole weld.
    """
    mean = next(
        (
            each.value
            for each in result.quantities
            if (each.name, each.statistic, each.scope) == (name, "mean", "coupon")
        ),
        None,
    )
    lowest: list[float] = []
    highest: list[float] = []
    statistic = "mean"
    for check in result.checks:
        if check.name != name or check.limit is None:
            continue
        if check.statistic in AGAINST_MEAN:
            if mean is not None and check.photo is None:
                side = AGAINST_MEAN[check.statistic]
                (highest if side > 0.0 else lowest).append(mean + side * check.limit)
            continue
        if check.statistic == "max":
            statistic = "max"
        if check.sense == "at least":
            lowest.append(check.limit)
            continue
        highest.append(check.limit)
        if check.lowest is not None:
            lowest.append(check.lowest)
    return max(lowest, default=None), min(highest, default=None), statistic


def half_of(whole: WholeWeldRecord, sector: SectorRecord) -> Half:
    """Which half a sector lies in; none where halves were not compared."""
    if not whole.halves or sector.middle_clock_deg is None:
        return Half.NONE
    reach = 180.0 * (sector.to_arc_mm - sector.from_arc_mm) / whole.length_mm
    first, last = sector.middle_clock_deg - reach, sector.middle_clock_deg + reach
    slack = 1e-6
    if first >= -slack and last <= 180.0 + slack:
        return Half.FIRST
    return Half.SECOND if first >= 180.0 - slack and last <= 360.0 + slack else Half.BOTH
