"""One level for every cell, chosen so that neighbours rarely disagree."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Volume = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bond:
    """What a difference between neighbours costs: one level, and more than one."""

    step: float
    jump: float


ACROSS: Final = Bond(step=0.03, jump=3.0)
"""Across the weld the height may climb by a level from cell to cell."""
ALONG: Final = Bond(step=1.0, jump=5.0)
"""Along the weld it changes slowly."""


def smooth_levels(cost: Volume, heights_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """(R, C) heights of least cost, with a parabola through the best level and its neighbours.

    Semi-global matching after Hirschmüller (IEEE Trans. PAMI 30, 2008), along rows and columns.

    Parameters
    ----------
    cost
        (H, R, C) of each level in each cell, from -1 (sure) to 0 (nothing speaks for it).
    """
    total = np.zeros_like(cost)
    for axis, bond in ((1, ACROSS), (2, ALONG)):
        lines = np.ascontiguousarray(np.moveaxis(cost, axis, 0))
        total += np.moveaxis(_passed(lines, bond) + _passed(lines[::-1], bond)[::-1], 0, axis)
    return refined_level(-total, heights_mm)[0]


def _passed(lines: Volume, bond: Bond) -> Volume:
    """Least cost of reaching each level of each cell from the first line, (N, H, M)."""
    passed = np.empty_like(lines)
    before = passed[0] = lines[0]
    for number in range(1, len(lines)):
        least = before.min(axis=0)
        reached = np.minimum(before, least + np.float32(bond.jump))
        np.minimum(reached[1:], before[:-1] + np.float32(bond.step), out=reached[1:])
        np.minimum(reached[:-1], before[1:] + np.float32(bond.step), out=reached[:-1])
        before = passed[number] = lines[number] + reached - least
    return passed


def refined_level(
    score: Volume, heights_mm: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(R, C) height of the greatest score between evenly spaced levels, and that score."""
    best = np.clip(score.argmax(axis=0), 1, len(heights_mm) - 2)[None]
    below, here, above = (
        np.take_along_axis(score, best + shift, axis=0)[0].astype(np.float64)
        for shift in (-1, 0, 1)
    )
    bend = np.minimum(below - 2.0 * here + above, -1e-12)
    share = np.clip(0.5 * (below - above) / bend, -0.5, 0.5)
    return heights_mm[best[0]] + (heights_mm[1] - heights_mm[0]) * share, here
