"""The decision: a value, its uncertainty and a limit make a finding."""

import math
from enum import StrEnum
from typing import Final

from beadcheck.quantity import COVERAGE_FACTOR


class Finding(StrEnum):
    """How a value stands to its limit; the values are the words of the result format."""

    WITHIN = "within"
    OUTSIDE = "outside"
    UNDECIDED = "undecided"
    NOT_MEASURED = "not measured"


class Sense(StrEnum):
    """Which side of the limit is wanted."""

    AT_MOST = "at most"
    AT_LEAST = "at least"
    BETWEEN = "between"


class DecisionRule(StrEnum):
    """Guard band w on either side of the limit, in terms of the expanded uncertainty U (k = 2)."""

    FULL = "w = U"
    """ILAC-G8:09/2019; a false 'within' at the worst value has a probability of 2.3 %."""
    NINETY_FIVE = "w = 0.83 U"
    """ISO 14253-1:2017: 1.65 standard uncertainties; 4.9 % at the worst value."""


GUARD_BAND_IN_U: Final = {DecisionRule.FULL: 1.0, DecisionRule.NINETY_FIVE: 0.83}


def decide(
    value: float,
    *,
    expanded_uncertainty: float,
    limit: float,
    sense: Sense = Sense.AT_MOST,
    rule: DecisionRule = DecisionRule.FULL,
    lowest: float = -math.inf,
) -> Finding:
    """Find a value within or outside its limit, or undecided when the guard band covers the limit.

    All numbers are in the same unit. Between two limits a value is within where both guard bands
    are kept and the risks on both sides together are no larger than that of one guard band: where
    the limits lie close, each band alone would let too much pass (JCGM 106:2012, 8.3.3).

    Parameters
    ----------
    limit
        The only limit, or the upper of two.
    lowest
        The lower of two, for the sense "between".

    Examples
    --------
    >>> decide(2.6, expanded_uncertainty=0.4, limit=3.2).value
    'within'
    >>> decide(3.0, expanded_uncertainty=0.4, limit=3.2).value
    'undecided'
    >>> decide(88.0, expanded_uncertainty=1.0, limit=90.0, sense=Sense.AT_LEAST).value
    'outside'
    >>> decide(1.2, expanded_uncertainty=0.2, limit=1.6, sense=Sense.BETWEEN, lowest=0.8).value
    'within'
    """
    if not expanded_uncertainty >= 0.0:
        msg = "an expanded uncertainty must be 0 or more"
        raise ValueError(msg)
    if sense is Sense.BETWEEN:
        return _between(value, expanded_uncertainty, (lowest, limit), rule)
    guard_band = GUARD_BAND_IN_U[rule] * expanded_uncertainty
    above = value if sense is Sense.AT_MOST else -value
    highest = limit if sense is Sense.AT_MOST else -limit
    if above + guard_band <= highest:
        return Finding.WITHIN
    if above - guard_band > highest:
        return Finding.OUTSIDE
    return Finding.UNDECIDED


def _between(
    value: float, expanded_uncertainty: float, limits: tuple[float, float], rule: DecisionRule
) -> Finding:
    lowest, highest = limits
    sides = {
        decide(
            value, expanded_uncertainty=expanded_uncertainty, limit=limit, sense=sense, rule=rule
        )
        for limit, sense in ((highest, Sense.AT_MOST), (lowest, Sense.AT_LEAST))
    }
    if Finding.OUTSIDE in sides:
        return Finding.OUTSIDE
    if sides != {Finding.WITHIN}:
        return Finding.UNDECIDED
    conforming = conformity_probability(
        value,
        standard_uncertainty=expanded_uncertainty / COVERAGE_FACTOR,
        lowest=lowest,
        highest=highest,
    )
    sure_enough = _normal_share(GUARD_BAND_IN_U[rule] * COVERAGE_FACTOR)
    return Finding.WITHIN if conforming >= sure_enough else Finding.UNDECIDED


def conformity_probability(
    value: float,
    *,
    standard_uncertainty: float,
    lowest: float = -math.inf,
    highest: float = math.inf,
) -> float:
    """Probability that the true value lies between two limits (JCGM 106:2012, 7.2 to 7.4).

    Nothing but the reading is known beforehand, and its error is normally distributed.
    """
    if standard_uncertainty == 0.0:
        return 1.0 if lowest <= value <= highest else 0.0
    below = _normal_share((lowest - value) / standard_uncertainty)
    return _normal_share((highest - value) / standard_uncertainty) - below


def _normal_share(deviations: float) -> float:
    """Share of a standard normal distribution below a value."""
    return 0.5 * math.erfc(-deviations / math.sqrt(2.0))
