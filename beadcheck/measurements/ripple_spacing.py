"""Ripple spacing: mean, spread, longest and shortest gap."""

import math
from typing import Final

import numpy as np
from scipy.special import ndtr

from beadcheck.measurements.ripples import Ripples
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.units import Unit

BIAS: Final = 0.003
"""Half width of the bias of the estimator of the mean, relative (simulation; rectangular)."""

SMOOTHED: Final = 1.1
MIDWAY: Final = 0.25
"""True spread of gaps over the one seen, and its relative standard uncertainty. The pass band, and
the choice of crests midway between grooves, even out successive gaps; by how much depends on the
ripples' shape (simulation: true over seen is 0.8 to 1.35)."""

SHORTEST_GAP: Final = 0.6
"""Gap, in mean gaps, below which two crests may be seen as one (simulation)."""

UNEVEN_LIGHT: Final = 0.025
"""Standard uncertainty of one crest, in spacings, that both halves of the rows share: the light
falls on each ripple a little differently (simulation)."""

MERGED: Final = {Statistic.MAX: 0.26, Statistic.MIN: 0.42}
"""Standard uncertainty of an extreme gap for the same reason, as a part of its distance from the
mean; very short gaps suffer most."""


def ripple_quantities(ripples: Ripples) -> tuple[Quantity, ...]:
    """Mean, standard deviation, longest and shortest distance between successive crests.

    Everything about scale is left to the surface's own components. The welder's spread is the `sd`,
    no part of the uncertainty of the mean.
    """
    return (
        _mean(ripples),
        _sd(ripples),
        _extreme(ripples, Statistic.MAX),
        _extreme(ripples, Statistic.MIN),
    )


def _quantity(
    ripples: Ripples, statistic: Statistic, value: float, budget: tuple[Component, ...]
) -> Quantity:
    return Quantity(
        name=QuantityName.RIPPLE_SPACING,
        statistic=statistic,
        value=value,
        unit=Unit.MM,
        count=ripples.gaps_mm.size,
        budget=budget,
        s_range_mm=(float(ripples.s_mm[0]), float(ripples.s_mm[-1])),
    )


def _mean(ripples: Ripples) -> Quantity:
    """Mean spacing: last crest minus first over the number of gaps."""
    gaps = ripples.gaps_mm
    n = gaps.size
    mean_mm = float((ripples.s_mm[-1] - ripples.s_mm[0]) / n)
    spread = float(np.std(gaps, ddof=1)) / mean_mm
    seen_mean_mm = float((ripples.seen_s_mm[-1] - ripples.seen_s_mm[0]) / n)
    off = abs(ripples.spectrum_spacing_mm / seen_mean_mm - 1.0)
    # Rhythm and crests of a hand-made weld differ by chance within this (accuracy study,
    # simulation).
    beyond = max(0.0, off - (3.0 * spread / math.sqrt(n) + 0.02))
    two_ends = math.sqrt(2.0) / n
    budget = (
        Component(
            source="picking the first and last crest",
            standard_uncertainty=ripples.u_s_mm * two_ends,
            scope=Scope.STATION,
        ),
        Component(
            source="shift of bright lines against crests",
            standard_uncertainty=ripples.u_slow_mm * two_ends,
            scope=Scope.PHOTO,
        ),
        Component(
            source="estimator bias",
            standard_uncertainty=BIAS * mean_mm / math.sqrt(3.0),
            scope=Scope.PHOTO,
        ),
        Component(
            source="missed or doubled crests",
            standard_uncertainty=mean_mm * math.hypot(_u_count(ripples) / n, beyond),
            scope=Scope.PHOTO,
        ),
        _crown_component(ripples, mean_mm),
    )
    return _quantity(ripples, Statistic.MEAN, mean_mm, budget)


def _u_count(ripples: Ripples) -> float:
    """Standard uncertainty of the number of crests."""
    gaps = ripples.gaps_mm
    spread = _true_spread_mm(ripples) / float(np.mean(gaps))
    # Two crests much nearer than the rest are seen as one: their number, were the gaps normal.
    merged = gaps.size * float(ndtr((SHORTEST_GAP - 1.0) / max(spread, 0.01)))
    return min(2.5, 0.7 * math.pow(ripples.doubtful + merged, 0.8))


def _crown_component(ripples: Ripples, length_mm: float) -> Component:
    """Effect of the crown's unknown height on a distance along the weld."""
    stretch = float((ripples.lean[-1] - ripples.lean[0]) / (ripples.s_mm[-1] - ripples.s_mm[0]))
    return Component(
        source="height of the crown",
        standard_uncertainty=abs(stretch) * ripples.u_crown_mm * length_mm,
        scope=Scope.PHOTO,
    )


def _sd(ripples: Ripples) -> Quantity:
    """Standard deviation of the spacing: the welder's evenness, picking noise taken out."""
    n = ripples.gaps_mm.size
    value = _true_spread_mm(ripples)
    u_s_mm = _u_one_mm(ripples)
    # The noise taken out is itself known to a factor of two; the rest is chance in N gaps.
    noise = min(u_s_mm**2 / value, 1.2 * u_s_mm) if value > 0.0 else u_s_mm
    budget = (
        Component(
            source="picking of crests",
            standard_uncertainty=math.hypot(noise, u_s_mm * math.sqrt(2.0 / n)),
            scope=Scope.STATION,
        ),
        Component(
            source="crests midway between grooves",
            standard_uncertainty=MIDWAY * value,
            scope=Scope.DEFINITION,
        ),
        Component(
            source="missed or doubled crests",
            standard_uncertainty=_wrong_gap_mm(ripples) / math.sqrt(n),
            scope=Scope.PHOTO,
        ),
    )
    return _quantity(ripples, Statistic.SD, value, budget)


def _u_one_mm(ripples: Ripples) -> float:
    """Standard uncertainty of one crest against its neighbours."""
    return math.hypot(ripples.u_s_mm, UNEVEN_LIGHT * float(np.mean(ripples.gaps_mm)))


def _true_spread_mm(ripples: Ripples) -> float:
    """Standard deviation of the gaps, freed from picking noise and smoothing."""
    return SMOOTHED * _kept_spread(ripples) * float(np.std(ripples.gaps_mm, ddof=1))


def _kept_spread(ripples: Ripples) -> float:
    """Part of the spread of the gaps that is not picking noise, at least 0.7."""
    seen = float(np.var(ripples.gaps_mm, ddof=1))
    noise = 2.0 * _u_one_mm(ripples) ** 2
    return math.sqrt(max(0.5, 1.0 - noise / seen)) if seen > 0.0 else 1.0


def _wrong_gap_mm(ripples: Ripples) -> float:
    """What a crest missed or counted twice adds to one gap, times the risk of it."""
    return 0.5 * float(np.mean(ripples.gaps_mm)) * _u_count(ripples)


def _extreme(ripples: Ripples, statistic: Statistic) -> Quantity:
    """Longest or shortest gap, its excess over the mean freed from picking noise and smoothing."""
    gaps = ripples.gaps_mm
    mean_mm = float(np.mean(gaps))
    at = int(np.argmax(gaps) if statistic is Statistic.MAX else np.argmin(gaps))
    beyond = float(gaps[at]) - mean_mm
    # An extreme is picked for its noise too; a gap far out is real and keeps its length.
    change = (SMOOTHED * _kept_spread(ripples) - 1.0) * abs(beyond)
    change = min(max(change, -2.0 * ripples.u_s_mm), 2.0 * ripples.u_s_mm)
    value = float(gaps[at]) + math.copysign(1.0, beyond) * change
    budget = (
        Component(
            source="picking of two crests",
            standard_uncertainty=math.sqrt(2.0) * _u_one_mm(ripples),
            scope=Scope.STATION,
        ),
        Component(
            source="crests midway between grooves",
            standard_uncertainty=MERGED[statistic] * abs(beyond),
            scope=Scope.DEFINITION,
        ),
        Component(
            source="missed or doubled crests",
            standard_uncertainty=0.7 * _wrong_gap_mm(ripples),
            scope=Scope.PHOTO,
        ),
        _crown_component(ripples, mean_mm),
    )
    return _quantity(ripples, statistic, value, budget)
