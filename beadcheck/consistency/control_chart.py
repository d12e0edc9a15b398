"""Control charts: where a welder's values lie when nothing but chance moves them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.consistency.chart_constants import mean_range, range_spread

Floats = NDArray[np.float64]

FEWEST_VALUES: Final = 5
"""Below, the moving range says next to nothing of the scatter (common practice asks for 20)."""
TRUSTED_VALUES: Final = 20
"""From here on limits are usually taken for firm (common practice)."""
SIGMAS: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ControlChart:
    """Values in their order, with centre line and three-sigma limits, all in the values' unit.

    Attributes
    ----------
    values
        (N,) plotted values: readings, means or ranges.
    centre, lower, upper
        Centre line and control limits.
    sigma
        Standard deviation of one plotted value by chance alone; of a chart of ranges, of a range.
    """

    values: Floats
    centre: float
    lower: float
    upper: float
    sigma: float

    def __post_init__(self) -> None:
        self.values.flags.writeable = False

    @property
    def trial(self) -> bool:
        """Whether so few values stand behind the limits that they are a first try."""
        return self.values.size < TRUSTED_VALUES


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Charts:
    """A chart of the level and one of the scatter that belongs to it."""

    level: ControlChart
    scatter: ControlChart


class TooFewValuesError(ValueError):
    """A chart was asked of too few values."""


def individuals_charts(values: Sequence[float]) -> Charts:
    """Individuals and moving-range charts (one value a weld).

    Formulae as in the NIST/SEMATECH e-Handbook, 6.3.2.2: the mean moving range of two over d2 is
    the scatter.

    Raises
    ------
    TooFewValuesError
        Fewer than `FEWEST_VALUES` values.
    """
    level = np.array(values, dtype=np.float64)
    if level.size < FEWEST_VALUES:
        msg = f"individuals charts want {FEWEST_VALUES} values or more, not {level.size}"
        raise TooFewValuesError(msg)
    ranges = np.abs(np.diff(level))
    mean_of_ranges = float(ranges.mean())
    sigma = mean_of_ranges / mean_range(2)
    return Charts(
        level=_level(level, float(level.mean()), sigma),
        scatter=_ranges(ranges, mean_of_ranges, readings=2),
    )


def mean_and_range_charts(groups: Sequence[Sequence[float]]) -> Charts:
    """Mean and range charts of groups of equal size (several welds a day, or sectors a weld).

    Formulae as in the NIST/SEMATECH e-Handbook, 6.3.2.1 (Shewhart X-bar and R charts).

    Raises
    ------
    TooFewValuesError
        Fewer than `FEWEST_VALUES` groups.
    ValueError
        The groups differ in size, or have a single reading.
    """
    if len({len(group) for group in groups}) > 1:
        msg = "mean and range charts want groups of one size"
        raise ValueError(msg)
    if len(groups) < FEWEST_VALUES:
        msg = f"mean and range charts want {FEWEST_VALUES} groups or more, not {len(groups)}"
        raise TooFewValuesError(msg)
    readings = np.array(groups, dtype=np.float64)
    size = readings.shape[1]
    ranges = np.ptp(readings, axis=1)
    mean_of_ranges = float(ranges.mean())
    sigma = mean_of_ranges / mean_range(size) / float(np.sqrt(size))
    means = readings.mean(axis=1)
    return Charts(
        level=_level(means, float(means.mean()), sigma),
        scatter=_ranges(ranges, mean_of_ranges, readings=size),
    )


def _level(values: Floats, centre: float, sigma: float) -> ControlChart:
    return ControlChart(
        values=values,
        centre=centre,
        lower=centre - SIGMAS * sigma,
        upper=centre + SIGMAS * sigma,
        sigma=sigma,
    )


def _ranges(ranges: Floats, mean_of_ranges: float, *, readings: int) -> ControlChart:
    sigma = mean_of_ranges * range_spread(readings) / mean_range(readings)
    return ControlChart(
        values=ranges,
        centre=mean_of_ranges,
        lower=max(0.0, mean_of_ranges - SIGMAS * sigma),
        upper=mean_of_ranges + SIGMAS * sigma,
        sigma=sigma,
    )
