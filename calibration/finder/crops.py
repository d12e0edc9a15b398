"""Crops that the finder learns from: cut from rendered photos, or from drawn scenes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from drawn_set import DrawnScene
from numpy.typing import NDArray
from photo_changes import changed_crop
from render_set import PYRAMID_LEVELS, Render
from skimage.draw import polygon2mask

CROP_PX: Final = 192
STRIP_SHARE: Final = 0.45
"""Crops in which the weld lies level, as in the strips that the tracer asks about."""
STRIP_WIDTHS_PX: Final = (28.0, 58.0)
WIDTHS_PX: Final = (8.0, 58.0)
MOST_ENLARGED: Final = 1.3
NO_WELD_WIDTH_PX: Final = 70.0
"""Stands in for the weld's width where a photo has none, so that it is reduced alike."""
SUB_PIXELS: Final = 3
DRAWN_SHARE: Final = 0.35


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crop:
    """A square picture with its labels.

    Attributes
    ----------
    picture
        (side, side, 3) uint8, B G R.
    weld
        (side, side) float32, share of each pixel that is weld face.
    known
        (side, side) float32, 1 where `weld` is known, else 0.
    """

    picture: NDArray[np.uint8]
    weld: NDArray[np.float32]
    known: NDArray[np.float32]


def training_crop(renders: list[Render], drawn: list[DrawnScene], rng: np.random.Generator) -> Crop:
    """Draw a crop from either source; those of renders are changed photometrically."""
    if drawn and rng.random() < DRAWN_SHARE:
        return drawn_crop(drawn[rng.integers(len(drawn))], rng)
    crop = render_crop(renders[rng.integers(len(renders))], rng)
    return Crop(picture=changed_crop(crop.picture, rng), weld=crop.weld, known=crop.known)


def render_crop(render: Render, rng: np.random.Generator) -> Crop:
    """Cut a crop around some place of the weld, turned, mirrored and reduced at random."""
    turn, shift = _pose(render, rng)
    scale = math.hypot(*turn[0])
    level = 0
    while level < PYRAMID_LEVELS and scale * 2**level <= 0.5:
        level += 1
    picture = cv2.warpAffine(
        render.levels[level],
        np.column_stack([turn * 2.0**level, shift]),
        (CROP_PX, CROP_PX),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    weld = np.zeros((CROP_PX, CROP_PX), dtype=np.float32)
    known = np.ones((CROP_PX, CROP_PX), dtype=np.float32)
    if render.toes is not None:
        weld = _covered(render.toes.outline_px @ turn.T + shift)
        if render.toes.on_pipe:
            zone = render.toes.zone_px @ turn.T + shift
            known = polygon2mask(known.shape, zone[:, ::-1]).astype(np.float32)
    return Crop(picture=np.asarray(picture, dtype=np.uint8), weld=weld, known=known)


def drawn_crop(scene: DrawnScene, rng: np.random.Generator) -> Crop:
    """Cut a crop from a drawn scene, reduced, turned by quarters and mirrored at random."""
    side = int(rng.uniform(CROP_PX, scene.weld.shape[0] + 1))
    picture = np.ascontiguousarray(scene.codes.transpose(1, 2, 0))
    picture = cv2.resize(picture, (side, side), interpolation=cv2.INTER_AREA)
    weld = cv2.resize(scene.weld, (side, side), interpolation=cv2.INTER_AREA)
    top, left = rng.integers(0, side - CROP_PX + 1, 2)
    window = np.s_[top : top + CROP_PX, left : left + CROP_PX]
    quarters = int(rng.integers(4))
    picture, weld = (np.rot90(part[window], quarters) for part in (picture, weld))
    if rng.random() < 0.5:
        picture, weld = picture[:, ::-1], weld[:, ::-1]
    return Crop(
        picture=np.ascontiguousarray(picture, dtype=np.uint8),
        weld=np.ascontiguousarray(weld, dtype=np.float32) / np.float32(255),
        known=np.ones((CROP_PX, CROP_PX), dtype=np.float32),
    )


def _pose(
    render: Render, rng: np.random.Generator
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Draw where a crop lies: crop = turn @ photo + shift, (2, 2) and (2,)."""
    if render.toes is None:
        centre = rng.uniform(0.2, 0.8, 2) * render.levels[0].shape[1::-1]
        width_px, along = NO_WELD_WIDTH_PX, 0.0
    else:
        body = render.toes.body_px
        centre, width_px = body[rng.integers(len(body))], render.toes.width_px
        ahead = body[-1] - body[0]
        along = math.atan2(ahead[1], ahead[0])
    level = rng.random() < STRIP_SHARE
    low, high = STRIP_WIDTHS_PX if level else WIDTHS_PX
    wanted_px = math.exp(rng.uniform(math.log(low), math.log(high)))
    scale = min(wanted_px / width_px, MOST_ENLARGED)
    if level:
        angle = along + rng.normal(0, 0.06) + math.pi * (rng.random() < 0.5)
    else:
        angle = rng.uniform(0, 6.283)
    spread = np.array([0.7, 0.25] if level else [0.75, 0.75])
    offset = rng.uniform(-0.5, 0.5, 2) * CROP_PX * spread
    mirror = -1 if rng.random() < 0.5 else 1
    cos, sin = math.cos(angle), math.sin(angle)
    turn = scale * np.array([[cos, sin], [-sin * mirror, cos * mirror]])
    return turn, np.full(2, CROP_PX / 2) + offset - turn @ centre


def _covered(outline: NDArray[np.float64]) -> NDArray[np.float32]:
    """Share of each pixel inside an outline, counted over `SUB_PIXELS` squared points."""
    fine = CROP_PX * SUB_PIXELS
    inside = polygon2mask((fine, fine), (outline[:, ::-1] + 0.5) * SUB_PIXELS - 0.5)
    cells = inside.reshape(CROP_PX, SUB_PIXELS, CROP_PX, SUB_PIXELS)
    return np.asarray(cells.mean(axis=(1, 3)), dtype=np.float32)
