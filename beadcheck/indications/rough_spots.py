"""Rough spots on the base metal: places where lightness changes strongly in every direction.

Brushing and scratches change it across themselves only, so the smaller eigenvalue of the structure
tensor leaves them out; strong single edges are capped, so that a speck is no rough spot.
"""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.indications.levelled import LevelMap

SMOOTHED_MM: Final = 0.1
WINDOW_MM: Final = 2.2
"""Side of the square over which roughness is averaged: the least spot that counts."""
CAP: Final = 15.0
"""Squared gradients above this multiple of the metal's median count as this."""
FROM_TOE_MM: Final = 1.2
LEAST_GRADE: Final = 8.0
"""Least roughness over the metal's own, in robust standard deviations of it, and"""
LEAST_RATIO: Final = 3.0
"""as a multiple of it. By trial on rendered photos: 1 in 11 photos of clean metal has a false one,
6 of 10 planted marks are found; no published source."""
QUIET: Final = 0.004
"""Spread of roughness that even smooth metal has."""
OUTLINE: Final = 0.5
OWN_OUTLINE: Final = 0.5
"""The spot ends where roughness falls to the first share of what is needed, or to the second of its
own most, whichever comes first."""
LONGEST_MM: Final = 12.0
"""Longer stretches are the metal's own texture."""
LEAST_METAL_MM2: Final = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughSpot:
    """First and last column and row of a rough spot; `clearness` in multiples of what is needed."""

    columns: tuple[int, int]
    rows: tuple[int, int]
    clearness: float


def rough_spots(level: LevelMap) -> list[RoughSpot]:
    """Rough spots on the base metal in view."""
    across = level.across_mm[:, None]
    metal = level.base & (
        (across < level.left_mm - FROM_TOE_MM) | (across > level.right_mm + FROM_TOE_MM)
    )
    if metal.sum() < LEAST_METAL_MM2 * level.px_per_mm**2:
        return []
    roughness = _roughness(level, metal)
    usual = float(np.median(roughness[metal]))
    spread = 1.48 * float(np.median(np.abs(roughness[metal] - usual))) + QUIET
    clearness = np.minimum(
        (roughness - usual) / spread / LEAST_GRADE, roughness / max(usual, 1e-6) / LEAST_RATIO
    )
    clearness[~metal] = 0.0
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(
        (clearness > OUTLINE).astype(np.uint8), connectivity=8
    )
    spots = []
    for index in range(1, count):
        x, y, width, height, _ = (int(each) for each in boxes[index])
        part = np.s_[y : y + height, x : x + width]
        own = np.where(labels[part] == index, clearness[part], 0.0)
        peak = float(own.max())
        if peak < 1.0 or max(width, height) > LONGEST_MM * level.px_per_mm:
            continue
        rows, columns = np.nonzero(own >= max(OUTLINE, OWN_OUTLINE * peak))
        spots.append(
            RoughSpot(
                columns=(x + int(columns.min()), x + int(columns.max())),
                rows=(y + int(rows.min()), y + int(rows.max())),
                clearness=peak,
            )
        )
    return spots


def _roughness(level: LevelMap, metal: NDArray[np.bool_]) -> NDArray[np.float64]:
    """(R, C) root of the smaller eigenvalue of the capped structure tensor over metal alone."""
    smooth = cv2.GaussianBlur(level.light, (0, 0), SMOOTHED_MM * level.px_per_mm)
    along, across = (cv2.Sobel(smooth, cv2.CV_32F, *order, ksize=3) for order in ((1, 0), (0, 1)))
    power = along**2 + across**2
    cap = CAP * float(np.median(power[metal]))
    weight = np.where(metal, np.minimum(1.0, cap / (power + 1e-9)), 0.0).astype(np.float32)
    side = (level.px(WINDOW_MM) | 1,) * 2
    share = cv2.blur(metal.astype(np.float32), side) + 1e-3
    xx, yy, xy = (
        cv2.blur(product * weight, side) / share
        for product in (along**2, across**2, along * across)
    )
    smaller = 0.5 * (xx + yy) - np.sqrt(0.25 * (xx - yy) ** 2 + xy**2)
    return np.sqrt(np.maximum(np.asarray(smaller, dtype=np.float64), 0.0))
