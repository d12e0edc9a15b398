"""Where lines of light run: straight on the base metal, displaced on weld and step."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.profiles.light_line.evidence import Evidence, LightKind, laser_evidence
from beadcheck.profiles.light_line.overview import nearness, on_paper_in, unsure_of_edges
from beadcheck.profiles.light_line.shadow import (
    EdgeMaps,
    any_edge,
    edge_maps,
    edge_of_rise,
    misplaced_mm,
    shadow_rise,
)
from beadcheck.profiles.light_line.straight import SEEN_STRENGTH, Straight, Strength, columns_at
from beadcheck.profiles.light_line.way import cheapest_way
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]

SLOPES: Final = np.linspace(-1.02, 1.02, 69)
"""Slants of up to 45 degrees to the map's rows: every line, in a map and in one turned by 90."""
MOST_REJECTED: Final = 6
MOST_COLOURS_REJECTED: Final = 2
"""So many straight lines that are none of light, one after the other, end the search."""
LEAST_LENGTH_MM: Final = 8.0
"""Shorter pieces of light are no line across weld and metal."""
LEAST_EDGE_MM: Final = 15.0
"""Shorter dark-to-bright edges are scratches, scale and tape."""
LEAST_SHARE: Final = 0.35
"""Of the strongest line's evidence that a further line must have."""
MOST_FAN: Final = 0.2
"""Several lines of one lamp run nearly alike; their slopes differ by less than this."""
APART_MM: Final = 4.0
"""Lines nearer than this are one and its reflection."""
MOST_LINES: Final = 6
SHIFT_MM: Final = 18.0
"""Furthest displacement that is followed: a step of 10 mm under a steep sheet."""
MOST_MISPLACED_MM: Final = 2.0
"""More of a row on the wrong side of a shadow's edge counts as so much: print and rust are none."""
EDGE_SHIFT_MM: Final = 10.0
"""The same for a shadow: a step of 6 mm; glints and edges further off are none of it."""
WAY_COSTS: Final = (0.15, 0.75)
EDGE_WAY_COSTS: Final = (0.5, 1.5)
"""Of one column to the side, in rows without evidence; and the most that a jump costs, as at the
edge of a step, in millimetres of line without evidence. Ripples lead a shadow's edge astray."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RoughLine:
    """A line of light as followed in the map.

    Attributes
    ----------
    across_mm, s_mm
        (R,) places across the axis, evenly growing, and along it.
    seen
        (R,) bool: there is evidence of light.
    base
        Offset and slope of `s` over `across` of the straight line that most of it lies on.
    score_mm
        Length of evidence on that straight line.
    """

    kind: LightKind
    axis: Axis
    across_mm: Floats
    s_mm: Floats
    seen: NDArray[np.bool_]
    base: tuple[float, float]
    score_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Judged:
    """(R, C) maps by which a straight line is followed where weld and step displace it.

    Attributes
    ----------
    misplaced_mm
        For the edge of a shadow: how much of each row would lie on the wrong side of it.
    """

    strength: Strength
    misplaced_mm: Strength | None = None


def rough_lines(
    overview: BeadMap, surface: SolvedSurface, *, coloured: bool
) -> tuple[RoughLine, ...]:
    """Lines of coloured light, or edges of shadows, strongest first."""
    return _coloured_lines(overview, surface) if coloured else _edges_of_shadows(overview, surface)


def _coloured_lines(overview: BeadMap, surface: SolvedSurface) -> tuple[RoughLine, ...]:
    near, paper = nearness(overview, surface), on_paper_in(overview, surface)

    def unbroken(straight: Straight, strength: Strength) -> Judged | None:
        return Judged(strength=strength) if straight.runs_on(overview, paper) else None

    lines = [
        line
        for evidence in laser_evidence(overview)
        for line in _lines(evidence, overview, near, LEAST_LENGTH_MM, unbroken)
    ]
    if not lines:
        return ()
    kind = max(lines, key=lambda line: line.score_mm).kind
    return _strongest_first(line for line in lines if line.kind is kind)


def _edges_of_shadows(overview: BeadMap, surface: SolvedSurface) -> tuple[RoughLine, ...]:
    near = nearness(overview, surface)
    edges: list[RoughLine] = []
    for maps in edge_maps(overview, unsure_of_edges(overview, surface)):

        def shadow(straight: Straight, _: Strength, maps: EdgeMaps = maps) -> Judged | None:
            rise = shadow_rise(maps, overview, straight.crossed_columns(overview))
            if rise <= 0.0:
                return None
            misplaced = misplaced_mm(maps, overview, straight.columns)
            return Judged(strength=edge_of_rise(maps, rise).strength, misplaced_mm=misplaced)

        edges += _lines(any_edge(maps, overview), overview, near, LEAST_EDGE_MM, shadow)
    return _strongest_first(edges)


def _strongest_first(lines: Iterable[RoughLine]) -> tuple[RoughLine, ...]:
    return tuple(sorted(lines, key=lambda line: -line.score_mm))


def _lines(
    evidence: Evidence,
    overview: BeadMap,
    near: NDArray[np.float32],
    least_mm: float,
    judged: Callable[[Straight, Strength], Judged | None],
) -> list[RoughLine]:
    """Straight lines with enough evidence, each followed where it leaves the straight.

    Parameters
    ----------
    near
        (R,) how much each row counts in the search for straight lines.
    judged
        The evidence by which a straight line is followed, or None where it is no line.
    """
    cell_mm = 2.0 / overview.px_per_mm
    middle_mm = 0.5 * (overview.across_mm[0] + overview.across_mm[-1])
    lines: list[RoughLine] = []
    strength, slopes = evidence.strength, SLOPES
    rejected = 0
    most_rejected = MOST_REJECTED if evidence.kind.is_edge else MOST_COLOURS_REJECTED
    while len(lines) < MOST_LINES and rejected < most_rejected:
        if strength.any(axis=1).sum() < LEAST_LENGTH_MM * overview.px_per_mm:
            break
        sums = _sheared_sums(strength * near[:, None], slopes)
        slope_at, column = np.unravel_index(int(sums.argmax()), sums.shape)
        score_mm = float(sums[slope_at, column]) * cell_mm
        if score_mm < max(least_mm, LEAST_SHARE * lines[0].score_mm if lines else 0.0):
            break
        slope = float(slopes[slope_at])
        offset = float(overview.s_mm[0] + column * cell_mm) - slope * middle_mm
        straight = Straight.of(strength, overview, (offset, slope), score_mm)
        if evidence.kind.is_edge:
            straight = straight.refined(strength, overview)
        used = straight.columns
        better = judged(straight, strength)
        rejected += 1
        if better is not None:
            rejected = 0
            lines.append(_followed(better, overview, evidence.kind, straight))
            slopes = SLOPES[np.abs(SLOPES - lines[0].base[1]) < MOST_FAN]
            s_mm = np.interp(overview.across_mm, lines[-1].across_mm, lines[-1].s_mm)
            used = columns_at(overview, s_mm)
        strength = _without(strength, overview, used)
    return lines


def _sheared_sums(strength: NDArray[np.float32], slopes: Floats) -> Floats:
    """(S, C) evidence along straight lines of S slopes through the middle row's columns."""
    half = cv2.resize(strength, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    wide = cv2.dilate(half, np.ones((1, 3), np.uint8))
    rows, columns = wide.shape
    middle = 0.5 * (rows - 1)
    sums = np.empty((slopes.size, columns))
    for k, slope in enumerate(slopes):
        shear = np.array([[1.0, slope, -slope * middle], [0.0, 1.0, 0.0]])
        level = cv2.warpAffine(
            wide, shear, (columns, rows), flags=cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP
        )
        sums[k] = cv2.reduce(level, 0, cv2.REDUCE_SUM).reshape(-1)
    return sums


def _followed(judged: Judged, overview: BeadMap, kind: LightKind, straight: Straight) -> RoughLine:
    """The cheapest way from the first to the last row about a straight line."""
    # Every second row is enough: each is a mean over more than both.
    across_mm, strength = overview.across_mm[::2], judged.strength[::2]
    shift_mm, (sideways, jump_mm) = (
        (EDGE_SHIFT_MM, EDGE_WAY_COSTS) if kind.is_edge else (SHIFT_MM, WAY_COSTS)
    )
    reach = round(shift_mm * overview.px_per_mm)
    on_base = straight.base[0] + straight.base[1] * across_mm
    start = np.round((on_base - overview.s_mm[0]) * overview.px_per_mm).astype(int) - reach
    columns = start[:, None] + np.arange(2 * reach + 1)
    inside = (columns >= 0) & (columns < overview.s_mm.size)
    rows = np.arange(on_base.size)[:, None]
    window = strength[rows, np.clip(columns, 0, overview.s_mm.size - 1)]
    window = np.where(inside, window, np.float32(0.0))
    cost = 2.0 * (1.0 - window.astype(np.float64))
    if judged.misplaced_mm is not None:
        clipped = np.clip(columns, 0, overview.s_mm.size - 1)
        misplaced = judged.misplaced_mm[::2][rows, clipped].astype(np.float64)
        most = MOST_MISPLACED_MM
        cost += np.minimum(misplaced - misplaced.min(axis=1, keepdims=True), most)
    way = cheapest_way(cost, sideways_cost=sideways, jump_cost=jump_mm * overview.px_per_mm)
    best = window[np.arange(way.size), way]
    return RoughLine(
        kind=kind,
        axis=overview.axis,
        across_mm=across_mm,
        s_mm=overview.s_mm[0] + (start + way) / overview.px_per_mm,
        seen=best > SEEN_STRENGTH,
        base=straight.base,
        score_mm=straight.score_mm,
    )


def _without(strength: Strength, overview: BeadMap, columns: NDArray[np.intp]) -> Strength:
    """Evidence less what a line has used."""
    reach = round(APART_MM * overview.px_per_mm)
    spread = np.clip(columns[:, None] + np.arange(-reach, reach + 1), 0, overview.s_mm.size - 1)
    rest = strength.copy()
    rest[np.arange(columns.size)[:, None], spread] = 0.0
    return rest
