"""Edges of shadows in the map: where they may run, and whether they are a shadow's at all."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from beadcheck.beadmap import BeadMap
from beadcheck.photo import linear_grey
from beadcheck.profiles.light_line.evidence import (
    ALONG_LINE_MM,
    DARKEST,
    Evidence,
    LightKind,
    Picture,
    relative_strength,
)

SHADOW_NEAR_MM: Final = 0.3
SHADOW_FAR_MM: Final = 2.0
"""An edge of a shadow parts dark from bright over this much; a ripple does not."""
LEAST_CONTRAST: Final = 0.25
"""Natural logarithm of lit over shaded that a shadow must reach."""
BESIDE_EDGE_MM: Final = (0.5, 2.0)
"""The two sides of an edge."""
MOST_UNEVEN: Final = 0.35
"""Standard deviation, in natural logarithms of light, of an even side."""
FEWEST_ROWS: Final = 12
LEAST_RISE: Final = 0.5
"""Natural logarithm of lit over shaded of a shadow under a lamp."""
LEAST_TOGETHER: Final = 0.5
"""Correlation of both sides of a shadow's edge; beside a rule it stays below 0.4 (renders)."""
ALIKE_SPREAD: Final = 2.5
"""Both sides vary as much as each other within this: a rule beside its own edge is all alike."""
UNDER_RISE: Final = 0.45
OVER_RISE: Final = 0.35
"""Of a shadow's usual rise: how far a place on its edge may fall short of it, or go beyond."""
SHARP_SHARE: Final = 0.6
CLASS_MM: Final = (2.0, 9.0)
"""Lit and shaded metal are looked at this far from the straight line."""
CLASS_ROWS: Final = 5
LEAST_SPREAD: Final = 0.12
STRANGEST: Final = 3.0
SUREST: Final = 2.0
"""Logarithm of the likelihood ratio from which one place counts in full."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeMaps:
    """(R, C) maps in which edges of one sign are sought.

    Attributes
    ----------
    grey
        Natural logarithm of light.
    near, far
        Its rise along the rows, over `SHADOW_NEAR_MM` and `SHADOW_FAR_MM`; negative where it falls
        and rising edges are sought, or the other way round.
    hidden
        Places that do not count.
    """

    kind: LightKind
    grey: Picture
    near: Picture
    far: Picture
    hidden: NDArray[np.bool_]


def edge_maps(overview: BeadMap, hidden: NDArray[np.bool_]) -> tuple[EdgeMaps, ...]:
    """Maps for edges that rise, and for edges that fall, along the rows."""
    grey = np.log(np.maximum(linear_grey(overview.bgr), np.float32(DARKEST)))
    near = _step_response(grey, SHADOW_NEAR_MM, overview)
    far = _step_response(grey, SHADOW_FAR_MM, overview)
    rising = EdgeMaps(kind=LightKind.EDGE_RISING, grey=grey, near=near, far=far, hidden=hidden)
    falling = EdgeMaps(kind=LightKind.EDGE_FALLING, grey=grey, near=-near, far=-far, hidden=hidden)
    return rising, falling


def any_edge(maps: EdgeMaps, overview: BeadMap) -> Evidence:
    """Evidence of any edge that goes on for some millimetres to both its sides."""
    sharp = np.clip(maps.near / LEAST_CONTRAST, 0.0, 2.0) * 0.5
    return _evidence(maps, relative_strength(maps.far, overview, LEAST_CONTRAST) * sharp)


def edge_of_rise(maps: EdgeMaps, rise: float) -> Evidence:
    """Evidence of an edge whose rise is known; ripples rise less, printed edges more."""
    off = maps.far / rise - 1.0
    likely = np.exp(-0.5 * (off / np.where(off < 0.0, UNDER_RISE, OVER_RISE)) ** 2)
    return _evidence(maps, likely * np.clip(maps.near / (SHARP_SHARE * rise), 0.0, 1.0))


def shadow_rise(maps: EdgeMaps, overview: BeadMap, columns: NDArray[np.intp]) -> float:
    """Natural logarithm of lit over shaded along an edge, or 0 where it is no shadow's.

    A shadow lies over paper, metal and weld alike, so that both its sides grow dark and bright
    together along it; beside the rule that throws it, a plate's end or a painted edge they do not.

    Parameters
    ----------
    columns
        Of the edge, in the rows that it crosses; -1 in all others.
    """
    near, far = (round(reach * overview.px_per_mm) for reach in BESIDE_EDGE_MM)
    rows = np.flatnonzero((columns > far) & (columns < overview.s_mm.size - far))
    beside = np.arange(near, far + 1)
    sides = [
        maps.grey[rows[:, None], columns[rows, None] + way * beside].astype(np.float64)
        for way in (-1, 1)
    ]
    # Where print or an edge lies across a side, it tells nothing of the light.
    even = (sides[0].std(axis=1) < MOST_UNEVEN) & (sides[1].std(axis=1) < MOST_UNEVEN)
    if even.sum() < FEWEST_ROWS:
        return 0.0
    before, beyond = (side[even].mean(axis=1) for side in sides)
    rises = beyond - before
    usual = float(np.median(rises))
    together = float(np.corrcoef(before, beyond)[0, 1])
    spreads = float(before.std()), float(beyond.std())
    sign = 1.0 if maps.kind is LightKind.EDGE_RISING else -1.0
    alike = together > LEAST_TOGETHER and max(spreads) < ALIKE_SPREAD * min(spreads)
    return sign * usual if alike and sign * usual > LEAST_RISE else 0.0


def misplaced_mm(
    maps: EdgeMaps, overview: BeadMap, columns: NDArray[np.intp]
) -> NDArray[np.float32]:
    """(R, C) how much of each row an edge there would have on its wrong side, lit or shaded.

    What lit and shaded metal look like is seen on either side of the straight line: weld and base
    metal run on along the axis. Ripples have edges of their own, but more of them lie in the light.

    Parameters
    ----------
    columns
        (R,) of the straight line.
    """
    last = overview.s_mm.size - 1
    near, far = (round(reach * overview.px_per_mm) for reach in CLASS_MM)
    rows = np.arange(columns.size)[:, None]
    classes = []
    for way in (-1, 1):
        beside = columns[:, None] + way * np.arange(near, far + 1)
        values = maps.grey[rows, np.clip(beside, 0, last)]
        usual = median_filter(np.median(values, axis=1), CLASS_ROWS, mode="nearest")
        off = np.median(np.abs(values - usual[:, None]), axis=1)
        spread = np.maximum(1.4826 * median_filter(off, CLASS_ROWS, mode="nearest"), LEAST_SPREAD)
        square = ((maps.grey - usual[:, None]) / spread[:, None]) ** 2
        classes.append(0.5 * np.minimum(square, STRANGEST**2) + np.log(spread)[:, None])
    # Positive where a place looks more like what lies to the right.
    like = np.clip(classes[0] - classes[1], -SUREST, SUREST) / (SUREST * overview.px_per_mm)
    right_of = np.cumsum(like, axis=1)
    return np.asarray(2.0 * right_of - right_of[:, -1:], np.float32)


def _evidence(maps: EdgeMaps, strength: NDArray[np.floating]) -> Evidence:
    shown = np.where(maps.hidden, np.float32(0.0), strength.astype(np.float32))
    return Evidence(kind=maps.kind, strength=shown)


def _step_response(grey: Picture, reach_mm: float, overview: BeadMap) -> Picture:
    """Mean over `reach_mm` to the right of each place less that to its left."""
    reach = max(1, round(reach_mm * overview.px_per_mm))
    kernel = np.concatenate([-np.ones(reach), [0.0], np.ones(reach)]).astype(np.float32) / reach
    smooth = cv2.GaussianBlur(grey, (0, 0), sigmaX=0.5, sigmaY=ALONG_LINE_MM * overview.px_per_mm)
    return np.asarray(cv2.filter2D(smooth, cv2.CV_32F, kernel[None, :]), np.float32)
