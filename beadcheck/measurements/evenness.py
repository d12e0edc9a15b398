"""Evenness along the weld: how straight its middle runs, how wavy each toe is."""

import math
from typing import Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from beadcheck.measurements.over_stations import over_stations
from beadcheck.measurements.width import (
    deflated_spread,
    extreme_effects,
    hand_effects,
    hand_spread_u_mm,
    hand_width_u_mm,
    independent_count,
)
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Side, Statistic
from beadcheck.toes import Toes

WINDOW_MM: Final = 25.0
"""Length over which a toe is compared with its own best line."""
LEAST_WINDOW_SHARE: Final = 0.8
"""Share of a window's stations that must be sure."""


def evenness_quantities(toes: Toes) -> tuple[Quantity | NotMeasured, ...]:
    """Centreline deviation, and the waviness of either toe.

    The definition of the toe and the scale shift whole lines, so they are not in these budgets
    (the surface adds the scale, which is proportional and small).
    """
    return (
        centreline_deviation(toes),
        *(toe_waviness(toes, side) for side in (Side.LEFT, Side.RIGHT)),
    )


def centreline_deviation(toes: Toes) -> Quantity:
    """Largest distance of the toes' mid-line from its best straight line, in mm."""
    used = toes.used
    across = _across(toes.middle_mm, toes)[used]
    residual = _about_line(toes.s_mm[used], across)
    own_u = 0.5 * np.hypot(toes.u_left_mm, toes.u_right_mm)[used]
    noise = float(np.sqrt(np.mean(own_u**2)))
    at = int(np.abs(residual).argmax())
    return over_stations(
        QuantityName.CENTRELINE_DEVIATION,
        Statistic.MAX,
        s_mm=toes.s_mm[toes.used],
        value_mm=float(abs(residual[at])),
        budget=(
            *extreme_effects(float(own_u[at]), noise, float(residual.std())),
            *hand_effects(0.5 * float(hand_width_u_mm(toes)[used][at])),
        ),
    )


def toe_waviness(toes: Toes, side: Side) -> Quantity | NotMeasured:
    """Spread of one toe about its own best line in a window of 25 mm, in mm.

    Root mean square over all windows along the weld.
    """
    points, own_u, hand_u = (
        (toes.left_mm, toes.u_left_mm, toes.hand_u_left_mm)
        if side is Side.LEFT
        else (toes.right_mm, toes.u_right_mm, toes.hand_u_right_mm)
    )
    across = _across(points, toes)
    step_mm = float(np.median(np.diff(toes.s_mm)))
    span = round(WINDOW_MM / step_mm) + 1
    variances = _variances(toes, across, span)
    if not variances.size:
        return NotMeasured(
            name=QuantityName.TOE_WAVINESS,
            reason=f"No {WINDOW_MM:.0f} mm of steady weld with a clear {side} toe is in view.",
            how_to="Take in a longer piece of the weld, with soft light from one side.",
        )
    noise = float(np.sqrt(np.mean(own_u[toes.used] ** 2)))
    value, budget = deflated_spread(
        math.sqrt(float(np.mean(variances))), noise, independent_count(toes)
    )
    return over_stations(
        QuantityName.TOE_WAVINESS,
        Statistic.SD,
        s_mm=toes.s_mm[toes.used],
        value_mm=value,
        budget=(*budget, *hand_effects(hand_spread_u_mm(hand_u[toes.used]))),
        side=side,
    )


def _across(points_mm: NDArray[np.float64], toes: Toes) -> NDArray[np.float64]:
    """Distance of points across the weld, from the line through the first and last station."""
    start, end = toes.middle_mm[0], toes.middle_mm[-1]
    along = (end - start) / np.hypot(*(end - start))
    return np.asarray((points_mm - start) @ np.array([-along[1], along[0]]))


def _variances(toes: Toes, across: NDArray[np.float64], span: int) -> NDArray[np.float64]:
    """(W,) variance of the used stations about their own line, of each window that counts."""
    if toes.s_mm.size < span:
        return np.empty(0)
    steady, used = (sliding_window_view(values, span) for values in (toes.steady, toes.used))
    counts = steady.all(axis=1) & (used.mean(axis=1) >= LEAST_WINDOW_SHARE)
    used = used[counts]
    number = used.sum(axis=1)
    along, off = (
        np.where(used, values - (used * values).sum(axis=1, keepdims=True) / number[:, None], 0.0)
        for values in (sliding_window_view(each, span)[counts] for each in (toes.s_mm, across))
    )
    slope = (along * off).sum(axis=1) / (along**2).sum(axis=1)
    rest = off - slope[:, None] * along
    return np.asarray((rest**2).sum(axis=1) / (number - 2))


def _about_line(s_mm: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(across - np.polyval(np.polyfit(s_mm, across, 1), s_mm))
