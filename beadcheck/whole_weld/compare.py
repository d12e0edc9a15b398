"""What two photos show of the same places of one weld, side by side."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.whole_weld.view import Floats, View

LEAST_SHARED_MM: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedToes:
    """The toes of two photos over the places that both show, in mm.

    Attributes
    ----------
    levels_mm
        How far each toe lies elsewhere: median of the differences.
    rests_mm
        Standard deviation of each toe's differences about a straight line.
    u_mm, own_u_mm
        Standard uncertainty of a difference of widths, and the part that each station has for
        itself.
    """

    length_mm: float
    over_seam: bool
    levels_mm: tuple[float, float]
    rests_mm: tuple[float, float]
    u_mm: float
    own_u_mm: float


def compared(one: View, other: View, turn_mm: float | None) -> ComparedToes | None:
    """Compare the toes of two photos; None where they share too little of the weld."""
    shared = shared_places(one, other, turn_mm)
    if shared is None:
        return None
    x_mm, there_mm = shared
    levels, rests = [], []
    for mine, theirs in ((one.left_mm, other.left_mm), (one.right_mm, other.right_mm)):
        apart = np.interp(x_mm, one.x_mm, mine) - np.interp(there_mm, other.x_mm, theirs)
        levels.append(abs(float(np.median(apart))))
        rests.append(float(np.std(apart - np.polyval(np.polyfit(x_mm, apart, 1), x_mm))))
    u_mm = np.hypot(
        np.interp(x_mm, one.x_mm, one.u_mm), np.interp(there_mm, other.x_mm, other.u_mm)
    )
    shared_u_mm = float(np.hypot(one.shared_u_mm, other.shared_u_mm))
    own_mm = np.sqrt(np.maximum(u_mm**2 - shared_u_mm**2, 0.25 * u_mm**2))
    return ComparedToes(
        length_mm=float(np.ptp(x_mm)),
        over_seam=abs(float(x_mm[0] - there_mm[0])) > 0.0,
        levels_mm=(levels[0], levels[1]),
        rests_mm=(rests[0], rests[1]),
        u_mm=float(np.median(u_mm)),
        own_u_mm=float(np.median(own_mm)),
    )


def shared_places(one: View, other: View, turn_mm: float | None) -> tuple[Floats, Floats] | None:
    """Places that both photos show, every mm, in the frame of each; None where there are too few.

    What lies a turn further round a pipe is the same place.
    """
    best: tuple[Floats, Floats] | None = None
    for turn in (0,) if turn_mm is None else (0, -1, 1):
        shift_mm = turn * (turn_mm or 0.0)
        first = max(one.x_mm[0], other.x_mm[0] + shift_mm)
        last = min(one.x_mm[-1], other.x_mm[-1] + shift_mm)
        if last - first >= LEAST_SHARED_MM and (best is None or last - first > np.ptp(best[0])):
            x_mm = np.arange(first, last, 1.0)
            best = (x_mm, x_mm - shift_mm)
    return best
