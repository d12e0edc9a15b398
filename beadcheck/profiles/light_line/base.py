"""Where the line lies on bare base metal: straight, on both sides of the weld."""

import math
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_light import TooLittleMetalError
from beadcheck.profiles.light_line.follow import FollowedLine

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_METAL_MM: Final = 1.5
"""Of lit bare metal on each side: less gives no line to level on (accuracy study, 2.5)."""
USED_METAL_MM: Final = 20.0
"""Beyond this from the weld a plate's own form counts for more than one more row."""
MOST_METAL_MM: Final = 12.0
"""So much of it, next to the weld, is enough."""
BESIDE_WELD_MM: Final = 0.7
"""Left out beside a weld that is only roughly placed."""
MODE_MM: Final = 0.25
"""Rows of base metal lie within this of one straight line."""
ROUGHLY_MM: Final = 2.0
"""Rows of base metal lie within this of the rough straight line, parts out of line included."""
SLOPES_NEAR: Final = np.linspace(-0.06, 0.06, 41)
"""The rough line is known to this slope."""
STRAIGHT_MM: Final = 0.1
"""Rows of one piece of metal lie within this of a straight line."""
ROUGH_LINE_MM: Final = 1.0
"""... and the rough line itself is this good, tint and paper's height included."""
TIGHT: Final = 4.0
"""Rows further than this many robust spreads from the line are left out."""
TIGHTEST_MM: Final = 0.04
ROUNDS: Final = 4
MOST_LEVELS: Final = 4
"""On one side of a weld: base metal, a step, a second step, the table."""
LEAST_LEVEL_MM: Final = 1.0
"""A shorter flat stretch is no level of its own."""
LEAST_WELD_MM: Final = 1.5
"""A shorter displaced piece of the line is no weld."""
LEAST_SHIFT_MM: Final = 0.2
"""A piece that is displaced by less than this is no weld either."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """The line on the base metal: s = offset + slope x across, an offset for each side.

    Attributes
    ----------
    sides
        (N,) -1 for rows on the base metal left of the weld, +1 right of it, 0 for all others. Where
        no weld is known all base metal is on the left.
    offsets_mm
        Left and right; the same where no weld is known.
    spread_mm
        Standard deviation of the rows about the line.
    alike_rows
        So many neighbouring rows share their error.
    weld_mm
        Rough places across of the weld's edges, as given or as the line shows them.
    weld_given
        Whether they were given.
    """

    sides: NDArray[np.intp]
    offsets_mm: tuple[float, float]
    slope: float
    spread_mm: float
    alike_rows: float
    weld_mm: tuple[float, float] | None
    weld_given: bool

    def shift_mm(self, line: FollowedLine) -> Floats:
        """(N,) displacement of the light from the line on the metal of its side of the weld."""
        left, right = self.offsets_mm
        middle = -np.inf if self.weld_mm is None else 0.5 * sum(self.weld_mm)
        offset = np.where(line.across_mm < middle, left, right)
        return np.asarray(line.s_mm - offset - self.slope * line.across_mm)


def base_of(
    line: FollowedLine, bare: Mask, paper: Mask, weld_mm: tuple[float, float] | None
) -> Base:
    """Fit the straight line of the base metal.

    Parameters
    ----------
    bare
        (N,) rows that may lie on bare metal: clean light, no paper, no step.
    paper
        (N,) rows on the target's paper, which lies on the metal.
    weld_mm
        Rough places across of the weld's edges, or None.

    Raises
    ------
    TooLittleMetalError
        Too little of the line lies on base metal, on one of the sides.
    """
    across = line.across_mm
    given = weld_mm is not None
    if weld_mm is None:
        # Paper lies on the metal, so that the rough line, which it shares, is near the metal's.
        off_mm = line.s_mm - line.rough.base[0] - line.rough.base[1] * across
        straight = _straightest(line, bare & (np.abs(off_mm) < ROUGH_LINE_MM))
        weld_mm = _weld_in(line, bare, straight)
    else:
        reach_mm = 0.5 * (weld_mm[1] - weld_mm[0]) + USED_METAL_MM
        near = np.abs(across - 0.5 * (weld_mm[0] + weld_mm[1])) < reach_mm
        straight = _straightest(line, bare & near)
    sides = np.zeros(across.size, dtype=np.intp)
    if weld_mm is None:
        off_mm = line.s_mm - straight[0] - straight[1] * across
        sides[bare & (np.abs(off_mm) < ROUGHLY_MM)] = -1
    else:
        low, high = weld_mm[0] - BESIDE_WELD_MM, weld_mm[1] + BESIDE_WELD_MM
        most = round(MOST_METAL_MM / line.pitch_mm)
        beside = (
            bare & (across < low) & (across > low - USED_METAL_MM),
            bare & (across > high) & (across < high + USED_METAL_MM),
        )
        papers = paper & (across < low), paper & (across > high)
        level = line.s_mm - straight[1] * across
        metal = _metal_levels(level, beside, papers, line.pitch_mm)
        left, right = (
            np.flatnonzero(rows & (np.abs(level - at_mm) < 2.0 * MODE_MM))
            for rows, at_mm in zip(beside, metal, strict=True)
        )
        sides[left[-most:]], sides[right[:most]] = -1, 1
    return _fitted(line, sides, straight[1], weld_mm, given=given)


def _metal_levels(
    level: Floats, beside: tuple[Mask, Mask], papers: tuple[Mask, Mask], pitch_mm: float
) -> tuple[float, float]:
    """Level of the base metal left and right of the weld; NaN where nothing is seen.

    Steps lie beside the weld too, and may hide more of the metal than they leave. But metal lies
    under the paper, and both parts lie more alike than metal and step.
    """
    left, right = (_levels(level[rows], pitch_mm) or [np.nan] for rows in beside)
    papers_mm = [float(np.median(level[rows])) if rows.any() else np.nan for rows in papers]

    def apart_mm(pair: tuple[float, float]) -> float:
        gaps = [pair[0] - pair[1], pair[0] - papers_mm[0], pair[1] - papers_mm[1]]
        return float(np.nansum(np.abs(gaps)))

    return min(product(left, right), key=apart_mm)


def _levels(values: Floats, pitch_mm: float) -> list[float]:
    """Levels at which a long enough part of the values lies, the longest first."""
    found: list[float] = []
    while values.size * pitch_mm >= LEAST_LEVEL_MM and len(found) < MOST_LEVELS:
        at_mm = _mode(values)
        mine = np.abs(values - at_mm) < 2.0 * MODE_MM
        if mine.sum() * pitch_mm < LEAST_LEVEL_MM:
            break
        found.append(at_mm)
        values = values[~mine]
    return found


def _straightest(line: FollowedLine, bare: Mask) -> tuple[float, float]:
    """Offset and slope of the straight line that most bare rows lie on."""
    across, s_mm = line.across_mm[bare], line.s_mm[bare]
    slopes = line.rough.base[1] + SLOPES_NEAR
    best, count = line.rough.base, 0
    for slope in slopes:
        ordered = np.sort(s_mm - slope * across)
        ends = np.searchsorted(ordered, ordered + 2.0 * STRAIGHT_MM)
        held = ends - np.arange(ordered.size)
        if held.size and held.max() > count:
            start = int(held.argmax())
            best = float(np.median(ordered[start : ends[start]])), float(slope)
            count = int(held.max())
    return best


def _weld_in(
    line: FollowedLine, bare: Mask, straight: tuple[float, float]
) -> tuple[float, float] | None:
    """Ends of the longest displaced piece of the line, if there is one."""
    rest = line.s_mm - straight[0] - straight[1] * line.across_mm
    if not bare.any():
        return None
    away = bare & (np.abs(rest) > LEAST_SHIFT_MM)
    # Gaps belong to what lies on both sides of them.
    known = np.where(bare, away, np.nan)
    filled = _filled(known)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], filled.astype(int), [0]])))
    starts, ends = edges[::2], edges[1::2]
    inner = (starts > 0) & (ends < filled.size)
    lengths = (ends - starts) * line.pitch_mm * inner
    if lengths.size == 0 or lengths.max() < LEAST_WELD_MM:
        return None
    longest = int(lengths.argmax())
    return float(line.across_mm[starts[longest]]), float(line.across_mm[ends[longest] - 1])


def _filled(known: Floats) -> Mask:
    """Rows of unknown kind take that of the row before."""
    place = np.where(np.isnan(known), 0, np.arange(known.size))
    return np.nan_to_num(known[np.maximum.accumulate(place)]) > 0.0


def _fitted(
    line: FollowedLine,
    sides: NDArray[np.intp],
    slope: float,
    weld_mm: tuple[float, float] | None,
    *,
    given: bool,
) -> Base:
    names = {-1: "left"} if weld_mm is None else {-1: "left", 1: "right"}
    _require_metal(line, sides, names)
    across = line.across_mm
    offsets = {side: _mode((line.s_mm - slope * across)[sides == side]) for side in names}
    kept, limit_mm = sides, 2.0 * MODE_MM
    for _ in range(ROUNDS):
        offset = np.select([sides == side for side in names], list(offsets.values()), np.nan)
        rest = line.s_mm - slope * across - offset
        kept = np.where(np.abs(rest) < limit_mm, sides, 0)
        _require_metal(line, kept, names)
        slope, offsets = _straight(line, kept, tuple(names))
        offset = np.select([kept == side for side in names], list(offsets.values()), np.nan)
        rest = line.s_mm - slope * across - offset
        spread = 1.4826 * float(np.nanmedian(np.abs(rest)))
        limit_mm = float(np.clip(TIGHT * spread, TIGHTEST_MM, MODE_MM))
    left = offsets[-1]
    return Base(
        sides=kept,
        offsets_mm=(left, offsets.get(1, left)),
        slope=slope,
        spread_mm=float(np.nanstd(rest)),
        alike_rows=alike_rows(rest),
        weld_mm=weld_mm,
        weld_given=given,
    )


def _require_metal(line: FollowedLine, sides: NDArray[np.intp], names: dict[int, str]) -> None:
    for side, name in names.items():
        seen_mm = float((sides == side).sum()) * line.pitch_mm
        if seen_mm < LEAST_METAL_MM:
            raise TooLittleMetalError(name, math.floor(10.0 * seen_mm) / 10.0, LEAST_METAL_MM)


def _straight(
    line: FollowedLine, sides: NDArray[np.intp], names: tuple[int, ...]
) -> tuple[float, dict[int, float]]:
    """Common slope, and an offset for each side, by weighted least squares."""
    used = sides != 0
    columns = [line.across_mm[used], *((sides[used] == side).astype(float) for side in names)]
    weight = 1.0 / np.hypot(line.u_s_mm[used], 0.01)
    solution = np.linalg.lstsq(
        np.stack(columns, axis=1) * weight[:, None], line.s_mm[used] * weight, rcond=None
    )[0]
    return float(solution[0]), dict(zip(names, map(float, solution[1:]), strict=True))


def _mode(values: Floats) -> float:
    """Middle of the densest `2 x MODE_MM` of the values."""
    ordered = np.sort(values)
    ends = np.searchsorted(ordered, ordered + 2.0 * MODE_MM)
    densest = int((ends - np.arange(ordered.size)).argmax())
    return float(np.median(ordered[densest : ends[densest]]))


def alike_rows(rest: Floats) -> float:
    """How many neighbouring values count as one, from their autocorrelation; NaN are holes."""
    centred = np.nan_to_num(rest - np.nanmean(rest))
    power = float(centred @ centred)
    if power <= 0.0:
        return 1.0
    total = 1.0
    for lag in range(1, centred.size // 4):
        correlation = float(centred[lag:] @ centred[:-lag]) / power
        if correlation <= 0.05:
            break
        total += 2.0 * correlation
    return total
