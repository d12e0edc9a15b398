"""Weld width over the stations."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.measurements.over_stations import over_stations
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.toes import Toes

NOISE_TAKEN_OUT: Final = 0.5
NOISE_SHARE_U: Final = 0.45
"""Part of the toes' noise that adds to a spread, and its standard uncertainty over the noise: both
set and checked as the trust in the networks (`toes.trust`)."""


def width_effects(toes: Toes) -> tuple[Component, ...]:
    """Return the effects, in mm, that every width of one photo shares."""
    return (
        Component(
            source="weld finder, mean error in this light",
            standard_uncertainty=toes.shared.finder_width_mm * _found_share(toes),
            scope=Scope.PHOTO,
        ),
        # The tone curve moves both toes outwards or both inwards, so it counts twice.
        Component(
            source="unknown tone curve of the camera",
            standard_uncertainty=2.0 * toes.shared.tone_curve_mm,
            scope=Scope.PHOTO,
        ),
        Component(
            source="definition of the toe",
            standard_uncertainty=2.0 * toes.shared.definition_mm,
            scope=Scope.DEFINITION,
        ),
    )


def _found_share(toes: Toes) -> float:
    """Share of the toes that the finder placed, not a person; both toes err independently."""
    used = toes.used if toes.used.any() else toes.steady
    found = [
        1.0 - float(by_hand[used].mean()) for by_hand in (toes.left_by_hand, toes.right_by_hand)
    ]
    return math.hypot(*found) / math.sqrt(2.0)


def station_width_u_mm(toes: Toes) -> NDArray[np.float64]:
    """(N,) standard uncertainty of each station's width by its own toes alone, in mm."""
    return np.hypot(toes.u_left_mm, toes.u_right_mm)


def hand_width_u_mm(toes: Toes) -> NDArray[np.float64]:
    """(N,) standard uncertainty of each station's width by a person's hand, in mm."""
    return np.hypot(toes.hand_u_left_mm, toes.hand_u_right_mm)


def hand_effects(standard_uncertainty: float) -> tuple[Component, ...]:
    """Return the effect of toes that a person placed, in mm; nothing where nobody did.

    The errors of one line are taken to be alike all along it, and those of two lines not to be.
    """
    if standard_uncertainty <= 0.0:
        return ()
    return (_component("toes placed by hand", standard_uncertainty, Scope.PHOTO),)


def hand_mean_u_mm(toes: Toes) -> float:
    """Standard uncertainty of the mean width by a person's hand: each line shifts it as a whole."""
    used = toes.used
    return math.hypot(toes.hand_u_left_mm[used].mean(), toes.hand_u_right_mm[used].mean())


def hand_spread_u_mm(*hands_mm: NDArray[np.float64]) -> float:
    """Standard uncertainty of a spread by a person's hand: a line that is off all along adds none.

    What a straight line between points leaves out is in the stations' own uncertainty.
    """
    return math.hypot(*(float(hand.std()) for hand in hands_mm))


def independent_count(toes: Toes) -> float:
    """Number of independent stations: neighbours within the correlation length err alike."""
    used = np.count_nonzero(toes.used)
    step_mm = float(np.median(np.diff(toes.s_mm)))
    return max(1.0, used * step_mm / max(toes.correlation_mm, step_mm))


def width_quantities(toes: Toes) -> tuple[Quantity, ...]:
    """Mean, standard deviation, least and greatest weld width over the steady, sure stations.

    Scale is not in the budgets yet: the surface adds it.
    """
    used = toes.used
    widths = toes.width_mm[used]
    own_u = station_width_u_mm(toes)[used]
    noise = float(np.sqrt(np.mean(own_u**2)))
    independent = independent_count(toes)
    spread = float(widths.std(ddof=1))
    shared = width_effects(toes)
    left_out = 1.0 - used.sum() / max(1, np.count_nonzero(toes.steady))
    mean = (
        _component("toe localisation", noise / math.sqrt(independent), Scope.STATION),
        _component(
            "stations left out as unsure", spread * math.sqrt(left_out / independent), Scope.STATION
        ),
        *hand_effects(hand_mean_u_mm(toes)),
        *shared,
    )
    by_hand = hand_width_u_mm(toes)[used]
    least, greatest = int(widths.argmin()), int(widths.argmax())
    return (
        _width(Statistic.MEAN, float(widths.mean()), toes, mean),
        spread_quantity(widths, noise, toes),
        *(
            _width(
                statistic,
                float(widths[at]),
                toes,
                (*extreme, *hand_effects(float(by_hand[at])), *shared),
            )
            for statistic, at in ((Statistic.MIN, least), (Statistic.MAX, greatest))
            for extreme in [extreme_effects(float(own_u[at]), noise, spread)]
        ),
    )


def spread_quantity(widths: NDArray[np.float64], noise: float, toes: Toes) -> Quantity:
    """Return the standard deviation of the weld's own width: the toes' noise is taken out."""
    value, budget = deflated_spread(float(widths.std(ddof=1)), noise, independent_count(toes))
    by_hand = hand_spread_u_mm(toes.hand_u_left_mm[toes.used], toes.hand_u_right_mm[toes.used])
    return _width(Statistic.SD, value, toes, (*budget, *hand_effects(by_hand)))


def deflated_spread(
    observed: float, noise: float, independent: float
) -> tuple[float, tuple[Component, ...]]:
    """Spread without the noise of its readings, and its budget, all in mm.

    Readings are averaged over a millimetre, which takes as much off the weld's own ripple-scale
    spread as it leaves of their noise: only part of the noise is taken out, and how much is right
    differs from weld to weld.
    """
    value = math.sqrt(max(0.0, observed**2 - (NOISE_TAKEN_OUT * noise) ** 2))
    return value, (
        _component("noise taken out of the spread", NOISE_SHARE_U * noise, Scope.STATION),
        _component("toe localisation", noise / math.sqrt(2.0 * independent), Scope.STATION),
    )


def extreme_effects(own_u: float, noise: float, spread: float) -> tuple[Component, ...]:
    """Effects on the largest or smallest of many noisy readings, in mm."""
    # Noise picks the winner: it is too extreme by about two noise variances over the spread.
    drawn_out = 2.0 * noise**2 / max(spread, noise, 1e-6)
    return (
        _component("toe localisation", own_u, Scope.STATION),
        _component("picking the extreme station", drawn_out / math.sqrt(3.0), Scope.STATION),
    )


def _component(source: str, standard_uncertainty: float, scope: Scope) -> Component:
    return Component(source=source, standard_uncertainty=standard_uncertainty, scope=scope)


def _width(
    statistic: Statistic, value: float, toes: Toes, budget: tuple[Component, ...]
) -> Quantity:
    return over_stations(
        QuantityName.WELD_WIDTH, statistic, value_mm=value, s_mm=toes.s_mm[toes.used], budget=budget
    )
