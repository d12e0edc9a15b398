"""The bare pipe on both sides of the weld: the line that heights count from, and a better pose."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_side_on import OutlineUnlikePipeError, TooLittleBarePipeError
from beadcheck.profiles.side_on.edge import OutlineEdge
from beadcheck.profiles.side_on.expected import (
    LEAST_LIMIT_MM,
    SURE_OF_PIPE,
    U_FORM_MM,
    by_view,
)
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.profiles.side_on.weld_span import LEAST_BARE_MM, SIDE_MM

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

U_STRAIGHT_MM: Final = 0.02
"""Of one piece of a limb against the next (an estimate)."""
PIECE_MM: Final = 8.0
FEWEST_POINTS: Final = 12
DRIFT_MM: Final = 2.0
FEWEST_OF_STRETCH: Final = 6
STRAY_MM: Final = 0.4
"""What leaves the line by more is spatter, or another thing's edge."""
TOE_MM: Final = 1.0
"""Beside the weld: spatter, undercut and the fillet of the toe."""
CUT_IN_MADS: Final = 4.0
SMALLEST_CUT_MM: Final = 0.03
FIT_ROUNDS: Final = 6
POSE_ROUNDS: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BareLimb:
    """Straight lines through the bare limb on both sides of the weld, of one slope.

    Attributes
    ----------
    middle_mm
        Along the pipe, midway between the toes: where the levels hold.
    levels_mm
        Height of the line left and right of the weld (smaller and greater y of the surface).
    places_mm, seen_mm, right
        (B,) places along the pipe, mean heights of the bare limb there, and whether right of the
        weld.
    scatter_mm, u_px
        Standard deviation of the points about the lines, and the median of what they state.
    drift_mm
        By how much stretches of `DRIFT_MM` leave the lines: what tints and shades of the metal do
        to its outline, and its own form, do not average out over less.
    """

    middle_mm: float
    levels_mm: tuple[float, float]
    slope: float
    places_mm: Floats
    seen_mm: Floats
    right: Flags
    scatter_mm: float
    u_px: float
    drift_mm: float

    @property
    def step_mm(self) -> float:
        """How much higher the right side lies."""
        return self.levels_mm[1] - self.levels_mm[0]

    def between_mm(self, along_mm: Floats) -> Floats:
        """Height of the line midway between both sides' own."""
        level_mm = 0.5 * sum(self.levels_mm)
        return np.asarray(level_mm + self.slope * (along_mm - self.middle_mm))


def bare_limb(edge: OutlineEdge, bare: Flags, weld_mm: tuple[float, float]) -> BareLimb:
    """Fit the bare limb.

    Parameters
    ----------
    bare
        (N,) which points of the outline show bare pipe.

    Raises
    ------
    TooLittleBarePipeError
        Too few clear points on a side.
    """
    along_mm, middle_mm = edge.along_mm, 0.5 * sum(weld_mm)
    kept = bare & edge.sure
    kept &= (along_mm < weld_mm[0] - TOE_MM) | (along_mm > weld_mm[1] + TOE_MM)
    right = along_mm > middle_mm
    pitch_mm = float(np.median(np.abs(np.diff(along_mm))))
    sides = ((~right, weld_mm[0]), (right, weld_mm[1]))
    _require_bare(along_mm, kept, sides, pitch_mm)
    basis = np.stack([~right, right, along_mm - middle_mm], axis=1).astype(np.float64)
    rest: Floats = edge.height_mm - np.median(edge.height_mm[kept])
    for _ in range(FIT_ROUNDS):
        spread = 1.4826 * float(np.median(np.abs(rest[kept] - np.median(rest[kept]))))
        own = kept & (np.abs(rest) <= max(CUT_IN_MADS * spread, SMALLEST_CUT_MM))
        own = own if (own & right).any() and (own & ~right).any() else kept
        left_mm, right_mm, slope = np.linalg.lstsq(basis[own], edge.height_mm[own], rcond=None)[0]
        rest = edge.height_mm - np.where(right, right_mm, left_mm) - slope * basis[:, 2]
    _require_bare(along_mm, own, sides, pitch_mm)
    piece = np.floor((along_mm - middle_mm) / PIECE_MM).astype(np.intp)
    pieces = [
        own & (piece == number) & (right == side)
        for number in np.unique(piece[own])
        for side in (False, True)
    ]
    pieces = [each for each in pieces if each.sum() >= FEWEST_POINTS]
    near = kept & (np.abs(rest) < STRAY_MM)
    return BareLimb(
        middle_mm=middle_mm,
        levels_mm=(float(left_mm), float(right_mm)),
        slope=float(slope),
        places_mm=np.array([along_mm[each].mean() for each in pieces]),
        seen_mm=np.array([edge.height_mm[each].mean() for each in pieces]),
        right=np.array([bool(right[each].any()) for each in pieces]),
        scatter_mm=float(np.std(rest[own])),
        u_px=float(np.median(edge.u_px[own])),
        drift_mm=max(_drift_mm(along_mm[near & each], rest[near & each]) for each, _ in sides),
    )


def _require_bare(
    along_mm: Floats, bare: Flags, sides: tuple[tuple[Flags, float], ...], pitch_mm: float
) -> None:
    for own, toe_mm in sides:
        near = bare & own & (np.abs(along_mm - toe_mm) < SIDE_MM)
        seen_mm = float(near.sum() * pitch_mm) + TOE_MM
        if seen_mm < LEAST_BARE_MM:
            raise TooLittleBarePipeError(math.floor(10.0 * seen_mm) / 10.0, LEAST_BARE_MM)


def _drift_mm(along_mm: Floats, rest_mm: Floats) -> float:
    """Root mean square of what stretches of a straight limb leave, each averaged."""
    stretch = np.floor((along_mm - along_mm.min()) / DRIFT_MM).astype(np.intp)
    count = np.bincount(stretch)
    whole = count >= FEWEST_OF_STRETCH
    if not whole.any():
        return 0.0
    mean_mm = np.bincount(stretch, weights=rest_mm)[whole] / count[whole]
    return float(np.sqrt(np.mean(mean_mm**2)))


def posed_by_limb(view: LimbView, limb: BareLimb) -> LimbView:
    """The view with pose, lens and diameter bettered by where the bare limb is seen.

    The markers alone leave the pipe's axis doubtful by half a degree and more. The limb lies one
    radius from it all along, which fixes two of the pose's six degrees of freedom, and by their
    correlation betters the others. This is a linear update of the solved parameters and their
    covariance by measured heights that should be 0.

    Raises
    ------
    OutlineUnlikePipeError
        The limb is too far from where the target puts it.
    """
    seen_px = view.pixels(limb.places_mm, limb.seen_mm)
    surface = view.surface
    start, free = surface.parameters, surface.free
    covariance = surface.covariance[np.ix_(free, free)]
    # Of two sides that step either may be the true pipe.
    side_mm = 0.5 * limb.step_mm * np.where(limb.right, 1.0, -1.0)
    noise = U_FORM_MM**2 + np.outer(side_mm, side_mm) + U_STRAIGHT_MM**2 * np.eye(side_mm.size)

    def heights(parameters: Floats) -> Floats:
        return view.seen_with(parameters).heights_mm(seen_px)

    value, derivatives = by_view(heights, surface)
    spread = derivatives @ covariance @ derivatives.T + noise
    gain = covariance @ derivatives.T @ np.linalg.inv(spread)
    limits_mm = np.maximum(SURE_OF_PIPE * np.sqrt(np.diag(spread)), LEAST_LIMIT_MM)
    parameters = start.copy()
    for _ in range(POSE_ROUNDS):
        off = -value - derivatives @ (start - parameters)[free]
        if (np.abs(off) > limits_mm).any():
            worst = int((np.abs(off) / limits_mm).argmax())
            raise OutlineUnlikePipeError(float(abs(off[worst])), float(limits_mm[worst]))
        parameters = start.copy()
        parameters[free] += gain @ off
        value = heights(parameters)
    bettered = surface.covariance.copy()
    bettered[np.ix_(free, free)] = covariance - gain @ derivatives @ covariance
    return LimbView(
        surface=replace(surface, parameters=parameters, covariance=bettered), side=view.side
    )
