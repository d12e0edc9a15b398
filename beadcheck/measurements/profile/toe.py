"""The geometric toe: where the base line meets the flank of the weld."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.measurements.profile.base_lines import BaseLines, Chord
from beadcheck.measurements.profile.section import Floats, Section, robust_spread
from beadcheck.quantity import Side

FLANK: Final = (0.15, 0.50)
"""Part of the local height between which the flank line is fitted: the definition of the geometric
toe."""
USUAL_RADIUS_MM: Final = 0.5
"""Toe radius of an ordinary fusion weld; the tangent point lies radius x tan(flank/2) outside."""
LEAST_RISE_MM: Final = 0.15
LEAST_RISE_U: Final = 4.0
"""What the face must rise or fall by, in mm and in standard uncertainties, to have a flank."""
BEGIN_MM: Final = 2.0
"""How far outside the place where the metal leaves the line the climb is looked for: a low bead has
risen by more than 15 % before noise lets it be seen."""
DROP_ENDS: Final = 0.15
"""A crest is passed when the face has fallen from it by this part of its height."""
FAR_MM: Final = 100.0
"""Farther out than any profile reaches."""
LEAST_PLACES: Final = 4
LARGEST_HOLE: Final = 0.4
"""Part of a flank that may be unseen at one place when a line is laid through it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flank:
    """Flank line on one side, and where it meets the base line.

    Attributes
    ----------
    toe_mm
        Place of the geometric toe.
    outward
        -1 on the left, +1 on the right.
    rise_mm
        Local height from the base line, negative where the face falls away from it.
    slope
        Of the flank line, growing across.
    angle_deg
        Between base line and flank, positive where the face rises from the toe.
    foot_mm, shoulder_mm
        Places at 15 and 50 % of the local height.
    """

    side: Side
    toe_mm: float
    u_toe_mm: float
    rise_mm: float
    height_at_zero_mm: float
    slope: float
    angle_deg: float
    u_angle_deg: float
    foot_mm: float
    shoulder_mm: float

    @property
    def outward(self) -> float:
        """Which way is away from the weld."""
        return -1.0 if self.side is Side.LEFT else 1.0

    @property
    def tangent_mm(self) -> float:
        """How far outside the toe an ordinary toe radius begins."""
        return USUAL_RADIUS_MM * math.tan(math.radians(abs(self.angle_deg)) / 2.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inward:
    """The face as seen from one side: from well outside its toe to just past its middle.

    Attributes
    ----------
    places
        (M,) grid places at which a smoothed height is known, going inward.
    over_mm
        (M,) smoothed heights there over the parent metal.
    """

    side: Side
    places: NDArray[np.intp]
    over_mm: Floats


def inward(section: Section, soft_mm: Floats, lines: BaseLines, side: Side, chord: Chord) -> Inward:
    """Face from one side.

    Parameters
    ----------
    soft_mm
        (N,) smoothed heights, NaN where unknown.
    chord
        From toe to toe, as far as they are known; local heights count from it.
    """
    past = 0.6 * (chord.right_mm - chord.left_mm)
    if side is Side.LEFT:
        span = section.span(chord.left_mm - BEGIN_MM, chord.left_mm + past)
    else:
        span = section.span(chord.right_mm - past, chord.right_mm + BEGIN_MM)
    places = span.start + np.flatnonzero(np.isfinite(soft_mm[span]))
    if side is Side.RIGHT:
        places = places[::-1]
    over_mm = soft_mm[places] - _ground_mm(section.x_mm[places], lines, chord)
    return Inward(side=side, places=places, over_mm=over_mm)


def find_flank(
    section: Section, face: Inward, lines: BaseLines, *, u_soft_mm: float, falls: bool | None = None
) -> Flank | None:
    """Flank and toe of one side; None where the face neither rises nor falls enough.

    Parameters
    ----------
    section
        The line is fitted to it; the smoothed heights are for finding places only.
    falls
        Whether the face must fall away from the base (a pass in a groove); None takes what is seen.
    """
    over = face.over_mm
    if len(over) < LEAST_PLACES:
        return None
    least = max(LEAST_RISE_MM, LEAST_RISE_U * u_soft_mm)
    if falls is None:
        falls = bool(over.max() < least)
    sign = -1.0 if falls else 1.0
    crest = _first_crest(sign * over, least)
    if crest is None:
        return None
    rise = float(sign * over[crest])
    climb, ratio = face.places[: crest + 1], sign * over[: crest + 1] / rise
    return _fitted(section, lines, face.side, climb, ratio, sign * rise)


def rough_toe_mm(section: Section, face: Inward, u_soft_mm: float) -> float | None:
    """Place where the face is down to 15 % of its local height, for a side without a clear flank.

    None where the face rises nowhere.
    """
    over = face.over_mm
    if len(over) < LEAST_PLACES:
        return None
    crest = _first_crest(over, max(LEAST_RISE_MM, LEAST_RISE_U * u_soft_mm))
    if crest is None:
        return None
    low = (over[:crest] <= FLANK[0] * over[crest]).nonzero()[0]
    return None if len(low) == 0 else float(section.x_mm[face.places[low[-1]]])


def _ground_mm(x: Floats, lines: BaseLines, chord: Chord) -> Floats:
    """Height of the parent metal at places: its lines outside the toes, the chord between them."""
    left_mm, right_mm = chord.left_mm, chord.right_mm
    knots = (left_mm - FAR_MM, left_mm, right_mm, right_mm + FAR_MM)
    left, right = lines.left, lines.right
    heights = (left.at(knots[0]), left.at(left_mm), right.at(right_mm), right.at(knots[3]))
    return np.interp(x, knots, heights)


def _first_crest(over: Floats, least: float) -> int | None:
    """Index of the first crest, going inward, that is high enough."""
    highest = np.maximum.accumulate(over)
    fallen = (highest >= least) & (highest - over > DROP_ENDS * highest)
    passed = int(fallen.argmax())
    until = passed + 1 if fallen[passed] else len(over)
    crest = int(over[:until].argmax())
    return crest if over[crest] >= least else None


def band_of(ratio: Floats, low: float, high: float) -> tuple[int, int] | None:
    """Indices between which the face climbs from one part of its height to another."""
    below_low = (ratio <= low).nonzero()[0]
    if len(below_low) == 0:
        return None
    last = int((ratio <= high).nonzero()[0][-1]) + 1
    return int(below_low[-1]), min(last, len(ratio) - 1)


def _fitted(
    section: Section,
    lines: BaseLines,
    side: Side,
    climb: np.ndarray,
    ratio: Floats,
    rise_mm: float,
) -> Flank | None:
    band = band_of(ratio, *FLANK)
    if band is None:
        return None
    fit = line_through(section, climb, band)
    if fit is None:
        return None
    height, slope, covariance = fit
    base = lines.of(side)
    apart = slope - base.slope
    if apart * rise_mm * (1.0 if side is Side.LEFT else -1.0) <= 0.0:
        return None
    toe = (base.height_at_zero_mm - height) / apart
    # The toe moves by the height between the lines over the difference of their slopes.
    (own, shared), (_, tilt) = covariance.tolist()
    u_flank = math.sqrt(max(0.0, own + toe * (2.0 * shared + toe * tilt)))
    u_toe = math.hypot(u_flank, lines.u_of(side, toe)) / abs(apart)
    angle = math.degrees(math.atan(abs(slope)) - math.atan(_up(base.slope, slope)))
    u_slope = math.hypot(
        math.sqrt(tilt) / (1.0 + slope**2),
        lines.u_slope_of(side) / (1.0 + base.slope**2),
    )
    return Flank(
        side=side,
        toe_mm=toe,
        u_toe_mm=u_toe,
        rise_mm=rise_mm,
        height_at_zero_mm=height,
        slope=slope,
        angle_deg=math.copysign(angle, rise_mm),
        u_angle_deg=math.degrees(u_slope),
        foot_mm=float(section.x_mm[climb[band[0]]]),
        shoulder_mm=float(section.x_mm[climb[band[1]]]),
    )


def _up(base_slope: float, flank_slope: float) -> float:
    """Slope of the base line, positive in the flank's sense."""
    return math.copysign(1.0, flank_slope) * base_slope


def line_through(
    section: Section, climb: np.ndarray, band: tuple[int, int]
) -> tuple[float, float, np.ndarray] | None:
    """Height at zero, slope and covariance of the line through part of a climb."""
    first, last = band
    # A steep flank has few places: take in neighbours until there are enough, or until the window
    # is as wide as what each height averages over.
    least = max(LEAST_PLACES, math.ceil(2.0 * section.smooth_mm / section.step_mm) + 1)
    while last - first + 1 < least and (first > 0 or last < len(climb) - 1):
        first, last = max(0, first - 1), min(len(climb) - 1, last + 1)
    places = climb[first : last + 1]
    x, z, u = section.x_mm[places], section.z_mm[places], section.u_mm[places]
    seen = section.seen[places]
    if not seen.all():
        x, z, u = x[seen], z[seen], u[seen]
    if len(x) < LEAST_PLACES - 1:
        return None
    if np.abs(x[1:] - x[:-1]).max() > LARGEST_HOLE * abs(float(x[-1] - x[0])):
        return None
    middle, level = float(x.mean()), float(z.mean())
    lever = x - middle
    levers = float(lever @ lever)
    slope = float(lever @ z) / levers
    own = max(math.sqrt(float(u @ u) / len(u)), robust_spread(z - level - slope * lever))
    alike = min(section.inflation, float(len(x)))
    var_level, var_slope = own**2 * alike / len(x), own**2 * alike / levers
    shared = -middle * var_slope
    covariance = np.array([[var_level - middle * shared, shared], [shared, var_slope]])
    return level - slope * middle, slope, covariance
