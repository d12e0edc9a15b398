"""How much every place of the map looks like a line of coloured light, or like a shadow's edge."""

from dataclasses import dataclass
from enum import Enum
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.photo.picture import linear_bgr

Picture = NDArray[np.float32]

LINE_SIGMA_MM: Final = 0.3
"""About the width of a line laser's line at hand's distance; from a third to thrice of it is
found."""
ALONG_LINE_MM: Final = 0.3
"""Evidence is averaged over this much along the line: speckle is finer."""
BESIDE_LINE_MM: Final = (0.9, 2.4)
"""A line is told by what lies this far to its left and right."""
DARKEST: Final = 0.004
"""Linear light below which a camera's noise rules."""
SURE_NOISES: Final = 8.0
"""Response over the noise of its row that counts in full."""
LEAST_COLOUR: Final = 0.02
"""Linear light that a coloured line must add."""
FEWEST_MM2: Final = 1.0
"""A line 8 mm long and a tenth of a millimetre wide covers about as much; less need not be looked
at."""


class LightKind(Enum):
    """What is followed: light in one channel (BGR), or an edge that is brighter to one side."""

    BLUE = 0
    GREEN = 1
    RED = 2
    EDGE_RISING = 3
    EDGE_FALLING = 4

    @property
    def is_edge(self) -> bool:
        """Whether it is an edge of a shadow."""
        return self in (LightKind.EDGE_RISING, LightKind.EDGE_FALLING)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """(R, C) float32 from 0 to 1 for the rows and columns of a map."""

    kind: LightKind
    strength: Picture


def laser_evidence(overview: BeadMap) -> tuple[Evidence, ...]:
    """Evidence of a line of each colour; a line runs down the map's columns."""
    light = linear_bgr(overview.bgr)
    light *= _to_grey(light[overview.seen])
    found = []
    fewest_cells = FEWEST_MM2 * overview.px_per_mm**2
    for kind in (LightKind.BLUE, LightKind.GREEN, LightKind.RED):
        excess = colour_excess(light, kind)
        if np.count_nonzero(excess > LEAST_COLOUR) < fewest_cells:
            continue
        colour = _ridge(excess, overview)
        strength = relative_strength(colour, overview, LEAST_COLOUR)
        found.append(Evidence(kind=kind, strength=strength))
    return tuple(found)


def _to_grey(light: Picture) -> Picture:
    """(3,) gains that make the usual colour of (N, 3) linear light grey, warm lamps or not."""
    usual = np.maximum(np.median(light[::7], axis=0), DARKEST)
    return np.asarray(usual.mean() / usual, np.float32)


def colour_excess(light: NDArray[np.floating], kind: LightKind) -> NDArray[np.floating]:
    """What one channel of (..., 3) linear light has more than the greater of the two others."""
    first, second = (light[..., channel] for channel in range(3) if channel != kind.value)
    return np.asarray(light[..., kind.value] - np.maximum(first, second))


def _ridge(values: NDArray[np.floating], overview: BeadMap) -> Picture:
    """Smoothed values over the higher of those to the left and to the right in the row.

    Beside a line of another colour, and at the edge of a coloured thing, there is no ridge.
    """
    per_mm = overview.px_per_mm
    smooth = cv2.GaussianBlur(
        values.astype(np.float32),
        (0, 0),
        sigmaX=max(LINE_SIGMA_MM * per_mm, 0.6),
        sigmaY=max(ALONG_LINE_MM * per_mm, 0.6),
    )
    inner, outer = (round(reach * per_mm) for reach in BESIDE_LINE_MM)
    width = outer - inner + 1
    beside = cv2.blur(smooth, (width, 1))
    shift = inner + width // 2
    framed = cv2.copyMakeBorder(beside, 0, 0, shift, shift, cv2.BORDER_REPLICATE)
    left, right = framed[:, : -2 * shift], framed[:, 2 * shift :]
    return np.asarray(smooth - np.maximum(left, right), np.float32)


def relative_strength(response: Picture, overview: BeadMap, least: float) -> Picture:
    """Response as a share of what is sure in its row: metal, weld and paper differ."""
    seen = np.where(overview.seen, response, np.float32(0.0))
    noise = 1.4826 * np.median(np.abs(seen[:, ::3]), axis=1, keepdims=True)
    sure = np.maximum(SURE_NOISES * noise, 2.0 * least)
    strength = np.clip(seen / sure, 0.0, 1.0)
    strength[seen < least] = 0.0
    return np.asarray(strength, np.float32)
