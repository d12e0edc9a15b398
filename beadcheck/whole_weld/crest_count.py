"""How many ripples go all the way round.

Two photos see one crest shifted, by as much as light falls otherwise in each. So no crest of one is
matched with one of another: every photo tells how many ripples lie in each millimetre by its own
rhythm, a shift that all its crests share cancels, and where several show a place they are weighed
by how squarely they see it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from beadcheck.quantity import COVERAGE_FACTOR, Quantity, QuantityName, Statistic
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.cover import runs_of
from beadcheck.whole_weld.crests import FEWEST, LOCAL, LONGEST_GAP
from beadcheck.whole_weld.merge import Line, Placed
from beadcheck.whole_weld.view import Floats

MOST_UNSEEN: Final = 0.08
"""Part of the way round on which ripples may be told by the spacing beside it, where no photo shows
them."""
BESIDE_WIDTHS: Final = 2.0
"""How far beside such a stretch the spacing is read, in weld widths."""
U_UNSEEN: Final = 0.15
"""Standard uncertainty of such a ripple's length, as a part of it (an estimate)."""
SQUARELY: Final = 4.0
"""Power of the sine of the angle of sight by which photos are weighed against each other."""
U_HANDED_ON: Final = 0.2
"""Standard uncertainty, in ripples, at either end of what one photo counts (an estimate)."""
ALIKE: Final = 0.25
"""Part of the doubt of missed crests that photos have in common: they show one weld in one light
(our estimate, on renders for tuning)."""
MISSED: Final = "missed or doubled crests"


@dataclass(frozen=True, slots=True, kw_only=True)
class CrestCount:
    """Number of ripples and its standard uncertainty, None where they are not counted; in words."""

    count: int | None
    u_count: float | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Tally:
    """What one photo tells of N places: ripples in each, and the weight of that, 0 where none."""

    ripples: Floats
    weight: Floats


def crest_count(placed: Sequence[Placed], line: Line, clock: Clock) -> CrestCount | None:
    """Ripples all the way round, or why they are not counted; None along a plate."""
    if not line.closed:
        return None
    tallies = [_tally(each, line) for each in placed]
    weights = np.stack([tally.weight for tally in tallies])
    total = weights.sum(axis=0)
    seen = total > 0.0
    unseen = runs_of(~seen, closed=True)
    if np.count_nonzero(~seen) > MOST_UNSEEN * seen.size:
        return _not_counted(unseen, line, clock)
    parts = weights / np.where(seen, total, 1.0)
    shares = parts * np.stack([tally.ripples for tally in tallies])
    ripples = shares.sum(axis=0)
    doubts = np.array([_doubt(each, own.sum()) for each, own in zip(placed, shares, strict=True)])
    told = [_beside(ripples, seen, run, line) for run in unseen]
    variance = (
        float((doubts**2).sum())
        + (ALIKE * float(doubts.sum())) ** 2
        + 2.0 * len(placed) * U_HANDED_ON**2
        + sum((U_UNSEEN * each) ** 2 for each in told)
        + 1.0 / 12.0
    )
    count, u_count = round(float(ripples.sum()) + sum(told)), math.sqrt(variance)
    return CrestCount(
        count=count,
        u_count=u_count,
        words=f"{count} ripples all the way round (U {COVERAGE_FACTOR * u_count:.0f}).",
    )


def _not_counted(unseen: Sequence[tuple[int, int]], line: Line, clock: Clock) -> CrestCount:
    first, last = max(unseen, key=lambda run: run[1] - run[0])
    where = f"from {clock.words(first * line.step_mm)} to {clock.words(last * line.step_mm)}"
    if last - first == line.arc_mm.size:
        where = "all the way round"
    return CrestCount(
        count=None,
        u_count=None,
        words=f"Ripples are not counted: {where} no photo shows them clearly. Photograph there "
        "again, with light that grazes along the weld.",
    )


def _tally(placed: Placed, line: Line) -> _Tally:
    """Ripples of one photo in each millimetre, in fractions, between its first and last crest."""
    ripples, weight = np.zeros(line.arc_mm.size), np.zeros(line.arc_mm.size)
    crests = placed.arc_mm(placed.view.crest_mm)
    if crests.size < FEWEST:
        return _Tally(ripples=ripples, weight=weight)
    numbers = _numbered(crests)
    edges = np.arange(line.arc_mm.size + 1) * line.step_mm
    stations = placed.arc_mm(placed.view.x_mm)
    first, last = (math.floor(float(end) / line.length_mm) for end in crests[[0, -1]])
    for turn in range(first, last + 1):
        at = edges + turn * line.length_mm
        inside = (at[:-1] >= crests[0]) & (at[1:] <= crests[-1])
        seen_deg = np.interp(at[:-1][inside], stations, placed.view.seen_deg)
        ripples[inside] = np.diff(np.interp(at, crests, numbers))[inside]
        weight[inside] = np.sin(np.radians(seen_deg)) ** SQUARELY
    return _Tally(ripples=ripples, weight=weight)


def _numbered(crests: Floats) -> Floats:
    """(K,) numbers of crests, with those counted that are missed in a long gap."""
    gaps = np.diff(crests)
    usual = median_filter(gaps, LOCAL, mode="nearest")
    steps = np.where(gaps > LONGEST_GAP * usual, np.round(gaps / usual), 1.0)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _beside(ripples: Floats, seen: NDArray[np.bool_], run: tuple[int, int], line: Line) -> float:
    """Ripples of a stretch that no photo shows, by the spacing on both its sides."""
    reach = max(1, round(BESIDE_WIDTHS * float(np.nanmedian(line.width_mm)) / line.step_mm))
    around = np.r_[run[0] - reach : run[0], run[1] : run[1] + reach] % seen.size
    around = around[seen[around]]
    return float(ripples[around].mean()) * (run[1] - run[0])


def _doubt(placed: Placed, counted: float) -> float:
    """Doubt of missed crests among those that are taken from one photo."""
    mean = placed.view.quantity(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    if mean is None:
        return 0.0
    return _missed(mean) * math.sqrt(counted / max(mean.count, 1))


def _missed(mean: Quantity) -> float:
    """Doubt of a photo's number of ripples, from that of its mean spacing."""
    u_mm = math.hypot(*(c.standard_uncertainty for c in mean.budget if c.source == MISSED))
    return u_mm / mean.value * mean.count
