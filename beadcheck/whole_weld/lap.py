"""How two photos lie to each other by the toes that both show, where no marker links them."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.toes.stations import CORRELATION_MM
from beadcheck.whole_weld.view import Floats, View

SHORTEST_MM: Final = 25.0
"""Of what both show: shorter pieces of two toes are alike at several places."""
STEP_MM: Final = 0.1
PITCH_MM: Final = 0.5
FAR_MM: Final = 1.5
"""From here on another place of likeness is another place."""
PLAINEST: Final = 1.3
"""By how much the toes' rest elsewhere must exceed that at the place found (our estimate)."""
U_LEAST_MM: Final = 0.2
"""Of such a shift, however well the toes fit: two photos in different light place toes a little
differently (renders for tuning: 0.1 mm rms, 0.25 at worst)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap:
    """How far the second photo's places lie further on than its frame says, in mm, and its u."""

    shift_mm: float
    u_mm: float


def lap_of(
    one: View, other: View, *, turn_mm: float, about_mm: float, reach_mm: float
) -> Lap | None:
    """Lay the toes of one photo on those of another; None where nothing plain comes of it.

    Parameters
    ----------
    turn_mm
        To be added to the second photo's places, to lie beside those of the first.
    about_mm, reach_mm
        Where the shift beyond that is looked for.
    """
    first, last = _shared(one, other, turn_mm + about_mm)
    if last - first < SHORTEST_MM - reach_mm:
        return None
    shifts = np.arange(about_mm - reach_mm, about_mm + reach_mm + 0.5 * STEP_MM, STEP_MM)
    rests = np.array([_rest_mm2(one, other, turn_mm + shift) for shift in shifts])
    best = int(np.argmin(rests))
    near = np.abs(shifts - shifts[best]) <= 0.5 * FAR_MM
    if not _plain(shifts, rests, best) or not np.isfinite(rests[near]).all():
        return None
    bend, slope, _ = np.polyfit(shifts[near] - shifts[best], rests[near], 2)
    if bend <= 0.0:
        return None
    shift_mm = float(shifts[best] - np.clip(0.5 * slope / bend, -STEP_MM, STEP_MM))
    first, last = _shared(one, other, turn_mm + shift_mm)
    independent = 2.0 * (last - first) / CORRELATION_MM
    u_mm = math.sqrt(float(rests[best]) / (independent * float(bend)))
    return Lap(shift_mm=shift_mm, u_mm=math.hypot(u_mm, U_LEAST_MM))


def _plain(shifts: Floats, rests: Floats, best: int) -> bool:
    """Whether the toes are plainly more alike at one shift than anywhere further off."""
    elsewhere = np.abs(shifts - shifts[best]) > FAR_MM
    if best in (0, shifts.size - 1) or not np.isfinite(rests[elsewhere]).any():
        return False
    return bool(rests[elsewhere].min() >= PLAINEST**2 * rests[best])


def _shared(one: View, other: View, moved_mm: float) -> tuple[float, float]:
    """First and last place that both show, in the first one's frame."""
    return (
        float(max(one.x_mm[0], other.x_mm[0] + moved_mm)),
        float(min(one.x_mm[-1], other.x_mm[-1] + moved_mm)),
    )


def _rest_mm2(one: View, other: View, moved_mm: float) -> float:
    """Mean square difference of both toes, level and slope left out; infinite if few are shared."""
    first, last = _shared(one, other, moved_mm)
    if last - first < SHORTEST_MM:
        return math.inf
    x_mm = np.arange(first, last, PITCH_MM)
    squares = [
        _about_line(
            np.interp(x_mm, one.x_mm, mine) - np.interp(x_mm, other.x_mm + moved_mm, theirs)
        )
        for mine, theirs in ((one.left_mm, other.left_mm), (one.right_mm, other.right_mm))
    ]
    return float(np.mean(squares))


def _about_line(values: Floats) -> float:
    at = np.arange(values.size) - 0.5 * (values.size - 1)
    rest = values - values.mean() - at * (at @ values / (at @ at))
    return float(np.mean(rest**2))
