"""Which parts of a weld count: its whole, its steady length, its body; and its crests in order."""

import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats
from samples.making.rounding import DECIMALS
from samples.making.stage import Stage
from samples.making.weld import Weld


def range_mm(stage: Stage, weld: Weld) -> tuple[float, float]:
    """The weld's length; all round a pipe, one turn about the place that the photo looks at."""
    if weld.turn_mm is None:
        return weld.s_range_mm
    look = stage.scene.view.at_st_mm[0]
    return look - weld.turn_mm / 2, look + weld.turn_mm / 2


def steady(weld: Weld, s_mm: Floats) -> NDArray[np.bool_]:
    """Whether stations lie clear of rounded ends; beads laid over each other have none."""
    if weld.turn_mm is not None:
        return np.ones(len(s_mm), dtype=np.bool_)
    return _within(s_mm, weld.steady_range_mm)


def body(weld: Weld, s_mm: Floats) -> NDArray[np.bool_]:
    """Whether stations lie a bead's width clear of every start lump and crater too."""
    if weld.turn_mm is None:
        return _within(s_mm, weld.body_range_mm)
    return weld.off_ends_mm(s_mm) > max(bead.style.width_mm for bead in weld.beads)


def lane_crests(weld: Weld, lane: int, *, around_mm: float) -> tuple[Floats, Floats]:
    """Return s and t of the crests along the middle of a lane, in order of growing s.

    A lane is one bead, or, all round a pipe, the beads laid one after the other; of these, crests
    that a later bead covers are left out, and s lies within half a turn of a place.
    """
    if weld.turn_mm is None:
        return weld.beads[lane].crests()
    s_parts, t_parts = [], []
    for number, bead in enumerate(weld.beads):
        if bead.lane != lane:
            continue
        s, t = bead.all_crests()
        bare = weld.uppermost(s, t) == number
        s_parts.append(s[bare] - weld.turn_mm * np.round((s[bare] - around_mm) / weld.turn_mm))
        t_parts.append(t[bare])
    s, t = np.concatenate(s_parts), np.concatenate(t_parts)
    order = np.argsort(s)
    return s[order], t[order]


def _within(s: Floats, limits_mm: tuple[float, float]) -> NDArray[np.bool_]:
    """Whether stations lie in a range, as one finds from the rounded numbers of the file too."""
    slack = 10.0**-DECIMALS
    return (s > limits_mm[0] - slack) & (s < limits_mm[1] + slack)
