"""The geometric toe: where the base line meets the flank of the weld."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

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


def find_flank(
    section: Section,
    soft_mm: Floats,
    u_soft_mm: float,
    lines: BaseLines,
    side: Side,
    *,
    chord: Chord,
    falls: bool | None = None,
) -> Flank | None:
    """Flank and toe of one side; None where the face neither rises nor falls enough.

    Parameters
    ----------
    soft_mm
        (N,) smoothed heights, for finding places; the line is fitted to the section itself.
    chord
        From toe to toe, as far as they are known; local heights count from it.
    falls
        Whether the face must fall away from the base (a pass in a groove); None takes what is seen.
    """
    inward = inward_places(section, soft_mm, side, chord)
    if len(inward) < LEAST_PLACES:
        return None
    over = soft_mm[inward] - ground_mm(section.x_mm[inward], lines, chord)
    least = max(LEAST_RISE_MM, LEAST_RISE_U * u_soft_mm)
    if falls is None:
        falls = bool(over.max() < least)
    sign = -1.0 if falls else 1.0
    crest = _first_crest(sign * over, least)
    if crest is None:
        return None
    rise = float(sign * over[crest])
    climb, ratio = inward[: crest + 1], sign * over[: crest + 1] / rise
    return _fitted(section, lines, side, climb, ratio, sign * rise)


def rough_toe_mm(
    section: Section, soft_mm: Floats, u_soft_mm: float, lines: BaseLines, side: Side, chord: Chord
) -> float | None:
    """Place where the face is down to 15 % of its local height, for a side without a clear flank.

    None where the face rises nowhere.
    """
    inward = inward_places(section, soft_mm, side, chord)
    over = soft_mm[inward] - ground_mm(section.x_mm[inward], lines, chord)
    if len(inward) < LEAST_PLACES:
        return None
    crest = _first_crest(over, max(LEAST_RISE_MM, LEAST_RISE_U * u_soft_mm))
    if crest is None:
        return None
    low = np.flatnonzero(over[:crest] <= FLANK[0] * over[crest])
    return None if len(low) == 0 else float(section.x_mm[inward[low[-1]]])


def inward_places(section: Section, soft_mm: Floats, side: Side, chord: Chord) -> np.ndarray:
    """Grid places from well outside a toe to just past the middle of the face, going inward."""
    x, seen = section.x_mm, np.isfinite(soft_mm)
    past = 0.6 * (chord.right_mm - chord.left_mm)
    if side is Side.LEFT:
        return np.flatnonzero(seen & (x >= chord.left_mm - BEGIN_MM) & (x <= chord.left_mm + past))
    return np.flatnonzero(seen & (x <= chord.right_mm + BEGIN_MM) & (x >= chord.right_mm - past))[
        ::-1
    ]


def ground_mm(x: Floats, lines: BaseLines, chord: Chord) -> Floats:
    """Height of the parent metal at places: its lines outside the toes, the chord between them."""
    left = lines.left.height_at_zero_mm + lines.left.slope * x
    right = lines.right.height_at_zero_mm + lines.right.slope * x
    outside = np.where(x < chord.left_mm, left, right)
    between = (x >= chord.left_mm) & (x <= chord.right_mm)
    return np.asarray(np.where(between, chord.at(x), outside), dtype=np.float64)


def _first_crest(over: Floats, least: float) -> int | None:
    """Index of the first crest, going inward, that is high enough."""
    highest = np.maximum.accumulate(over)
    fallen = (highest >= least) & (highest - over > DROP_ENDS * highest)
    passed = np.flatnonzero(fallen)
    until = int(passed[0]) + 1 if len(passed) else len(over)
    crest = int(over[:until].argmax())
    return crest if over[crest] >= least else None


def band_of(ratio: Floats, low: float, high: float) -> tuple[int, int] | None:
    """Indices between which the face climbs from one part of its height to another."""
    below_high = np.flatnonzero(ratio <= high)
    below_low = np.flatnonzero(ratio <= low)
    if len(below_high) == 0 or len(below_low) == 0:
        return None
    first, last = int(below_low[-1]), int(below_high[-1]) + 1
    return first, min(last, len(ratio) - 1)


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
    gradient = np.array([1.0, toe])
    u_flank = math.sqrt(max(0.0, float(gradient @ covariance @ gradient)))
    u_toe = math.hypot(u_flank, float(lines.u_of(side, toe))) / abs(apart)
    angle = math.degrees(math.atan(abs(slope)) - math.atan(_up(base.slope, slope)))
    u_slope = math.hypot(
        math.sqrt(covariance[1, 1]) / (1.0 + slope**2),
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
    seen = np.isfinite(z)
    x, z, u = x[seen], z[seen], u[seen]
    if len(x) < LEAST_PLACES - 1 or np.abs(np.diff(x)).max() > LARGEST_HOLE * np.ptp(x):
        return None
    middle = float(x.mean())
    slope, level = np.polyfit(x - middle, z, 1)
    own = max(float(np.sqrt(np.mean(u**2))), robust_spread(z - level - slope * (x - middle)))
    alike = min(section.inflation, float(len(x)))
    var_level = own**2 * alike / len(x)
    var_slope = own**2 * alike / float(((x - middle) ** 2).sum())
    shift = np.array([[1.0, -middle], [0.0, 1.0]])
    covariance = shift @ np.diag([var_level, var_slope]) @ shift.T
    return float(level - slope * middle), float(slope), covariance
