"""How many ripples go all the way round.

Two photos see one crest shifted, by as much as light falls otherwise in each. So every photo counts
in fractions of its own rhythm, from where it takes over to where it hands on: a shift that all its
crests share cancels.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.whole_weld.cover import runs_of
from beadcheck.whole_weld.crests import LONGEST_GAP, squarest
from beadcheck.whole_weld.merge import Line, Placed
from beadcheck.whole_weld.view import Floats

MOST_UNSEEN: Final = 4.0
"""Ripples that may be told by the spacing beside them where no photo shows any."""
U_UNSEEN: Final = 0.15
"""Standard uncertainty of such a ripple's length, as a part of it (an estimate)."""
U_HANDED_ON: Final = 0.2
"""Standard uncertainty, in ripples, at either end of what one photo counts (an estimate)."""
ALIKE: Final = 0.5
"""Part of the doubt of missed crests that photos have in common: they show one weld in one light
(our estimate)."""
MISSED: Final = "missed or doubled crests"


@dataclass(frozen=True, slots=True, kw_only=True)
class CrestCount:
    """Number of ripples, and its standard uncertainty."""

    count: int
    u_count: float


def crest_count(placed: Sequence[Placed], line: Line) -> CrestCount | None:
    """Ripples all the way round; None along a plate, and where too long a stretch shows none."""
    if not line.closed:
        return None
    best = squarest(placed, line)
    if not (best >= 0).any():
        return None
    total, variance, in_common, spacings = 0.0, 0.0, 0.0, []
    for number, each in enumerate(placed):
        for first, last in runs_of(best == number, closed=True):
            ends_mm = first * line.step_mm, last * line.step_mm
            counted, doubt = _counted(each, ends_mm, line)
            total += counted
            variance += doubt**2 + 2.0 * U_HANDED_ON**2
            in_common += ALIKE * doubt
            spacings.append((ends_mm[1] - ends_mm[0]) / max(counted, 1.0))
    spacing_mm = float(np.median(spacings))
    for first, last in runs_of(best < 0, closed=True):
        unseen = (last - first) * line.step_mm / spacing_mm
        if unseen > MOST_UNSEEN:
            return None
        total += unseen
        variance += (U_UNSEEN * unseen) ** 2
    u_count = math.sqrt(variance + in_common**2 + 1.0 / 12.0)
    return CrestCount(count=round(total), u_count=u_count)


def _counted(placed: Placed, ends_mm: tuple[float, float], line: Line) -> tuple[float, float]:
    """Ripples of one photo between two places, in fractions, and the doubt of missed ones."""
    crests = placed.arc_mm(placed.view.crest_mm)
    # The photo's own places may lie turns away from those counted round.
    turns = round(float(0.5 * sum(ends_mm) - crests.mean()) / line.length_mm)
    crests = crests + turns * line.length_mm
    numbers = _numbered(crests)
    first, last = (_number_at(end, crests, numbers) for end in ends_mm)
    counted = last - first
    mean = placed.view.quantity(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    doubt = 0.0 if mean is None else _missed(mean) * math.sqrt(counted / max(mean.count, 1))
    return counted, doubt


def _numbered(crests: Floats) -> Floats:
    """(K,) numbers of crests, with those counted that are missed in a long gap."""
    gaps = np.diff(crests)
    usual = float(np.median(gaps))
    steps = np.where(gaps > LONGEST_GAP * usual, np.round(gaps / usual), 1.0)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _number_at(place_mm: float, crests: Floats, numbers: Floats) -> float:
    """Number of a place between crests; beyond them the first or last gaps go on."""
    usual = float(np.median(np.diff(crests)))
    before, after = min(0.0, place_mm - crests[0]), max(0.0, place_mm - crests[-1])
    return float(np.interp(place_mm, crests, numbers) + (before + after) / usual)


def _missed(mean: Quantity) -> float:
    """Doubt of a photo's number of ripples, from that of its mean spacing."""
    u_mm = math.hypot(*(c.standard_uncertainty for c in mean.budget if c.source == MISSED))
    return u_mm / mean.value * mean.count
