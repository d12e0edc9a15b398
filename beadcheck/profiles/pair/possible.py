"""Which heights are possible at all, and which have a rival or stand alone."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cells import Cells, Volume
from beadcheck.profiles.pair.likely import WORTH
from beadcheck.profiles.pair.smooth_surface import smooth_surface

Floats = NDArray[np.float64]

HIGHEST_BASE_MM: Final = 1.5
STEEPEST: Final = 1.7
"""Of a weld's flank: 60 degrees."""
STIFFNESS: Final = 0.1
STRAY_MM: Final = 0.15
STIFF_KNOTS_MM: Final = (1.5, 12.0)
FAR_OFF_MM: Final = 0.4
"""No weld stands off its own smooth shape by this much over the reach of the evidence."""
RIVAL_REACH_MM: Final = (0.25, 2.0)
RIVAL_MM: Final = 0.4
RIVAL_MARGIN: Final = 2.0
"""A height must beat those that differ by more than `RIVAL_MM` by this logarithm."""


def highest_mm(cells: Cells, weld: NDArray[np.bool_]) -> Floats:
    """(R, C) the greatest height that is looked for.

    A weld rises from parent metal near the target's plane, and no steeper than `STEEPEST`.
    """
    return HIGHEST_BASE_MM + STEEPEST * inside_mm(cells, weld)


def inside_mm(cells: Cells, weld: NDArray[np.bool_]) -> Floats:
    """(R, C) how far inside the weld a cell lies, across; 0 outside."""
    rows = np.arange(weld.shape[0])[:, None]
    above = np.maximum.accumulate(np.where(weld, -1, rows), axis=0)
    below = np.minimum.accumulate(np.where(weld, weld.shape[0], rows)[::-1], axis=0)[::-1]
    steps = np.minimum(rows - above, below - rows)
    return np.asarray(np.where(weld, steps, 0) * cells.size_mm[0], dtype=np.float64)


def outside_mm(cells: Cells, weld: NDArray[np.bool_]) -> Floats:
    """(R, C) how far outside the weld a cell lies, across; 0 inside, far where there is none."""
    far = 2 * weld.shape[0]
    rows = np.arange(weld.shape[0])[:, None]
    above = np.maximum.accumulate(np.where(weld, rows, -far), axis=0)
    below = np.minimum.accumulate(np.where(weld, rows, far)[::-1], axis=0)[::-1]
    steps = np.minimum(rows - above, below - rows)
    return np.asarray(steps * cells.size_mm[0], dtype=np.float64)


def unrivalled(
    cells: Cells,
    whole: Volume,
    levels_mm: Floats,
    height_mm: Floats,
    weld: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """(R, C) where no other height, near or far, is nearly as likely."""
    logarithms = cells.summed(whole, RIVAL_REACH_MM, weld) * np.float32(WORTH)
    logarithms[levels_mm[:, None, None] > highest_mm(cells, weld)] = 0.0
    off_mm = np.abs(levels_mm[:, None, None] - height_mm)
    own = np.where(off_mm < RIVAL_MM, logarithms, 0.0).max(axis=0)
    rival = np.where(off_mm >= RIVAL_MM, logarithms, 0.0).max(axis=0)
    return np.asarray(own - rival > RIVAL_MARGIN)


def near_neighbours(
    cells: Cells, height_mm: Floats, u_height_mm: Floats, weld: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """(R, C) where a weld's height lies near a stiff surface through most of the others."""
    stiff = smooth_surface(
        cells.across_mm, cells.s_mm, knots_mm=STIFF_KNOTS_MM, stiffness=STIFFNESS
    )
    known = weld & np.isfinite(height_mm)
    weight = np.where(known, np.prod(cells.size_mm) / np.nan_to_num(u_height_mm, nan=1.0) ** 2, 0.0)
    usual = stiff.robustly_through(np.where(known, height_mm, 0.0), weight, STRAY_MM)
    return np.asarray(np.abs(np.nan_to_num(height_mm) - usual) < FAR_OFF_MM)
