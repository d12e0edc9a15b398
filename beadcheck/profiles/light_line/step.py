"""Which piece of the line lies on the top of the known step."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_light import LineMissesStepError, StepUnclearError
from beadcheck.profiles.light_line.base import Base
from beadcheck.profiles.light_line.crossing import on_paper
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_TOP_MM: Final = 3.0
"""Shorter pieces tell too little of a top: a weld's own waves run flat for so long."""
FLATTEST: Final = 0.08
"""Rise of the displacement over 1 mm of a flat piece: a top that rocks by 3 degrees and more."""
SLOPE_OVER_MM: Final = 0.8
ALIKE_MM: Final = 0.12
"""A flat piece goes on, over a gap, where its displacement is the same within this."""
GAP_MM: Final = 1.0
FALLS_WITHIN_MM: Final = 1.2
"""A step ends sharply; a weld's flanks take longer."""
USUAL_SHIFT: Final = 0.8
"""K by which a piece's height is guessed from its displacement: light lies on the flank of a step,
too, which is as wide as the camera stands aslant."""
FALLS_TO: Final = 0.5
METAL_WITHIN_MM: Final = 5.0
"""Beyond each end, metal or paper is seen within this: a step may shade some of it."""
TRIM_MM: Final = 0.3
"""Left out at both ends: chamfers, and light from both levels in one row."""
NEAR_MARK_MM: Final = 5.0
NEAR_TAP_MM: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StepTop:
    """Rows on the top of the step.

    Attributes
    ----------
    rows
        (N,) bool.
    covers_mm
        Ends, across, of all that the step covers, its edges included.
    sharp_ends
        At 2 of them, or at 1, the line is seen to fall back to the metal.
    """

    rows: Mask
    covers_mm: tuple[float, float]
    sharp_ends: int


def step_top(
    line: FollowedLine,
    base: Base,
    surface: SolvedSurface,
    step: KnownStep,
    *,
    shift_limits: tuple[float, float],
    up: int = 0,
) -> StepTop:
    """Find the step where a tap or the target's mark says, or where the line leaves no doubt.

    Parameters
    ----------
    shift_limits
        Least and most that 1 mm of height can move the line by, in mm.
    up
        Sign of the displacement of what lies over the metal; 0 where that is not known. Where it
        is, the line may end on the step, as it may on a table under the metal.

    Raises
    ------
    LineMissesStepError
        The line is nowhere displaced like on a step, or not where the tap is.
    StepUnclearError
        Several pieces could be the step.
    """
    least_mm, most_mm = (step.thickness_mm * each for each in shift_limits)
    shift = base.shift_mm(line)
    pieces = [
        piece
        for piece in flat_pieces(line, base, least_mm)
        if abs(float(np.median(shift[piece.rows]))) < most_mm
    ]
    if step.place_px is not None:
        tap = line.rough.axis.to_weld(surface.to_mm(np.array([step.place_px])))[0, 1]
        near = [piece for piece in pieces if _distance(piece, tap, tap) <= NEAR_TAP_MM]
        return _only(sorted(near, key=lambda piece: _distance(piece, tap, tap))[:1], step)
    # The line comes back to the metal at both ends of a step, not from a table beside the plate.
    pieces = [
        piece
        for piece in pieces
        if piece.sharp_ends == 2 or up * float(np.median(shift[piece.rows])) > 0.0
    ]
    outline = surface.step_outline_mm()
    if outline is not None:
        marked = line.rough.axis.to_weld(outline)[:, 1]
        ends = float(marked.min()), float(marked.max())
        near = [piece for piece in pieces if _distance(piece, *ends) <= NEAR_MARK_MM]
        if len(near) == 1:
            return near[0]
    standing = [piece for piece in pieces if not foot_on_paper(line, base, surface, piece)]
    return _only(standing or pieces, step)


def foot_on_paper(line: FollowedLine, base: Base, surface: SolvedSurface, piece: StepTop) -> bool:
    """Whether a piece would stand on the target's paper, where print may look like a step."""
    foot_mm = line.s_mm[piece.rows] - base.shift_mm(line)[piece.rows]
    on_it = on_paper(surface, line.rough.axis, foot_mm, line.across_mm[piece.rows])
    return bool(on_it.mean() > 0.5)


def _only(pieces: list[StepTop], step: KnownStep) -> StepTop:
    if not pieces:
        raise LineMissesStepError(step.thickness_mm)
    if len(pieces) > 1:
        raise StepUnclearError(len(pieces))
    return pieces[0]


def _distance(piece: StepTop, low: float, high: float) -> float:
    """Gap between a piece and a range across; 0 where they overlap."""
    return max(0.0, piece.covers_mm[0] - high, low - piece.covers_mm[1])


def flat_pieces(line: FollowedLine, base: Base, least_shift_mm: float) -> list[StepTop]:
    """Pieces beside the weld that run flat, well displaced, between sharp ends."""
    shift = base.shift_mm(line)
    good, pitch = line.good, line.pitch_mm
    reach = max(2, round(0.5 * SLOPE_OVER_MM / pitch))
    padded = np.pad(shift, reach, mode="edge")
    rise = (padded[2 * reach :] - padded[: -2 * reach]) / (2.0 * reach * pitch)
    flat = good & (np.abs(rise) < FLATTEST) & (np.abs(shift) > least_shift_mm)
    pieces = []
    for rows in _runs(np.flatnonzero(flat), shift, pitch):
        middle = float(np.median(shift[rows]))
        whole = _grown(rows, shift, good, middle, pitch)
        if whole is None:
            continue
        length_mm = (whole[1] - whole[0]) * pitch
        flank_mm = line.lean * abs(middle) / USUAL_SHIFT
        sharp = _sharp_ends(whole, shift, good, middle, pitch, flank_mm)
        if length_mm < LEAST_TOP_MM or sharp == 0:
            continue
        trim = round(TRIM_MM / pitch)
        top = np.zeros(shift.size, dtype=np.bool_)
        top[whole[0] + trim : whole[1] - trim + 1] = True
        top &= good & (np.abs(shift - middle) < ALIKE_MM)
        low, high = float(line.across_mm[whole[0]]), float(line.across_mm[whole[1]])
        weld_mm = base.weld_mm if base.weld_given else None
        if weld_mm is None or high < weld_mm[0] or low > weld_mm[1]:
            pieces.append(StepTop(rows=top, covers_mm=(low, high), sharp_ends=sharp))
    return pieces


def _runs(flat: NDArray[np.intp], shift: Floats, pitch_mm: float) -> list[NDArray[np.intp]]:
    """Flat rows, parted where a gap is wide or the displacement another."""
    if flat.size == 0:
        return []
    apart = np.diff(flat) * pitch_mm > GAP_MM
    runs = np.split(flat, np.flatnonzero(apart) + 1)
    joined = [runs[0]]
    for run in runs[1:]:
        before = joined[-1]
        alike = abs(float(np.median(shift[run]) - np.median(shift[before]))) < ALIKE_MM
        if alike and (run[0] - before[-1]) * pitch_mm < 3.0 * GAP_MM:
            joined[-1] = np.concatenate([before, run])
        else:
            joined.append(run)
    return joined


def _grown(
    rows: NDArray[np.intp], shift: Floats, good: Mask, middle: float, pitch_mm: float
) -> tuple[int, int] | None:
    """First and last row that still lie at the height of a flat run; None where hardly any does."""
    alike = np.flatnonzero(good & (np.abs(shift - middle) < ALIKE_MM))
    reach = round(SLOPE_OVER_MM / pitch_mm)
    near = alike[(alike >= rows[0] - reach) & (alike <= rows[-1] + reach)]
    return (int(near[0]), int(near[-1])) if near.size else None


def _sharp_ends(
    ends: tuple[int, int],
    shift: Floats,
    good: Mask,
    middle: float,
    pitch_mm: float,
    flank_mm: float,
) -> int:
    """At how many ends the line falls back at once to the metal; 0 where it goes on at one.

    A table beside the plate is flat and displaced too, but the line does not come back from it.
    """
    reach = round((FALLS_WITHIN_MM + flank_mm) / pitch_mm)
    far = round((METAL_WITHIN_MM + flank_mm) / pitch_mm)
    share = shift / middle
    count = 0
    for end, way in zip(ends, (-1, 1), strict=True):
        beyond = end + way * np.arange(1, far)
        beyond = beyond[(beyond >= 0) & (beyond < shift.size)]
        beyond = beyond[good[beyond]]
        at_once = beyond[np.abs(beyond - end) >= reach]
        if at_once.size and share[at_once[0]] > FALLS_TO:
            return 0
        count += bool((np.abs(share[beyond]) < 1.0 - FALLS_TO).any())
    return count
