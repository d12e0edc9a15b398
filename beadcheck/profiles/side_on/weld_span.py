"""Which part of an outline is bare pipe, and which is the weld."""

from dataclasses import dataclass
from typing import Final, NoReturn

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing, binary_opening, label, median_filter, minimum
from scipy.ndimage import sum as ndsum

from beadcheck.errors.profile_side_on import (
    OutlineNotVisibleError,
    TooLittleBarePipeError,
    TooObliqueToSectionError,
    WeldNotOnOutlineError,
)
from beadcheck.profiles.side_on.bare_line import bare_line_mm
from beadcheck.profiles.side_on.trace import CLEAR_FROM, TracedOutline

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Places = NDArray[np.intp]

LEAST_CLEAR_SHARE: Final = 0.3
"""Of all that is in view, the background beside a short piece of pipe included."""
LEAST_CLEAR_OF_WELD, LEAST_CLEAR_BESIDE = 0.5, 0.6
"""Of a weld, and of it with what is beside it."""
ON_LEVEL_MM: Final = 0.15
"""Farthest from its level that traced bare pipe lies: a step of the trace, a pipe's own form."""
SIDE_MM: Final = 8.0
"""Beside a toe, in which the bare pipe is looked at."""
LEVEL_SHARE: Final = 0.7
"""Of what is seen there must lie on one level: a crown seldom is so flat."""
LEAST_BARE_MM: Final = 1.8
"""Of bare pipe beside each toe: where it is short, the reader of profiles levels on 1.2 mm of it,
from 0.6 mm outside the toe on."""
STEADY_MM: Final = 0.8
"""Of bare pipe in a row: there the weld has ended."""
MOST_STEP_MM: Final = 3.5
"""Between the two sides of a weld; parts worse than this are not welded (an estimate)."""
LEAST_DEPARTURE_MM: Final = 0.15
"""What departs from the bare pipe by less is no weld that a trace can tell."""
NARROWEST_WELD_MM, WIDEST_WELD_MM = 1.5, 50.0
DEEPEST_MM: Final = 3.5
"""No weld lies so far under the pipe: there it ends."""
GREAT_MM: Final = 0.3
"""What departs by more may be a weld, whatever lies beside it."""
BARE_INSIDE_MM: Final = 1.0
LIKE_BARE_MM: Final = 0.1
"""A weld holds no bare pipe: each mm of it that is as flat as that counts against so much area."""
LONGEST_BARE_MM: Final = 4.0
"""As long a piece of the bare pipe's own line lies between two things, not inside one weld."""
OTHER_THING_MM: Final = 3.0
"""Something narrower than this on the bare pipe is passed over."""
MOST_OBLIQUE_DEG: Final = 10.0
"""Of the weld; up to here the crest's height stands (accuracy study, 2.3)."""
REACH_MM: Final = 25.0
"""From the toe outwards: more is no better, since no pipe is that straight."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldSpan:
    """Where weld and bare pipe lie along an outline.

    Attributes
    ----------
    weld_mm
        Ends of the weld along the pipe, roughly.
    reach_mm
        How far on both sides the outline still belongs to the pipe.
    bare
        (W,) which columns show bare pipe.
    """

    weld_mm: tuple[float, float]
    reach_mm: tuple[float, float]
    bare: Flags


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Beside:
    """The bare pipe that would lie on one side, were a toe at each of W columns.

    `level_mm` is (W,) its height, `bare_mm` how much of it shows, `flat` whether it is one level.
    """

    level_mm: Floats
    bare_mm: Floats
    flat: Flags


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sides:
    """A levelled trace of W columns, which of them count, and what lies beside each."""

    rest_mm: Floats
    usable: Flags
    covered: Flags
    left: _Beside
    right: _Beside
    pitch_mm: float

    def columns(self, length_mm: float) -> int:
        """An odd number of columns that span about a length."""
        return 2 * int(0.5 * length_mm / self.pitch_mm) + 1


def weld_span(
    outline: TracedOutline, covered: Flags, *, oblique_deg: Floats, farthest_mm: Floats
) -> WeldSpan:
    """Tell weld from bare pipe, which may lie at two levels left and right of it.

    Parameters
    ----------
    covered
        As for `bare_line_mm`, like `farthest_mm`.
    oblique_deg
        (W,) angles at which each column is seen.

    Raises
    ------
    ProfileError
        The outline hardly shows, no weld stands out on it, or too little bare pipe beside it.
    """
    usable = (outline.clear >= CLEAR_FROM) & ~covered
    pitch_mm = float(outline.along_mm[1] - outline.along_mm[0])
    rest_mm = outline.height_mm - bare_line_mm(outline, covered, farthest_mm)
    left = _beside(rest_mm, usable, pitch_mm)
    right = _mirrored(_beside(rest_mm[::-1], usable[::-1], pitch_mm))
    sides = _Sides(
        rest_mm=rest_mm, usable=usable, covered=covered, left=left, right=right, pitch_mm=pitch_mm
    )
    within = np.abs(oblique_deg) <= MOST_OBLIQUE_DEG
    pair = _best_pair(sides, within)
    if pair is None:
        pair = _best_pair(sides, np.ones_like(within))
        great = (np.abs(rest_mm) > GREAT_MM) & usable & within
        if pair is None or binary_opening(great, np.ones(sides.columns(NARROWEST_WELD_MM))).any():
            _refuse(sides, within)
        middle = (pair[0] + pair[1]) // 2
        raise TooObliqueToSectionError(float(abs(oblique_deg[middle])), MOST_OBLIQUE_DEG)
    _require_greatest(sides, within, *pair)
    return _span(outline, sides, *pair)


def _beside(rest_mm: Floats, usable: Flags, pitch_mm: float) -> _Beside:
    """What lies before each column, towards smaller ones."""
    size = max(2, round(SIDE_MM / pitch_mm))
    padded = np.concatenate([np.full(size, np.nan), np.where(usable, rest_mm, np.nan)])[:-1]
    windows = np.lib.stride_tricks.sliding_window_view(padded, size)
    count = np.isfinite(windows).sum(axis=1)
    # Sorting puts what is not seen last.
    rank, place = np.sort(windows, axis=1), np.arange(rest_mm.size)
    level_mm = 0.5 * (rank[place, (count - 1).clip(0) // 2] + rank[place, count // 2 % size])
    bare = (np.abs(windows - level_mm[:, None]) <= ON_LEVEL_MM).sum(axis=1)
    flat = (bare >= LEVEL_SHARE * count) & (bare * pitch_mm >= LEAST_BARE_MM)
    return _Beside(level_mm=level_mm, bare_mm=bare * pitch_mm, flat=flat)


def _mirrored(one: _Beside) -> _Beside:
    return _Beside(level_mm=one.level_mm[::-1], bare_mm=one.bare_mm[::-1], flat=one.flat[::-1])


def _best_pair(sides: _Sides, within: Flags) -> tuple[int, int] | None:
    """First and last column of the weld: the greatest departure between two flat sides.

    Its middle must lie within (W,) flagged columns; None where there is none.
    """
    starts = np.flatnonzero(sides.left.flat & ~np.append(sides.left.flat[1:], False))
    stops = np.flatnonzero(sides.right.flat & ~np.insert(sides.right.flat[:-1], 0, False))
    end = sides.usable.size - 1
    ends = []
    for stop in stops:
        high_mm = float(sides.right.level_mm[stop])
        back = _toe(sides.rest_mm[::-1], sides.usable[::-1], high_mm, end - int(stop), sides)
        ends.append((high_mm, end - back))
    best, greatest_mm2 = None, 0.0
    for start in starts:
        low_mm = float(sides.left.level_mm[start])
        first = _toe(sides.rest_mm, sides.usable, low_mm, int(start), sides)
        for high_mm, last in ends:
            width_mm = (last - first + 1) * sides.pitch_mm
            if not NARROWEST_WELD_MM <= width_mm <= WIDEST_WELD_MM:
                continue
            if not within[(first + last) // 2]:
                continue
            if abs(high_mm - low_mm) > MOST_STEP_MM or not _may_be_weld(sides, first, last):
                continue
            area_mm2 = _area_mm2(sides, first, last, (low_mm, high_mm))
            if area_mm2 > greatest_mm2:
                best, greatest_mm2 = (first, last), area_mm2
    return best


def _require_greatest(sides: _Sides, within: Flags, first: int, last: int) -> None:
    """Refuse a lesser departure where the weld itself lacks bare pipe beside it.

    Raises
    ------
    TooLittleBarePipeError
        Something that departs by more area lies outside the weld.
    """
    levels_mm = (0.0, float(sides.left.level_mm[first]), float(sides.right.level_mm[last]))
    over_mm = np.min([np.abs(sides.rest_mm - level_mm) for level_mm in levels_mm], axis=0)
    own_mm2 = float(over_mm[first : last + 1].sum()) * sides.pitch_mm
    outside = (over_mm > GREAT_MM) & sides.usable & ~sides.covered & within
    outside[first : last + 1] = False
    outside = binary_opening(outside, np.ones(sides.columns(NARROWEST_WELD_MM)))
    parts, count = label(_but_ends(sides, outside))
    areas_mm2 = sides.pitch_mm * ndsum(over_mm, parts, np.arange(1, count + 1))
    if count == 0 or areas_mm2.max() <= own_mm2:
        return
    places = np.flatnonzero(parts == 1 + int(areas_mm2.argmax()))
    bare_mm = min(sides.left.bare_mm[places[0]], sides.right.bare_mm[places[-1]])
    raise TooLittleBarePipeError(min(float(bare_mm), LEAST_BARE_MM - sides.pitch_mm), LEAST_BARE_MM)


def _but_ends(sides: _Sides, departs: Flags) -> Flags:
    """(W,) flags without what lies where a pipe's end falls away, as no weld does, and beyond."""
    parts, count = label(departs)
    deepest_mm = minimum(sides.rest_mm, parts, np.arange(1, count + 1))
    own = np.append(False, np.asarray(deepest_mm) > -DEEPEST_MM)[parts]
    fallen = np.flatnonzero(sides.usable & (sides.rest_mm < -DEEPEST_MM))
    on_line = sides.usable & (np.abs(sides.rest_mm) <= ON_LEVEL_MM)
    middle = np.average(np.arange(own.size), weights=on_line + 1e-9)
    own[: fallen[fallen < middle].max(initial=-1) + 1] = False
    own[fallen[fallen > middle].min(initial=own.size) :] = False
    return np.asarray(own, dtype=np.bool_)


def _may_be_weld(sides: _Sides, first: int, last: int) -> bool:
    """Whether nothing covers these columns, most are clear, and none falls as a pipe's end does."""
    inside = slice(first, last + 1)
    usable, rest_mm = sides.usable[inside], sides.rest_mm[inside]
    on_line = usable & (np.abs(rest_mm) <= LIKE_BARE_MM)
    return (
        not binary_opening(on_line, np.ones(sides.columns(LONGEST_BARE_MM))).any()
        and not sides.covered[inside].any()
        and float(usable.mean()) >= LEAST_CLEAR_OF_WELD
        and float(rest_mm.min()) > -DEEPEST_MM
    )


def _toe(rest_mm: Floats, usable: Flags, level_mm: float, before: int, sides: _Sides) -> int:
    """First column past the last steady piece of a level at or before a column."""
    on_level = usable[: before + 1] & (np.abs(rest_mm[: before + 1] - level_mm) <= ON_LEVEL_MM)
    steady = np.flatnonzero(binary_opening(on_level, np.ones(sides.columns(STEADY_MM))))
    return int(steady[-1]) + 1 if steady.size else before


def _area_mm2(sides: _Sides, first: int, last: int, levels_mm: tuple[float, float]) -> float:
    """Area of what departs from both levels and from the pipe's line, less what is bare between."""
    rest_mm = sides.rest_mm[first : last + 1][sides.usable[first : last + 1]]
    off_mm = np.min([np.abs(rest_mm - level_mm) for level_mm in (0.0, *levels_mm)], axis=0)
    if off_mm.size == 0 or np.quantile(off_mm, 0.9) < LEAST_DEPARTURE_MM:
        return 0.0
    bare = off_mm <= LIKE_BARE_MM
    return float((off_mm - BARE_INSIDE_MM * bare).sum()) * sides.pitch_mm


def _refuse(sides: _Sides, within: Flags) -> NoReturn:
    """Say what is missing: a clear outline, a weld, or bare pipe beside it."""
    clear_share = float(sides.usable.sum()) / max(1, int((~sides.covered).sum()))
    if clear_share < LEAST_CLEAR_SHARE:
        raise OutlineNotVisibleError(100.0 * clear_share)
    smooth_mm = median_filter(np.abs(sides.rest_mm), sides.columns(STEADY_MM))
    departs = (smooth_mm > LEAST_DEPARTURE_MM) & sides.usable
    departs = binary_opening(departs, np.ones(sides.columns(NARROWEST_WELD_MM)))
    departs = _but_ends(sides, departs)
    if not departs.any():
        seen_mm = float(sides.usable.sum()) * sides.pitch_mm
        raise WeldNotOnOutlineError(seen_mm, LEAST_DEPARTURE_MM)
    departs = departs & within if (departs & within).any() else departs
    first, last = np.flatnonzero(departs)[[0, -1]]
    side = round(SIDE_MM / sides.pitch_mm)
    about = slice(max(first - side, 0), last + side)
    clear_share = sides.usable[about].sum() / max(1, int((~sides.covered[about]).sum()))
    if clear_share < LEAST_CLEAR_BESIDE:
        raise OutlineNotVisibleError(100.0 * float(clear_share))
    bare_mm = min(float(sides.left.bare_mm[first]), float(sides.right.bare_mm[last]))
    raise TooLittleBarePipeError(min(bare_mm, LEAST_BARE_MM - sides.pitch_mm), LEAST_BARE_MM)


def _span(outline: TracedOutline, sides: _Sides, first: int, last: int) -> WeldSpan:
    place = np.arange(sides.usable.size)
    level_mm = np.where(place < first, sides.left.level_mm[first], sides.right.level_mm[last])
    inside = (place >= first) & (place <= last)
    bare = sides.usable & ~inside & (np.abs(sides.rest_mm - level_mm) <= ON_LEVEL_MM)
    gap = sides.columns(OTHER_THING_MM)
    whole = binary_closing(np.pad(bare | sides.covered | inside, gap), np.ones(gap))[gap:-gap]
    reach = round(REACH_MM / sides.pitch_mm)
    start = first - int(np.argmin(np.append(whole[max(first - reach, 0) : first][::-1], False)))
    stop = last + int(np.argmin(np.append(whole[last + 1 : last + 1 + reach], False)))
    along = outline.along_mm
    bare[:start] = bare[stop + 1 :] = False
    return WeldSpan(
        weld_mm=(float(along[first]), float(along[last])),
        reach_mm=(float(along[start]), float(along[stop])),
        bare=bare,
    )
