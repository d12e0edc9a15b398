"""Heights across the weld on an even grid, and what noise does to them."""

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_reading import ProfileTooSparseError

Floats = NDArray[np.float64]

FINEST_STEP_MM: Final = 0.02
"""Grid step below which nothing is gained: a fifth of the sharpest point spread."""
LONGEST_BRIDGE_MM: Final = 0.35
"""Holes up to this are bridged by a straight line; a groove at a toe is wider."""
SCRAP_MM: Final = 0.5
"""Shorter pieces between two holes are left out."""
LEAST_FILLED: Final = 0.4
"""Share of a smoothing window in which heights must be seen."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Section:
    """One profile on an even grid, in a frame in which the base metal is nearly level.

    Attributes
    ----------
    x_mm, z_mm, u_mm
        (N,) place across, height, and standard uncertainty of its own error; NaN in holes.
    step_mm
        Distance of neighbouring places.
    sample_mm
        Distance of neighbouring places that were seen.
    independent_mm, smooth_mm
        As of the `Profile`.
    """

    x_mm: Floats
    z_mm: Floats
    u_mm: Floats
    step_mm: float
    sample_mm: float
    independent_mm: float
    smooth_mm: float

    def __post_init__(self) -> None:
        for array in (self.x_mm, self.z_mm, self.u_mm):
            array.flags.writeable = False

    @property
    def inflation(self) -> float:
        """How many neighbouring grid places err alike."""
        return max(1.0, self.independent_mm / self.step_mm)

    def independent(self, length_mm: float) -> float:
        """Number of independent errors in a length, at least one."""
        return max(1.0, length_mm / max(self.independent_mm, self.step_mm))

    def between(self, low_mm: float, high_mm: float) -> NDArray[np.bool_]:
        """(N,) places from one to another where a height is seen."""
        return np.asarray(
            (self.x_mm >= low_mm) & (self.x_mm <= high_mm) & np.isfinite(self.z_mm), dtype=np.bool_
        )


def even_section(
    x_mm: Floats, z_mm: Floats, u_mm: Floats, *, independent_mm: float, smooth_mm: float
) -> Section:
    """Section on an even grid from (N,) growing places with NaN where nothing was seen.

    Noise is not shrunk by it: the grid is as wide as the samples, and wide holes stay holes.

    Raises
    ------
    ProfileTooSparseError
        If hardly any height is seen.
    """
    seen = np.isfinite(z_mm) & np.isfinite(u_mm)
    x, z, u = x_mm[seen], z_mm[seen], u_mm[seen]
    if len(x) < 2:
        raise ProfileTooSparseError(100.0 * float(seen.mean()))
    sample_mm = float(np.median(np.diff(x)))
    step_mm = max(sample_mm, FINEST_STEP_MM)
    grid = np.arange(x[0], x[-1] + 0.5 * step_mm, step_mm)
    after = np.clip(np.searchsorted(x, grid), 1, len(x) - 1)
    hole = (x[after] - x[after - 1]) > max(LONGEST_BRIDGE_MM, 2.5 * step_mm)
    for start, end in runs(~hole):
        # What is seen between two holes and hardly longer than noise is more often a glint.
        if start > 0 and end < len(hole) and (end - start) * step_mm < SCRAP_MM:
            hole[start:end] = True
    return Section(
        x_mm=grid,
        z_mm=np.where(hole, np.nan, np.interp(grid, x, z)),
        u_mm=np.where(hole, np.nan, np.interp(grid, x, u)),
        step_mm=step_mm,
        sample_mm=sample_mm,
        independent_mm=independent_mm,
        smooth_mm=smooth_mm,
    )


def runs(members: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and one past the last index of each run of members.

    Examples
    --------
    >>> runs(np.array([True, True, False, True]))
    [(0, 2), (3, 4)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[False], members, [False]]).astype(int)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Smoothed:
    """(N,) heights of the parabola that fits best in a window, its bend, and its uncertainty."""

    z_mm: Floats
    bend_per_mm: Floats
    u_mm: Floats


def smoothed(section: Section, window_mm: float) -> Smoothed:
    """Parabola through the heights within half a window of each place.

    A parabola keeps the height of a crest and the depth of a groove (Savitzky and Golay, Anal.
    Chem. 36 (1964) 1627). NaN where too little of the window is seen.
    """
    half = max(1, round(0.5 * window_mm / section.step_mm))
    offsets = section.step_mm * np.arange(-half, half + 1)
    seen = np.isfinite(section.z_mm)
    heights = np.where(seen, section.z_mm, 0.0)
    variance = np.where(seen, section.u_mm, 0.0) ** 2
    weight = seen.astype(np.float64)

    def moment(values: Floats, power: int) -> Floats:
        return np.convolve(values, (offsets**power)[::-1], mode="same")[: len(values)]

    if len(offsets) > len(weight):
        missing = np.full(len(weight), np.nan)
        return Smoothed(z_mm=missing, bend_per_mm=missing, u_mm=missing)
    s = [moment(weight, power) for power in range(5)]
    t = [moment(heights, power) for power in range(3)]
    # Normal equations of a + b x + c x^2, solved by cofactors of the symmetric 3 x 3 matrix.
    aa, ab, ac = s[2] * s[4] - s[3] ** 2, s[2] * s[3] - s[1] * s[4], s[1] * s[3] - s[2] ** 2
    bc, cc = s[1] * s[2] - s[0] * s[3], s[0] * s[2] - s[1] ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        determinant = s[0] * aa + s[1] * ab + s[2] * ac
        enough = (s[0] >= max(3.0, LEAST_FILLED * len(offsets))) & (determinant > 0.0)
        level = np.where(enough, (aa * t[0] + ab * t[1] + ac * t[2]) / determinant, np.nan)
        bend = np.where(enough, 2.0 * (ac * t[0] + bc * t[1] + cc * t[2]) / determinant, np.nan)
        own = np.where(enough, moment(variance, 0) / s[0], np.nan)
        # The weight that a level gives its middle is aa / determinant: the inverse of the number of
        # places that it rests on.
        share = np.clip(section.inflation * aa / determinant, 0.0, 1.0)
    return Smoothed(z_mm=level, bend_per_mm=bend, u_mm=np.sqrt(own * share))


def expected_largest(count: float) -> float:
    """Mean of the largest of so many standard normal errors (Blom 1958).

    Examples
    --------
    >>> round(expected_largest(1.0), 2), round(expected_largest(10.0), 2)
    (0.0, 1.55)
    """
    return NormalDist().inv_cdf((max(count, 1.0) - 0.375) / (max(count, 1.0) + 0.25))


def picked_excess_mm(
    height_mm: Floats, at: int, u_mm: float, apart_mm: float, step_mm: float
) -> float:
    """By how much noise raises the largest of many heights, on average.

    Only places that rival the largest within two standard uncertainties take part; places nearer
    than `apart_mm` err alike.
    """
    with np.errstate(invalid="ignore"):
        rivals = np.count_nonzero(height_mm >= height_mm[at] - 2.0 * u_mm)
    return expected_largest(rivals * step_mm / max(apart_mm, step_mm)) * u_mm


def robust_spread(values: Floats) -> float:
    """Standard deviation from the median distance of the median; outliers hardly matter."""
    if len(values) == 0:
        return 0.0
    half = len(values) // 2
    middle = np.partition(values, half)[half]
    return 1.4826 * float(np.partition(np.abs(values - middle), half)[half])


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of something within +- a half width (GUM 4.3.7)."""
    return half_width / math.sqrt(3.0)
