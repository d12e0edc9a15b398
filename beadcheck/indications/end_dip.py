"""A dip at the end of a weld: a ring about its last pool, in which light and shade change sides.

A dome is light on the side that faces the lamp; a dish is light on the other. Ripples are arcs, not
rings, and do not change sides.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.indications.levelled import LevelMap

SHORTEST_WIDTHS: Final = 4.0
"""A shorter weld has no steady body to compare with."""
STEP_WIDTHS: Final = 0.025
ALONG_WIDTHS: Final = np.arange(0.0, 1.8, STEP_WIDTHS)
"""From the end inwards."""
ACROSS_WIDTHS: Final = np.arange(-0.6, 0.6 + 0.5 * STEP_WIDTHS, STEP_WIDTHS)
RADII_WIDTHS: Final = np.arange(0.15, 0.45, STEP_WIDTHS)
RING_WIDTHS: Final = (0.2, 0.4)
"""Radii that the ring may have."""
CENTRES_WIDTHS: Final = (0.45, 0.5, 0.55, 0.6, 0.65)
BODY_WIDTHS: Final = (1.15, 1.25, 1.35)
OFF_WIDTHS: Final = (-0.06, 0.0, 0.06)
SECTORS: Final = 8
ANGLES: Final = np.linspace(0.0, 2.0 * np.pi, 6 * SECTORS, endpoint=False)
TEXTURE: Final = 0.02
DISC_WIDTHS: Final = 0.25
DISC_CENTRE_WIDTHS: Final = 0.55
RING_UNIT: Final = 0.35
TURN_UNIT: Final = 0.25
"""Spread of both measures over the ends of rendered welds."""
LEAST: Final = 0.7
"""Least sum of both, in these spreads. By trial on rendered photos, for 1 false dip in 50 photos;
light that shows no shade shows no dip either. No published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndDip:
    """Centre of a dip along and across the weld, its diameter; `clearness` as elsewhere."""

    s_mm: float
    across_mm: float
    diameter_mm: float
    clearness: float


def end_dips(level: LevelMap, ends_in_view: tuple[bool, bool]) -> list[EndDip]:
    """Dips at those ends of the weld that are in view."""
    width_mm = level.width_mm
    first_mm, last_mm = float(level.s_mm[0]), float(level.s_mm[-1])
    if last_mm - first_mm < SHORTEST_WIDTHS * width_mm:
        return []
    dips = []
    for end_mm, inwards, in_view in (
        (first_mm, 1.0, ends_in_view[0]),
        (last_mm, -1.0, ends_in_view[1]),
    ):
        if not in_view:
            continue
        patch, shown, middle_mm = _patch(level, end_mm, inwards)
        if not shown:
            continue
        (gain, along, off, radius), turned = _ring(patch), _turned(patch)
        clearness = (gain / RING_UNIT + turned / TURN_UNIT) / LEAST
        if clearness >= 1.0:
            dips.append(
                EndDip(
                    s_mm=end_mm + inwards * along * width_mm,
                    across_mm=middle_mm + off * width_mm,
                    diameter_mm=2.0 * radius * width_mm,
                    clearness=clearness,
                )
            )
    return dips


def _patch(
    level: LevelMap, end_mm: float, inwards: float
) -> tuple[NDArray[np.float32], bool, float]:
    """Contrast about one end, the weld's middle level; whether it is in view; and that middle."""
    s_mm = end_mm + inwards * ALONG_WIDTHS * level.width_mm
    middle_mm = np.interp(s_mm, level.s_mm, 0.5 * (level.left_mm + level.right_mm))
    columns = (s_mm - level.s_mm[0]) * level.px_per_mm
    rows = (
        middle_mm + ACROSS_WIDTHS[:, None] * level.width_mm - level.across_mm[0]
    ) * level.px_per_mm
    columns = np.broadcast_to(columns, rows.shape)
    maps = (np.ascontiguousarray(columns, np.float32), rows.astype(np.float32))
    smooth = cv2.GaussianBlur(level.light, (0, 0), 1.0)
    patch = cv2.remap(smooth, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    face = cv2.remap(level.face.astype(np.uint8), *maps, cv2.INTER_NEAREST)
    inner = np.abs(ACROSS_WIDTHS) < DISC_WIDTHS
    shown = bool(face[inner][:, ALONG_WIDTHS > 0.3].mean() > 0.95)
    centre = int(np.argmin(np.abs(ALONG_WIDTHS - DISC_CENTRE_WIDTHS)))
    return np.asarray(patch, dtype=np.float32), shown, float(middle_mm[centre])


def _ring(patch: NDArray[np.float32]) -> tuple[float, float, float, float]:
    """How much more of a ring the end has than the weld's body; its centre and radius (widths)."""
    at_end = list(product(CENTRES_WIDTHS, OFF_WIDTHS))
    roundness, radii = _roundness(patch, at_end)
    usual = _roundness(patch, list(product(BODY_WIDTHS, OFF_WIDTHS)))[0].max()
    best = int(np.argmax(roundness))
    return float(roundness[best] - usual), *at_end[best], float(radii[best])


def _roundness(
    patch: NDArray[np.float32], centres: Sequence[tuple[float, float]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Change of lightness along the radius over that along the circle, and the radius of most.

    Both are (N,), for N centres along and across. The weaker sectors count, so that an edge on one
    side is no ring.
    """
    along, off = np.array(centres).T[:, :, None, None]
    x = (along + RADII_WIDTHS[:, None] * np.cos(ANGLES) - ALONG_WIDTHS[0]) / STEP_WIDTHS
    y = (off + RADII_WIDTHS[:, None] * np.sin(ANGLES) - ACROSS_WIDTHS[0]) / STEP_WIDTHS
    polar = cv2.remap(
        patch,
        x.reshape(-1, ANGLES.size).astype(np.float32),
        y.reshape(-1, ANGLES.size).astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    ).reshape(x.shape)
    radii = RADII_WIDTHS[1:-1]
    used = (radii > RING_WIDTHS[0]) & (radii < RING_WIDTHS[1])
    outwards = np.abs(polar[:, 2:] - polar[:, :-2])[:, used]
    circles = polar[:, 1:-1][:, used]
    round_about = np.abs(np.roll(circles, -2, axis=2) - np.roll(circles, 2, axis=2)).mean(axis=2)
    sectors = outwards.reshape(*outwards.shape[:2], SECTORS, -1).mean(axis=3)
    weak = np.sort(sectors, axis=2)[..., 1 : SECTORS // 2].mean(axis=2)
    ratio = weak / (round_about + TEXTURE)
    best = ratio.argmax(axis=1)
    return ratio[np.arange(best.size), best], radii[used][best]


def _turned(patch: NDArray[np.float32]) -> float:
    """How far light and shade across the weld change sides at its end: -1 not at all, 1 wholly."""
    body = patch[:, (ALONG_WIDTHS > 1.0) & (ALONG_WIDTHS < 1.6)].mean(axis=1)
    slope = np.gradient(body)
    across = cv2.Sobel(cv2.GaussianBlur(patch, (0, 0), 2.0), cv2.CV_32F, 0, 1)
    away = np.hypot(ALONG_WIDTHS - DISC_CENTRE_WIDTHS, ACROSS_WIDTHS[:, None])
    disc = away < DISC_WIDTHS
    usual = np.abs(slope[np.abs(ACROSS_WIDTHS) < DISC_WIDTHS]).mean()
    against = (across * slope[:, None])[disc].mean()
    return float(-against / (np.abs(across[disc]).mean() * usual + 1e-6))
