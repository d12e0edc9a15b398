"""Where the metal leaves the lines of the parent metal, found without knowing the weld."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.errors.profile_reading import TooLittleBaseMetalError
from beadcheck.measurements.profile.section import (
    Floats,
    Section,
    middle_of,
    places_between,
    robust_spread,
    smoothed,
)

START_MM: Final = 2.5
"""Parent metal from which a line is grown; the brief to whoever makes profiles asks for it."""
LEAST_SEEN: Final = 0.6
"""Share of the stretch to begin with at which metal must be seen."""
LITTLE_GROWN: Final = 1.0
SAME_LEVEL_MM: Final = 0.4
"""Parent metal farther in lies no higher or lower than this over that at the end."""
SAME_SLOPE: Final = 0.08
LEAST_ELSEWHERE_MM: Final = 4.0
OTHER_STARTS_MM: Final = (1.25, 2.5)
"""How far farther in to begin, where a stretch is spoilt by spatter or a hole."""
HINT_MARGIN_MM: Final = 1.2
"""How far outside a toe that is known roughly the parent metal is taken to begin."""
HINT_LENGTH_MM: Final = 4.0
HINT_TRUST: Final = 0.3
"""Part of the weld's width by which a toe that is known roughly may be off."""
LOOK_MM: Final = 0.5
"""Smoothing before a departure counts: shorter than the flank of a low bead."""
LEAVES_BY_MM: Final = 0.05
"""Departure below which metal counts as level however small the noise: rolled and brushed plate is
no flatter."""
LEAVES_BY_U: Final = 3.5
"""The same in standard uncertainties: one place in 2000 goes beyond by chance."""
LONGEST_SPATTER_MM: Final = 1.5
"""A departure that is over within this is not the weld, if level metal follows for as long."""
FEWEST_PLACES: Final = 3
"""Places that a line needs."""
LONGEST_FIT_MM: Final = 10.0
GROWS_BY: Final = 0.25
"""How far a line is trusted beyond its end at a time, in lengths of itself."""
FOOT_MM: Final = 0.8
"""Metal before the end of what is level that may be the rounded foot of the weld."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughEdges:
    """Last level metal on the left, first on the right, and the slope of both, roughly.

    `flat` tells that the metal leaves no line: no weld stands out.
    """

    left_mm: float
    right_mm: float
    slope: float
    flat: bool


def rough_edges(section: Section, near_toes_mm: tuple[float, float] | None) -> RoughEdges:
    """Grow the parent metal from either end (or from outside the toes that are known roughly).

    Raises
    ------
    TooLittleBaseMetalError
        If level metal to start from is not seen on a side.
    """
    soft = smoothed(section, LOOK_MM)
    seen = np.isfinite(soft.z_mm)
    x, z, u = section.x_mm[seen], soft.z_mm[seen], soft.u_mm[seen]
    starts = _starts(x, near_toes_mm)
    left_mm, left_slope = _longest(x, z, u, starts[0], section)
    # The right side is the left one of the mirrored profile.
    mirrored = (-starts[1][1], -starts[1][0])
    right_mm, right_slope = _longest(-x[::-1], z[::-1], u[::-1], mirrored, section)
    right_mm = -right_mm
    if near_toes_mm is not None:
        most_mm = HINT_TRUST * (near_toes_mm[1] - near_toes_mm[0])
        if left_mm > near_toes_mm[0] + most_mm or right_mm < near_toes_mm[1] - most_mm:
            # A short, rough stretch of parent metal led up the flank.
            low_mm, high_mm = near_toes_mm
            slope = _slope_between(x, z, *starts)
            return RoughEdges(left_mm=low_mm, right_mm=high_mm, slope=slope, flat=False)
    return RoughEdges(
        left_mm=left_mm,
        right_mm=right_mm,
        slope=0.5 * (left_slope - right_slope),
        flat=left_mm >= right_mm or left_mm >= x[-1] - LOOK_MM or right_mm <= x[0] + LOOK_MM,
    )


def _slope_between(
    x: Floats, z: Floats, left_mm: tuple[float, float], right_mm: tuple[float, float]
) -> float:
    """Slope from one stretch of parent metal to the other."""
    (low, low_z), (high, high_z) = (
        (middle_of(x[here]), middle_of(z[here]))
        for here in (places_between(x, *left_mm), places_between(x, *right_mm))
    )
    return (high_z - low_z) / (high - low)


def _starts(
    x: Floats, near_toes_mm: tuple[float, float] | None
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Stretches of parent metal to begin with, on the left and on the right."""
    if near_toes_mm is None:
        low, high = _outermost(x), -_outermost(-x[::-1])
        starts = (low, low + START_MM), (high - START_MM, high)
    else:
        low, high = near_toes_mm[0] - HINT_MARGIN_MM, near_toes_mm[1] + HINT_MARGIN_MM
        starts = (low - HINT_LENGTH_MM, low), (high, high + HINT_LENGTH_MM)
    for side, (low, high) in zip(("left", "right"), starts, strict=True):
        here = x[places_between(x, low, high)]
        length_mm = float(here[-1] - here[0]) if len(here) > 2 else 0.0
        if length_mm < 0.5 * START_MM:
            raise TooLittleBaseMetalError(side, length_mm, 0.5 * START_MM)
    return starts


def _outermost(x: Floats) -> float:
    """First place from which metal is seen on; a scrap beyond a hole is left out."""
    seen_mm = middle_of(np.diff(x)) * (np.searchsorted(x, x + START_MM) - np.arange(len(x)))
    enough = np.flatnonzero(seen_mm >= LEAST_SEEN * START_MM)
    return float(x[enough[0]] if len(enough) else x[0])


def _longest(
    x: Floats, z: Floats, u: Floats, start: tuple[float, float], section: Section
) -> tuple[float, float]:
    """Level metal grown from a stretch; from farther in where that one leads nowhere."""
    best = _grown(x, z, u, start, section)
    length = best[0] - start[0]
    for shift_mm in OTHER_STARTS_MM:
        if length > LITTLE_GROWN * START_MM:
            break
        low, high = start[0] + shift_mm, start[1] + shift_mm
        here = places_between(x, low, high)
        if here.stop - here.start < FEWEST_PLACES:
            continue
        level_mm = middle_of(z[places_between(x, *start)])
        if abs(middle_of(z[here]) - level_mm) > SAME_LEVEL_MM:
            continue
        end, slope = _grown(x, z, u, (low, high), section)
        # A straight flank leads on for a little as well; parent metal goes on for longer.
        goes_on = end - low > max(LEAST_ELSEWHERE_MM, 1.5 * length)
        if goes_on and abs(slope - best[1]) < SAME_SLOPE:
            best, length = (end, slope), end - low
    return best


def _grown(
    x: Floats, z: Floats, u: Floats, start: tuple[float, float], section: Section
) -> tuple[float, float]:
    """Last place of level metal that goes on to the right from a stretch, and its slope."""
    first = places_between(x, *start)
    begin, end = float(x[first.start]), float(x[first.stop - 1])
    slope, height = _repeated_medians(x[first], z[first])
    middle, sure_to = 0.0, end
    while True:
        low = max(begin, end - LONGEST_FIT_MM)
        residual = z - height - slope * (x - middle)
        base = places_between(x, low, end)
        spread = max(robust_spread(residual[base]), middle_of(u[base]))
        length = max(end - low, section.step_mm)
        count = section.independent(length)
        # Standard uncertainty of a line beyond its end (GUM H.3).
        away = (x - 0.5 * (low + end)) / length
        u_line_squared = spread**2 * (1.0 + 12.0 * away**2) / count
        u_all = np.sqrt(np.maximum(u, spread) ** 2 + u_line_squared)
        level = np.abs(residual) <= np.maximum(LEAVES_BY_MM, LEAVES_BY_U * u_all)
        # A hole is no departure: go on where metal is seen again.
        again = float(x[base.stop]) if base.stop < len(x) else end
        furthest = min(max(end + GROWS_BY * length, again + LOOK_MM), float(x[-1]))
        inside = places_between(x, begin, furthest)
        reach = _level_until(x, level, inside, section.step_mm)
        # A line refitted to what has departed would follow it up the face: the first one ends it.
        departed = reach < float(x[inside.stop - 1]) - LOOK_MM
        if departed or reach <= end or reach >= x[-1]:
            return max(reach, begin + 0.5 * START_MM), slope
        end = reach
        # What lies just before the end may be the foot of the weld already.
        span = places_between(x, max(begin, end - LONGEST_FIT_MM), max(end - FOOT_MM, sure_to))
        fit_x, fit_z = x[span][level[span]], z[span][level[span]]
        if len(fit_x) < FEWEST_PLACES:
            return end, slope
        middle, height = float(fit_x.mean()), float(fit_z.mean())
        lever = fit_x - middle
        slope = float(lever @ fit_z) / float(lever @ lever)


def _repeated_medians(x: Floats, z: Floats) -> tuple[float, float]:
    """Slope and height at zero of a line that half of the points may lie off (Siegel 1982)."""
    count = len(x)
    # Each row leaves its own point out: the diagonal goes when rows are read one place longer.
    run, rise = (
        (values - values[:, None]).ravel()[1:].reshape(count - 1, count + 1)[:, :-1]
        for values in (x, z)
    )
    slopes = np.sort((rise / run).reshape(count, count - 1), axis=1)
    slope = middle_of(0.5 * (slopes[:, count // 2 - 1] + slopes[:, (count - 1) // 2]))
    return slope, middle_of(z - slope * x)


def _level_until(x: Floats, level: np.ndarray, inside: slice, step_mm: float) -> float:
    """Last level place before a departure that lasts, or that no level metal follows."""
    at = inside.start
    while at < inside.stop:
        rest = level[at : inside.stop]
        gone = at + int(rest.argmin())
        if level[gone]:
            break
        end = float(x[max(gone - 1, inside.start)])
        back = gone + int(level[gone:].argmax())
        if not level[back] or x[back] - x[gone] > LONGEST_SPATTER_MM:
            return end
        follows = places_between(x, float(x[back]), float(x[back]) + LONGEST_SPATTER_MM)
        seen_mm = (follows.stop - follows.start) * step_mm
        if seen_mm < 0.8 * LONGEST_SPATTER_MM or level[follows].mean() < 0.9:
            return end
        if back >= inside.stop:
            return end
        at = back
    return float(x[inside.stop - 1])
