"""Where weld and metal end, as the line shows it: beyond them lie blocks, paper, a table.

Whoever reads a profile takes the longest flat stretch outside the weld for parent metal. A block's
top is flat too, so what is not the metal that the line was levelled on is left out beforehand.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_light import LineMissesWeldError, MetalUnsureError
from beadcheck.profiles.light_line.base import Base
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.sheet import Sheet
from beadcheck.profiles.light_line.step import StepTop
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_WELD_SHARE: Final = 0.4
"""Of a weld's width over which the line must be seen."""
BESIDE_STEP_MM: Final = 0.3
BESIDE_SHADED_STEP_MM: Final = 0.8
"""Next to a step its flank, its shadow and its light on the metal count as step."""
ON_METAL_MM: Final = 0.4
"""Places of the parent metal lie within this of its level: angular distortion included."""
FIRST_METAL_MM: Final = 0.7
"""So much metal in one piece ends the weld."""
ON_WELD_MM: Final = 0.25
"""Rows off the metal's line by more than this lie on the weld, or on what lies beside it."""
MISPLACED_MM: Final = 1.5
"""An edge of the weld that the line shows this much further out was not found right."""
BESIDE_MM: Final = 0.3
"""Next to what is no metal, its edge and its light on the metal are none either."""
NEAR_PAPER_MM: Final = 8.0
LEAST_PAPER_MM: Final = 2.0
"""Of paper, next to the weld, that tells where the metal under it lies."""
PAPER_OVER_MM: Final = (-0.35, 0.65)
"""How far paper of no thickness may come out over the metal it lies on: bowed, and read so."""
MOST_APART_MM: Final = 0.5
"""Parts may lie this far apart without more ado."""
MOST_MISALIGNED_MM: Final = 2.5
"""Parts further apart than this are believed where paper lies on both only: steps begin at 3 mm."""
AT_WELD_MM: Final = 3.0
LONG_MM: Final = 15.0
"""Metal that begins within `AT_WELD_MM` of the weld's rough edge, or is as long as no block is
wide, is the part's."""


def covered_by(line: FollowedLine, pieces: Sequence[StepTop]) -> Mask:
    """(N,) rows on steps and blocks, or next to them."""
    covered = np.zeros(line.across_mm.size, dtype=np.bool_)
    beside_mm = BESIDE_SHADED_STEP_MM if line.rough.kind.is_edge else BESIDE_STEP_MM
    for piece in pieces:
        low, high = piece.covers_mm
        covered |= (line.across_mm > low - beside_mm) & (line.across_mm < high + beside_mm)
    return covered


def require_crossing(line: FollowedLine, weld_mm: tuple[float, float]) -> None:
    """Require that the line is seen over enough of the weld.

    Raises
    ------
    LineMissesWeldError
        It is not.
    """
    over = line.good & (line.across_mm > weld_mm[0]) & (line.across_mm < weld_mm[1])
    share = float(over.sum()) * line.pitch_mm / (weld_mm[1] - weld_mm[0])
    if share < LEAST_WELD_SHARE:
        raise LineMissesWeldError(100.0 * share)


def weld_seen_mm(line: FollowedLine, base: Base, bare: Mask, blocks: Mask) -> tuple[float, float]:
    """Rough edges of the weld, moved out to where the line shows that metal, or a block, begins.

    A glint along a weld, or one of several passes, may have been taken for all of it.

    Parameters
    ----------
    bare
        (N,) rows with clean light, off the paper.
    blocks
        (N,) rows on or next to what lies flat over the metal.
    """
    given = base.weld_mm
    if given is None:
        msg = "where the weld lies roughly must be known"
        raise ValueError(msg)
    ends = blocks | (np.abs(base.shift_mm(line)) < ON_WELD_MM)
    length = round(FIRST_METAL_MM / line.pitch_mm)
    edges = []
    for side, edge_mm in zip((-1, 1), given, strict=True):
        rows = np.flatnonzero(bare & (side * (line.across_mm - edge_mm) > 0.0))[::side]
        first = _first_run(ends[rows], length)
        before = line.across_mm[rows[:first]] if first else np.empty(0)
        moved = before.size and side * (before[-1] - edge_mm) > MISPLACED_MM
        edges.append(float(before[-1]) if moved else edge_mm)
    return edges[0], edges[1]


def over_metal_mm(
    line: FollowedLine, base: Base, sheet: Sheet, surface: SolvedSurface
) -> tuple[Floats, float]:
    """(N,) heights over the metal of each row's side, and how far right lies over left.

    Straight lines in the photo would not do: on a pipe a sheet of light draws a curve.
    """
    heights_mm = surface.over_surface(sheet.met(surface, line.points_px))[1]
    if base.weld_mm is None:
        return heights_mm - float(np.median(heights_mm[base.sides == -1])), 0.0
    left, right = (float(np.median(heights_mm[base.sides == side])) for side in (-1, 1))
    middle_mm = 0.5 * (base.weld_mm[0] + base.weld_mm[1])
    return heights_mm - np.where(line.across_mm < middle_mm, left, right), right - left


def not_the_part(line: FollowedLine, base: Base, bare: Mask, height_mm: Floats) -> Mask:
    """(N,) rows that lie beyond the metal beside the weld, and off that metal.

    Parameters
    ----------
    height_mm
        (N,) over the metal of each row's side.
    """
    off = np.zeros(line.across_mm.size, dtype=np.bool_)
    if base.weld_mm is None:
        return off
    metal = np.abs(height_mm) < ON_METAL_MM
    length = round(FIRST_METAL_MM / line.pitch_mm)
    beside = round(BESIDE_MM / line.pitch_mm)
    for side, edge_mm in zip((-1, 1), base.weld_mm, strict=True):
        rows = np.flatnonzero(bare & (side * (line.across_mm - edge_mm) > 0.0))[::side]
        first = _first_run(metal[rows], length)
        if first is None:
            continue
        strange = rows[first:][~metal[rows[first:]]]
        near = strange[:, None] + np.arange(-beside, beside + 1)
        off[np.clip(near, 0, off.size - 1)] = True
        off[rows[: first + length]] = False
    return off


def _first_run(there: Mask, length: int) -> int | None:
    """Where the first run of at least `length` begins."""
    if there.size < length:
        return None
    runs = np.convolve(there, np.ones(length), mode="valid") == length
    return int(runs.argmax()) if runs.any() else None


def require_part(
    line: FollowedLine,
    base: Base,
    paper: Mask,
    surface: SolvedSurface,
    *,
    height_mm: Floats,
    apart_mm: float,
) -> None:
    """Require that what was levelled on is the metal of the parts, on both sides.

    Paper lies on the metal, so it tells where that is. On a side without paper, metal at another
    height than on the other side must begin at the weld or be long: a block's top does neither.

    Parameters
    ----------
    paper
        (N,) clean rows on the target's paper.
    height_mm
        (N,) over the metal of each row's side.
    apart_mm
        How far the metal of both sides lies apart.

    Raises
    ------
    MetalUnsureError
        It need not be.
    """
    if base.weld_mm is None:
        return
    thickness_mm, _ = surface.paper_mm
    low_mm, high_mm = PAPER_OVER_MM
    for side, edge_mm, name in zip((-1, 1), base.weld_mm, ("left", "right"), strict=True):
        away_mm = side * (line.across_mm - edge_mm)
        rows = np.flatnonzero(paper & (away_mm > 0.0))
        near = rows[away_mm[rows] < away_mm[rows].min(initial=np.inf) + NEAR_PAPER_MM]
        if near.size * line.pitch_mm >= LEAST_PAPER_MM:
            paper_mm = float(np.median(height_mm[near])) - thickness_mm
            if not low_mm < paper_mm < high_mm:
                raise MetalUnsureError(name, abs(paper_mm))
            continue
        metal_mm = away_mm[line.good & (away_mm > 0.0) & (np.abs(height_mm) < ON_METAL_MM)]
        alike = metal_mm.min() < AT_WELD_MM or metal_mm.size * line.pitch_mm > LONG_MM
        if abs(apart_mm) > (MOST_MISALIGNED_MM if alike else MOST_APART_MM):
            raise MetalUnsureError(name, abs(apart_mm))
