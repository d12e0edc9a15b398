"""Strips along guessed toes, for the toe placer to learn how far off each guess is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import cv2
import numpy as np
from numpy.typing import NDArray
from photo_changes import changed_strip
from placer_net import HALF_ROWS
from toe_map import ToeMap

STRIP_COLUMNS: Final = 112
LEAST_WIDTH_PX: Final = 50.0
MOST_ENLARGED: Final = 1.35

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeStrip:
    """A strip that follows a guess, weld in its first rows.

    Attributes
    ----------
    picture
        (2 `HALF_ROWS` + 1, C, 3) uint8, B G R.
    offset_px
        (C,) rows from the strip's middle to the true toe, outward positive.
    known
        (C,) whether the toe is known there.
    """

    picture: NDArray[np.uint8]
    offset_px: NDArray[np.float64]
    known: NDArray[np.bool_]


def wandering_guess(columns: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """How far a guess lies outside the toe, px: offset, slope, two waves, now and then far off."""
    at = np.arange(columns)
    off = rng.normal(0, 5) + rng.normal(0, 0.04) * (at - columns / 2)
    for _ in range(2):
        height = rng.exponential(1.2)
        wavelength = np.exp(rng.uniform(np.log(14), np.log(160)))
        off += height * np.sin(at * 2 * np.pi / wavelength + rng.uniform(0, 6.3))
    if rng.random() < 0.12:
        off += rng.uniform(-30, 30)
    return np.asarray(off, dtype=np.float64)


def cut_strip(
    weld: ToeMap, side: Side, guess_off_px: NDArray[np.float64], *, zoom: float, first: float
) -> ToeStrip:
    """Cut a strip along a guess.

    Parameters
    ----------
    guess_off_px
        (C,) how far outside the true toe the guess lies, in px of the strip.
    zoom
        Pixels of the strip to one of the map.
    first
        Column of the map where the strip begins.
    """
    columns = guess_off_px.size
    from_, to = int(max(0, first - 4)), int(min(weld.known.size, first + columns / zoom + 5))
    outward = -1 if side == "left" else 1
    picture = weld.bgr[:, from_:to]
    height, width = picture.shape[:2]
    if zoom < 1:
        reduced = (max(2, round(width * zoom)), max(2, round(height * zoom)))
        picture = np.asarray(cv2.resize(picture, reduced, interpolation=cv2.INTER_AREA))
    zoom_x, zoom_y = picture.shape[1] / width, picture.shape[0] / height
    at = first + np.arange(columns) / zoom
    toe_row = weld.left_row if side == "left" else weld.right_row
    true = np.interp(at, np.arange(from_, to), toe_row[from_:to])
    known = np.interp(at, np.arange(weld.known.size), weld.known.astype(np.float64)) > 0.99
    known &= (at >= 0) & (at <= weld.known.size - 1)
    guess = true + outward * guess_off_px / zoom
    steps = np.arange(-HALF_ROWS, HALF_ROWS + 1)
    rows = (guess[None, :] + outward * steps[:, None] / zoom + 0.5) * zoom_y - 0.5
    places = np.broadcast_to((at[None, :] - from_ + 0.5) * zoom_x - 0.5, rows.shape)
    strip = cv2.remap(
        picture,
        places.astype(np.float32),
        rows.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return ToeStrip(picture=np.asarray(strip, dtype=np.uint8), offset_px=-guess_off_px, known=known)


def training_strip(weld: ToeMap, rng: np.random.Generator, *, most_width_px: float) -> ToeStrip:
    """Draw a strip of one toe, with the weld at a drawn width, changed photometrically."""
    side: Side = "right" if rng.integers(2) else "left"
    width_px = np.exp(rng.uniform(np.log(LEAST_WIDTH_PX), np.log(most_width_px)))
    zoom = min(float(width_px) / weld.width_px, MOST_ENLARGED)
    first = rng.uniform(0, max(1, weld.known.size - STRIP_COLUMNS / zoom))
    off = wandering_guess(STRIP_COLUMNS, rng)
    strip = cut_strip(weld, side, off, zoom=zoom, first=first)
    picture, offset, known = changed_strip(strip.picture, rng), strip.offset_px, strip.known
    if rng.random() < 0.5:
        picture, offset, known = picture[:, ::-1], offset[::-1], known[::-1]
    return ToeStrip(picture=picture, offset_px=offset, known=known)
