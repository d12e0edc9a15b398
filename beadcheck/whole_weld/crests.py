"""Ripple crests of all photos as one list, each counted once."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.whole_weld.merge import Line, Placed
from beadcheck.whole_weld.view import Floats, Places

LONGEST_GAP: Final = 1.65
"""Gap, in local spacings, from which on a crest is taken to be missed in it."""
SHORTEST_GAP: Final = 0.45
"""Two crests nearer than this, from different photos, are one."""
LOCAL: Final = 9
"""Gaps whose median is the local spacing."""
FEWEST: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeCrests:
    """K crests in order along the weld.

    Attributes
    ----------
    arc_mm
        (K,) their places.
    best
        (K,) place in `placed` of the view that each is taken from.
    ripple
        (K,) their index into the result's ripples.
    gaps_mm
        (G,) distances between successive crests, all within what photos show in one piece.
    gap_at_mm
        (G,) the middles of those.
    """

    arc_mm: Floats
    best: Places
    ripple: Places
    gaps_mm: Floats
    gap_at_mm: Floats


def whole_crests(placed: Sequence[Placed], line: Line) -> WholeCrests:
    """Take every crest from the photo that shows its place most squarely.

    Where one photo hands over to the next, crests that both show are one.
    """
    best = squarest(placed, line)
    arcs, owners, ripples = [], [], []
    for number, each in enumerate(placed):
        own_mm = each.arc_mm(each.view.crest_mm)
        around = np.mod(own_mm, line.length_mm) if line.closed else own_mm
        cell = np.clip((around / line.step_mm).astype(int), 0, best.size - 1)
        mine = best[cell] == number
        arcs.append(around[mine])
        owners.append(np.full(int(mine.sum()), number, dtype=np.intp))
        ripples.append(each.view.crest[mine])
    arc_mm = np.concatenate(arcs)
    order = np.argsort(arc_mm, kind="stable")
    arc_mm = arc_mm[order]
    owner, ripple = np.concatenate(owners)[order], np.concatenate(ripples)[order]
    kept = _once(arc_mm, owner, line)
    arc_mm, owner, ripple = arc_mm[kept], owner[kept], ripple[kept]
    return _with_gaps(arc_mm, owner, ripple, line)


def squarest(placed: Sequence[Placed], line: Line) -> Places:
    """(N,) the view that shows each place most squarely, of those that found crests about it.

    Crests are seen where toes may be unsure.
    """
    sines = np.zeros((len(placed), line.arc_mm.size))
    for number, each in enumerate(placed):
        view = each.view
        if view.crest_mm.size < 2:
            continue
        first, last = each.arc_mm(view.crest_mm[[0, -1]])
        stations = each.arc_mm(view.x_mm)
        into = np.mod(line.arc_mm - first, line.length_mm) if line.closed else line.arc_mm - first
        within = (into >= 0.0) & (into <= last - first)
        seen_deg = np.interp(first + into[within], stations, view.seen_deg)
        sines[number, within] = np.sin(np.radians(seen_deg))
    return np.asarray(np.where(sines.max(axis=0) > 0.0, sines.argmax(axis=0), -1), dtype=np.intp)


def _once(arc_mm: Floats, owner: Places, line: Line) -> NDArray[np.bool_]:
    """Crests less the second of two photos' that are one."""
    kept = np.ones(arc_mm.size, dtype=np.bool_)
    if arc_mm.size < FEWEST:
        return kept
    gaps = _gaps(arc_mm, line)
    local = _local_spacing(gaps, line)
    for place, gap in enumerate(gaps):
        after = (place + 1) % arc_mm.size
        if gap < SHORTEST_GAP * local[place] and owner[place] != owner[after] and kept[place]:
            kept[after] = False
    return kept


def _gaps(arc_mm: Floats, line: Line) -> Floats:
    """Distances to the next crest; on pipe the last one's next is the first."""
    gaps = np.diff(arc_mm)
    if line.closed:
        gaps = np.append(gaps, arc_mm[0] + line.length_mm - arc_mm[-1])
    return np.asarray(gaps)


def _local_spacing(gaps: Floats, line: Line) -> Floats:
    """Median of the gaps around each."""
    half = LOCAL // 2
    padded = np.pad(gaps, half, mode="wrap" if line.closed else "edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * half + 1)
    return np.asarray(np.median(windows, axis=1))


def _with_gaps(arc_mm: Floats, owner: Places, ripple: Places, line: Line) -> WholeCrests:
    if arc_mm.size < FEWEST:
        nothing = np.empty(0)
        return WholeCrests(
            arc_mm=arc_mm, best=owner, ripple=ripple, gaps_mm=nothing, gap_at_mm=nothing
        )
    gaps = _gaps(arc_mm, line)
    # Two photos see one crest shifted by as much as light falls otherwise: no gap is told by both.
    whole = gaps <= LONGEST_GAP * _local_spacing(gaps, line)
    whole &= owner[: gaps.size] == np.roll(owner, -1)[: gaps.size]
    at_mm = arc_mm[: gaps.size] + 0.5 * gaps
    return WholeCrests(
        arc_mm=arc_mm,
        best=owner,
        ripple=ripple,
        gaps_mm=gaps[whole],
        gap_at_mm=(np.mod(at_mm, line.length_mm) if line.closed else at_mm)[whole],
    )
