"""Heights across the weld on an even grid, and what noise does to them."""

import math
from dataclasses import dataclass, field
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
        (N,) growing place across, height, and standard uncertainty of its own error; NaN in holes.
    seen
        (N,) whether a height is seen.
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
    seen: NDArray[np.bool_]
    step_mm: float
    sample_mm: float
    independent_mm: float
    smooth_mm: float
    _smoothed: dict[float, "Smoothed"] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        for array in (self.x_mm, self.z_mm, self.u_mm, self.seen):
            array.flags.writeable = False

    @property
    def inflation(self) -> float:
        """How many neighbouring grid places err alike."""
        return max(1.0, self.independent_mm / self.step_mm)

    def independent(self, length_mm: float) -> float:
        """Number of independent errors in a length, at least one."""
        return max(1.0, length_mm / max(self.independent_mm, self.step_mm))

    def span(self, low_mm: float, high_mm: float) -> slice:
        """Grid places from one to another, whether seen or not."""
        return places_between(self.x_mm, low_mm, high_mm)

    def between(self, low_mm: float, high_mm: float) -> NDArray[np.bool_]:
        """(N,) places from one to another where a height is seen."""
        here = np.zeros(len(self.x_mm), dtype=np.bool_)
        span = self.span(low_mm, high_mm)
        here[span] = self.seen[span]
        return here


def places_between(x_mm: Floats, low_mm: float, high_mm: float) -> slice:
    """Indices of growing places from one to another, both ends in."""
    return slice(int(x_mm.searchsorted(low_mm, "left")), int(x_mm.searchsorted(high_mm, "right")))


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
    x, z, u = (x_mm, z_mm, u_mm) if seen.all() else (x_mm[seen], z_mm[seen], u_mm[seen])
    if len(x) < 2:
        raise ProfileTooSparseError(100.0 * float(seen.mean()))
    apart_mm = x[1:] - x[:-1]
    sample_mm = middle_of(apart_mm)
    step_mm = max(sample_mm, FINEST_STEP_MM)
    grid = np.arange(x[0], x[-1] + 0.5 * step_mm, step_mm)
    heights, own = np.interp(grid, x, z), np.interp(grid, x, u)
    known = np.ones(len(grid), dtype=np.bool_)
    too_wide = apart_mm > max(LONGEST_BRIDGE_MM, 2.5 * step_mm)
    if too_wide.any():
        known = ~too_wide[np.clip(x.searchsorted(grid), 1, len(x) - 1) - 1]
        for start, end in runs(known):
            # What is seen between two holes and hardly longer than noise is more often a glint.
            if start > 0 and end < len(known) and (end - start) * step_mm < SCRAP_MM:
                known[start:end] = False
        heights[~known] = own[~known] = np.nan
    return Section(
        x_mm=grid,
        z_mm=heights,
        u_mm=own,
        seen=known,
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
    edges = np.flatnonzero(members[1:] != members[:-1]) + 1
    ends = [*([0] if members[0] else []), *edges.tolist(), *([len(members)] if members[-1] else [])]
    return list(zip(ends[::2], ends[1::2], strict=True))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Smoothed:
    """(N,) heights of the parabola that fits best in a window, its bend, and its uncertainty."""

    z_mm: Floats
    bend_per_mm: Floats
    u_mm: Floats


def smoothed(section: Section, window_mm: float) -> Smoothed:
    """Parabola through the heights within half a window of each place.

    A parabola keeps the height of a crest and the depth of a groove (Savitzky and Golay, Anal.
    Chem. 36 (1964) 1627). NaN where too little of the window is seen. A section keeps what was
    worked out of it, since several readings look at the same heights.
    """
    found = section._smoothed.get(window_mm)
    if found is None:
        found = section._smoothed[window_mm] = _parabolas(section, window_mm)
    return found


def _parabolas(section: Section, window_mm: float) -> Smoothed:
    half = _half_places(section, window_mm)
    width = 2 * half + 1
    if width > len(section.x_mm):
        missing = np.full(len(section.x_mm), np.nan)
        return Smoothed(z_mm=missing, bend_per_mm=missing, u_mm=missing)
    seen, heights, variance = section.seen, section.z_mm, section.u_mm**2
    if not seen.all():
        heights, variance = np.where(seen, heights, 0.0), np.where(seen, variance, 0.0)
    weight = seen.astype(np.float64)
    powers = np.vander(section.step_mm * np.arange(-half, half + 1), 5, increasing=True).T.copy()
    s0, s1, s2, s3, s4 = (np.correlate(weight, power, "same") for power in powers)
    t0, t1, t2 = (np.correlate(heights, power, "same") for power in powers[:3])
    # Normal equations of a + b x + c x^2, solved by cofactors of the symmetric 3 x 3 matrix.
    aa, ab, ac = s2 * s4 - s3**2, s2 * s3 - s1 * s4, s1 * s3 - s2**2
    bc, cc = s1 * s2 - s0 * s3, s0 * s2 - s1**2
    determinant = s0 * aa + s1 * ab + s2 * ac
    determinant[(s0 < _fewest_places(width)) | (determinant <= 0.0)] = np.nan
    inverse = 1.0 / determinant
    # The weight that a level gives its middle is aa / determinant: the inverse of the number of
    # places that it rests on.
    share = np.clip(section.inflation * aa * inverse, 0.0, 1.0)
    own = np.correlate(variance, powers[0], "same") / np.maximum(s0, 1.0)
    return Smoothed(
        z_mm=(aa * t0 + ab * t1 + ac * t2) * inverse,
        bend_per_mm=2.0 * (ac * t0 + bc * t1 + cc * t2) * inverse,
        u_mm=np.sqrt(own * share),
    )


def enough_seen(section: Section, window_mm: float) -> NDArray[np.bool_]:
    """(N,) places around which enough of a window is seen for a smoothed height."""
    width = 2 * _half_places(section, window_mm) + 1
    if width > len(section.x_mm):
        return np.zeros(len(section.x_mm), dtype=np.bool_)
    count = np.correlate(section.seen.astype(np.float64), np.ones(width), "same")
    return np.asarray(count >= _fewest_places(width), dtype=np.bool_)


def _half_places(section: Section, window_mm: float) -> int:
    return max(1, round(0.5 * window_mm / section.step_mm))


def _fewest_places(width: int) -> float:
    """Heights that a parabola needs in a window of so many places."""
    return max(3.0, LEAST_FILLED * width)


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


def middle_of(values: Floats) -> float:
    """Median of values that hold no NaN; NaN where there are none."""
    if len(values) == 0:
        return math.nan
    ordered = np.sort(values)
    return 0.5 * float(ordered[(len(values) - 1) // 2] + ordered[len(values) // 2])


def robust_spread(values: Floats) -> float:
    """Standard deviation from the median distance of the median; outliers hardly matter."""
    if len(values) == 0:
        return 0.0
    half = len(values) // 2
    ordered = values.copy()
    ordered.partition(half)
    distance = np.abs(values - ordered[half])
    distance.partition(half)
    return 1.4826 * float(distance[half])


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of something within +- a half width (GUM 4.3.7)."""
    return half_width / math.sqrt(3.0)
