"""The line on which the bare limb lies in a traced outline."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.side_on.trace import CLEAR_FROM, TracedOutline

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SLOPES: Final = np.linspace(-0.03, 0.03, 31)
"""Of the bare limb against where the pose puts it: 1.7 degrees either way."""
VOTE_MM: Final = 0.05
FIT_MM: Final = 0.10
BENDS: Final = (1, 1, 2, 2)
"""Degrees of the curves fitted in turn: where the pose has the sight's obliquity wrong, the
straight limb seems bent."""
LINE_MM, BENT_FROM_MM = 2.0, 25.0
"""Lengths that a straight line and a bent one need."""


def bare_line_mm(outline: TracedOutline, covered: Flags, farthest_mm: Floats) -> Floats:
    """(W,) the line, over the pipe, on which most of an outline lies.

    Parameters
    ----------
    covered
        (W,) columns in which the target's paper lies on the pipe.
    farthest_mm
        (W,) how far over or under the solved pipe it may lie.
    """
    usable = (outline.clear >= CLEAR_FROM) & ~covered
    along_mm, height_mm = outline.along_mm, outline.height_mm
    from_middle = along_mm - along_mm.mean()
    line_mm, most = np.zeros_like(along_mm), -1.0
    for slope in SLOPES if usable.any() else ():
        low_mm = float((-farthest_mm - slope * from_middle).max())
        high_mm = float((farthest_mm - slope * from_middle).min())
        if high_mm < low_mm:
            continue
        flat = (height_mm - slope * from_middle)[usable]
        cells = np.floor((flat - low_mm) / VOTE_MM).astype(np.intp) + 1
        last = int((high_mm - low_mm) / VOTE_MM) + 2
        count = np.bincount(cells[(cells >= 0) & (cells <= last)], minlength=last + 1)
        votes = np.convolve(count, np.ones(3), mode="same")
        if votes.max() > most:
            most = float(votes.max())
            line_mm = slope * from_middle + low_mm + (votes.argmax() - 0.5) * VOTE_MM
    for degree in BENDS:
        own = usable & (np.abs(height_mm - line_mm) <= FIT_MM)
        if not own.any() or np.ptp(along_mm[own]) < (LINE_MM, BENT_FROM_MM)[degree - 1]:
            break
        rest_mm = height_mm[own] - line_mm[own]
        line_mm = line_mm + np.polyval(np.polyfit(from_middle[own], rest_mm, degree), from_middle)
    return line_mm
