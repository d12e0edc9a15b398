"""The parent metal beside the weld, on which heights are levelled."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.relief import Relief
from beadcheck.profiles.pair.toe_lines import ToeLines

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

BESIDE_MM: Final = (1.0, 12.0)
"""How far outside the toes parent metal counts: past the undercut, as far as the map reaches."""
MODE_MM: Final = 0.2
FARTHEST_MM: Final = 3.0
"""A part that is set off further than this from the target's plane is not looked for."""
SPREAD_MM: Final = 0.05
SHARED: Final = 1.0 / 60.0
"""Neighbouring cells that share their evidence count as one: 1 mm by 5 mm."""
U_PLANE_MM: Final = 0.1
"""How well the target alone tells the plane of the metal about it: its lift and bow."""
UNDER_PAPER_MM: Final = 0.05
"""Air under paper that is taped to a plate: from none to a tenth of a millimetre (common practice,
no published source). A strip pulled round a pipe leaves none."""
U_UNDER_PAPER_MM: Final = 0.05
U_LIGHT_MM: Final = 0.1
"""What flat metal shows is mirrored light for a good part, which glides as the phone moves and
passes for height: by 0.09 and 0.13 mm in two of nine rendered pairs looked at in development, whose
markers told the plane to 0.05 mm."""
FAR_OFF_MM: Final = 0.15
"""A target whose metal seems further off than this may be bowed or lifted: it is believed less."""
SLOPES: Final = 3
FEWEST_CELLS: Final = 30
ROUNDS: Final = 8
OBJECT_MM: Final = 0.5
"""What stands this far above or below its own part's flat metal is something else (spatter, a step,
a magnet) or a mistake."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """The parent metal as the photos show it.

    Attributes
    ----------
    height_mm
        (R, C) its surface, over the target's nominal base.
    part_mm
        (R, C) how far the part on that side looks above it; misaligned parts do.
    offset_mm, u_offset_mm
        How far it lies from there at the middle of the weld, and with what standard uncertainty.
    light_mm
        How much higher than that it looks, for it mirrors light.
    residual_mm
        Standard deviation of its cells about the surface.
    cells
        How many cells it was fitted to.
    grid
        Its cells.
    alike_share
        Share of the cells beside the weld whose height is known.
    """

    height_mm: Floats
    part_mm: Floats
    offset_mm: float
    u_offset_mm: float
    light_mm: float
    residual_mm: float
    cells: int
    alike_share: float
    grid: Cells

    def at(self, s_mm: float, across_mm: float) -> float:
        """Height of the base under a place; the nearest that the map reaches."""
        row = int(np.abs(self.grid.across_mm - across_mm).argmin())
        column = int(np.abs(self.grid.s_mm - s_mm).argmin())
        return float(self.height_mm[row, column])


def base_of(
    relief: Relief, toes: ToeLines, covered: Mask, shown: Mask, *, under_paper_mm: float
) -> Base | None:
    """Fit the parent metal on both sides of the weld; None where hardly any is seen.

    How far it lies below the target is known from two sides: paper lies on it, and light shows it.

    Both sides have slopes in common and an offset of their own, for parts may be misaligned; the
    base lies midway. Along the weld it may bend: plates do, and a pipe's radius may be off.

    Parameters
    ----------
    covered
        (R, C) what paper lies on.
    shown
        (R, C) what all photos show.
    under_paper_mm
        Air between target and metal.
    """
    cells = relief.cells
    outside = toes.between(cells, BESIDE_MM[1]) & ~toes.between(cells, BESIDE_MM[0])
    beside = outside & ~covered & shown
    known = beside & np.isfinite(relief.height_mm)
    alike_share = float(known.sum() / max(int(beside.sum()), 1))
    if known.sum() < FEWEST_CELLS:
        return None
    left, right = toes.at(cells.s_mm)
    on_right = cells.across_mm[:, None] > 0.5 * (left + right)
    heights = relief.height_mm[known]
    weight = SHARED / relief.u_height_mm[known] ** 2
    side = np.broadcast_to(on_right, known.shape)[known]
    terms = _terms(cells)
    design = np.concatenate([terms[known], _sides(side)], axis=1)
    fitted, kept = _robust_fit(design, heights, weight, side)
    rest = heights - design @ fitted
    offsets = fitted[terms.shape[2] :]
    # The target lies on one part at least; a misaligned other one is off by what it is off.
    nearest = float(offsets[np.abs(offsets + under_paper_mm).argmin()])
    u_paper_mm = max(U_UNDER_PAPER_MM, abs(nearest + under_paper_mm) - FAR_OFF_MM)
    by_light = u_paper_mm**2 / (u_paper_mm**2 + U_LIGHT_MM**2)
    light_mm = (1.0 - by_light) * (nearest + under_paper_mm)
    offset = float(offsets.mean()) - light_mm
    return Base(
        height_mm=terms @ fitted[: terms.shape[2]] + offset,
        part_mm=np.where(on_right, offsets[-1], offsets[0]) - offset,
        offset_mm=offset,
        u_offset_mm=math.sqrt(by_light) * U_LIGHT_MM,
        light_mm=light_mm,
        residual_mm=float(np.sqrt(np.mean(rest[kept] ** 2))),
        cells=int(kept.sum()),
        alike_share=alike_share,
        grid=cells,
    )


def levelled(relief: Relief, base: Base, toes: ToeLines) -> Floats:
    """(R, C) heights over the base, without what is no parent metal beside the weld.

    Parent metal is levelled on what it looks like, the weld on where the metal lies.
    """
    cells = relief.cells
    over_mm = relief.height_mm - base.height_mm
    flat = ~toes.between(cells, BESIDE_MM[0])
    other = flat & (np.abs(over_mm - base.part_mm) > OBJECT_MM)
    height_mm = np.where(toes.between(cells), over_mm, over_mm - base.light_mm)
    return np.where(other, np.nan, height_mm)


def _terms(cells: Cells) -> Floats:
    """(R, C, T) slopes across and along, and a bend along."""
    middle = float(cells.s_mm.mean())
    half = max(0.5 * float(np.ptp(cells.s_mm)), 1.0)
    along = (cells.s_mm - middle) / half
    across, along = np.meshgrid(cells.across_mm / 10.0, along, indexing="ij")
    return np.stack([across, along, along * along], axis=2)


def _sides(side: Mask) -> Floats:
    """(N, 1 or 2) offsets of the sides that are seen."""
    if not _both(side):
        return np.ones((side.size, 1))
    return np.stack([~side, side], axis=1).astype(np.float64)


def _both(side: Mask) -> bool:
    return bool(min(side.sum(), (~side).sum()) >= FEWEST_CELLS)


def _robust_fit(design: Floats, heights: Floats, weight: Floats, side: Mask) -> tuple[Floats, Mask]:
    """Least squares from the commonest height of each side, strays counting less and less."""
    start = np.zeros(heights.size)
    for own in (side, ~side) if _both(side) else (np.ones_like(side),):
        start[own] = _mode(heights[own])
    rest = heights - start
    spread = MODE_MM
    # Parts may be misaligned: their offsets are free; what tilts the metal is held by the target.
    known = np.zeros(design.shape[1])
    known[:SLOPES] = 1.0 / U_PLANE_MM**2
    for _ in range(ROUNDS):
        pull = weight / (1.0 + (rest / spread) ** 2) ** 2
        normal = (design * pull[:, None]).T @ design + np.diag(known + 1e-9)
        fitted = np.linalg.solve(normal, design.T @ (pull * heights))
        rest = heights - design @ fitted
        spread = max(2.0 * 1.4826 * float(np.median(np.abs(rest))), SPREAD_MM)
    return np.asarray(fitted, dtype=np.float64), np.abs(rest) < 2.0 * spread


def _mode(heights: Floats) -> float:
    """The commonest height within `FARTHEST_MM` of the target's plane."""
    count, edges = np.histogram(
        heights, bins=np.arange(-FARTHEST_MM, FARTHEST_MM + MODE_MM, MODE_MM)
    )
    smooth = np.convolve(count, [1.0, 2.0, 1.0], mode="same")
    best = int(smooth.argmax())
    near = np.abs(heights - 0.5 * (edges[best] + edges[best + 1])) < MODE_MM
    return float(np.median(heights[near])) if near.any() else float(np.median(heights))
