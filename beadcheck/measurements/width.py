"""Weld width over the stations."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.toes import Toes
from beadcheck.units import Unit

FINDER_BIAS_U_MM: Final = 0.07
"""Standard deviation, over photos, of the networks' mean error of a width. Set on the tuning
renders (``samples/making``, seeds 1000 to 1035), most of which trained the networks too, so rather
large; ``tests/benchmarks/accuracy.py`` checks it on renders that nothing was trained on."""

NOISE_TAKEN_OUT: Final = 0.5
NOISE_SHARE_U: Final = 0.45
"""Part of the toes' noise that adds to a spread, and its standard uncertainty over the noise: both
set and checked as above."""


def width_effects(toes: Toes) -> tuple[Component, ...]:
    """Return the effects, in mm, that every width of one photo shares."""
    return (
        Component(
            source="weld finder, mean error in this light",
            standard_uncertainty=FINDER_BIAS_U_MM,
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


def station_width_u_mm(toes: Toes) -> NDArray[np.float64]:
    """(N,) standard uncertainty of each station's width by its own toes alone, in mm."""
    return np.hypot(toes.u_left_mm, toes.u_right_mm)


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
        *shared,
    )
    least, greatest = int(widths.argmin()), int(widths.argmax())
    return (
        _width(Statistic.MEAN, float(widths.mean()), toes, mean),
        spread_quantity(widths, noise, toes),
        *(
            _width(statistic, float(widths[at]), toes, (*extreme, *shared))
            for statistic, at in ((Statistic.MIN, least), (Statistic.MAX, greatest))
            for extreme in [extreme_effects(float(own_u[at]), noise, spread)]
        ),
    )


def spread_quantity(widths: NDArray[np.float64], noise: float, toes: Toes) -> Quantity:
    """Return the standard deviation of the weld's own width: the toes' noise is taken out."""
    value, budget = deflated_spread(float(widths.std(ddof=1)), noise, independent_count(toes))
    return _width(Statistic.SD, value, toes, budget)


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
    used_s = toes.s_mm[toes.used]
    return Quantity(
        name=QuantityName.WELD_WIDTH,
        statistic=statistic,
        value=value,
        unit=Unit.MM,
        count=int(used_s.size),
        budget=budget,
        s_range_mm=(float(used_s[0]), float(used_s[-1])),
    )
