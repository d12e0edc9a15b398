"""Strips along guessed toes, for the toe placer to learn how far off each guess is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from numpy.typing import NDArray
from placer_net import HALF_ROWS
from toe_map import ToeMap
from torch import Tensor

STRIP_COLUMNS: Final = 112
LEAST_WIDTH_PX: Final = 50.0
MOST_ENLARGED: Final = 1.35
LEVELS: Final = 2

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PooledMap:
    """A toe map on a device, its picture (3, R, C) in codes B G R, with copies of half the size."""

    weld: ToeMap
    levels: tuple[Tensor, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeStrip:
    """A strip that follows a guess, weld in its first rows.

    Attributes
    ----------
    picture
        (3, 2 `HALF_ROWS` + 1, C) codes B G R.
    offset_px
        (C,) rows from the strip's middle to the true toe, outward positive.
    known
        (C,) whether the toe is known there.
    """

    picture: Tensor
    offset_px: NDArray[np.float64]
    known: NDArray[np.bool_]


def pooled(maps: Sequence[ToeMap], device: str) -> list[PooledMap]:
    """Bring maps to a device."""
    kept = []
    for weld in maps:
        level = torch.from_numpy(np.ascontiguousarray(weld.bgr.transpose(2, 0, 1))).to(device)
        levels = [level.half() if device != "cpu" else level.float()]
        for _ in range(LEVELS):
            levels.append(F.avg_pool2d(levels[-1][None], 2, ceil_mode=True)[0])
        kept.append(PooledMap(weld=weld, levels=tuple(levels)))
    return kept


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
    pooled_map: PooledMap,
    side: Side,
    guess_off_px: NDArray[np.float64],
    *,
    zoom: float,
    first: float,
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
    weld = pooled_map.weld
    outward = -1 if side == "left" else 1
    at = first + np.arange(guess_off_px.size) / zoom
    every = np.arange(weld.known.size)
    true = np.interp(at, every, weld.left_row if side == "left" else weld.right_row)
    known = np.interp(at, every, weld.known.astype(np.float64)) > 0.99
    known &= (at >= 0) & (at <= weld.known.size - 1)
    guess = true + outward * guess_off_px / zoom
    number = min(LEVELS, max(0, round(-math.log2(min(zoom, 1.0)) - 0.2)))
    level = pooled_map.levels[number]
    device = level.device
    columns = torch.from_numpy(at.astype(np.float32)).to(device)[None]
    middle = torch.from_numpy(guess.astype(np.float32)).to(device)[None]
    steps = torch.arange(-HALF_ROWS, HALF_ROWS + 1, device=device, dtype=torch.float32)[:, None]
    rows = middle + outward * steps / zoom
    sides = torch.tensor(level.shape[:0:-1], device=device)
    places = torch.stack(torch.broadcast_tensors(columns, rows), dim=-1)
    grid = (places + 0.5) / 2**number * 2 / sides - 1
    picture = F.grid_sample(
        level[None].float(), grid[None], padding_mode="border", align_corners=False
    )[0]
    return ToeStrip(picture=picture, offset_px=-guess_off_px, known=known)


def training_strip(weld: PooledMap, rng: np.random.Generator, *, most_width_px: float) -> ToeStrip:
    """Draw a strip of one toe, with the weld at a drawn width."""
    side: Side = "right" if rng.integers(2) else "left"
    width_px = np.exp(rng.uniform(np.log(LEAST_WIDTH_PX), np.log(most_width_px)))
    zoom = min(float(width_px) / weld.weld.width_px, MOST_ENLARGED)
    first = rng.uniform(0, max(1, weld.weld.known.size - STRIP_COLUMNS / zoom))
    off = wandering_guess(STRIP_COLUMNS, rng)
    strip = cut_strip(weld, side, off, zoom=zoom, first=first)
    if rng.random() < 0.5:
        return strip
    return ToeStrip(
        picture=strip.picture.flip(2), offset_px=strip.offset_px[::-1], known=strip.known[::-1]
    )
