"""Where two runs meet head on or part: the ripples' bow turns over there, in every photo of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from beadcheck.whole_weld.merge import Line, Placed
from beadcheck.whole_weld.view import Floats

SAME_WIDTHS: Final = 1.0
"""Turns of the bow in two photos that lie nearer than this, in weld widths, are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """One place at which two runs meet.

    Attributes
    ----------
    photos
        How many photos show it so.
    """

    arc_mm: float
    photos: int


def meetings(placed: Sequence[Placed], line: Line) -> tuple[Meeting, ...]:
    """Places at which the bow of the ripples turns over, in order along the weld."""
    found = np.sort(np.concatenate([_turns_mm(each, line) for each in placed]))
    if found.size == 0:
        return ()
    reach_mm = SAME_WIDTHS * float(np.nanmedian(line.width_mm))
    starts = [0, *(np.flatnonzero(np.diff(found) > reach_mm) + 1), found.size]
    groups = [found[first:last] for first, last in pairwise(starts)]
    if line.closed and len(groups) > 1 and found[0] + line.length_mm - found[-1] <= reach_mm:
        groups[0] = np.concatenate([groups.pop() - line.length_mm, groups[0]])
    return tuple(
        Meeting(arc_mm=float(np.mean(group)) % line.length_mm, photos=group.size)
        for group in groups
    )


def _turns_mm(placed: Placed, line: Line) -> Floats:
    """Places midway between two crests of one photo whose bows have opposite signs."""
    crests, bows = placed.arc_mm(placed.view.crest_mm), placed.view.crest_bow_mm
    turns = np.flatnonzero(bows[1:] * bows[:-1] < 0.0)
    at_mm = 0.5 * (crests[turns] + crests[turns + 1])
    return np.asarray(np.mod(at_mm, line.length_mm) if line.closed else at_mm)
