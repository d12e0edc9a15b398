"""Unevenness along the weld: of its width, its toes, its ripples.

The thresholds are common practice, no published source.
"""

import math
from collections.abc import Iterator
from typing import Final

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.advice.seen.limited import urgency_of
from beadcheck.advice.seen.shape import WEAVE_WIDTH_MM
from beadcheck.advice.situation import Situation, surely, words_of
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.units import Unit

WIDTH_SD_RATIO: Final = 0.04
"""Standard deviation of the width over its mean, above which a weld looks uneven."""
WAVINESS_MM: Final = 0.4
RIPPLE_SD_RATIO: Final = 0.15
RIPPLE_GAP_RATIO: Final = 2.0


def uneven(situation: Situation) -> Iterator[Sighting]:
    """Symptoms of an unsteady hand."""
    yield from _width(situation)
    yield from _toes(situation)
    yield from _ripples(situation)


def _width(situation: Situation) -> Iterator[Sighting]:
    mean, sd, least, greatest = (
        situation.one(QuantityName.WELD_WIDTH, statistic)
        for statistic in (Statistic.MEAN, Statistic.SD, Statistic.MIN, Statistic.MAX)
    )
    if mean is None or sd is None or least is None or greatest is None:
        return
    excess = surely(sd) / (WIDTH_SD_RATIO * mean.value)
    by_limits = [
        urgency
        for check in situation.checks
        if check.limit.quantity is QuantityName.WELD_WIDTH
        and check.limit.relative_to is not None
        and (urgency := urgency_of(check)) is not None
    ]
    if excess <= 1.0 and not by_limits:
        return
    urgency = min([*by_limits, Urgency.EVENNESS], key=lambda each: each.rank)
    likely = excess <= 1.0 and urgency is Urgency.UNDECIDED
    woven = mean.unit is Unit.MM and mean.value > WEAVE_WIDTH_MM
    yield Sighting(
        symptom=Symptom.WEAVE_UNEVEN if woven else Symptom.STRINGER_UNEVEN,
        urgency=urgency,
        sure=Sureness.LIKELY if likely else Sureness.SURE,
        excess=excess,
        words=(
            f"The weld is uneven in width: {words_of(least)} at its narrowest, "
            f"{words_of(greatest)} at its widest, {words_of(mean)} on average."
        ),
    )


def _toes(situation: Situation) -> Iterator[Sighting]:
    sides = [
        quantity
        for side in (Side.LEFT, Side.RIGHT)
        if (quantity := situation.one(QuantityName.TOE_WAVINESS, Statistic.SD, side)) is not None
        and quantity.unit is Unit.MM
    ]
    if not sides:
        return
    worst, other = max(sides, key=surely), min(sides, key=surely)
    excess = surely(worst) / WAVINESS_MM
    if excess <= 1.0:
        return
    apart = math.hypot(worst.expanded_uncertainty, other.expanded_uncertainty)
    if worst.side is not other.side and worst.value - other.value > apart:
        yield Sighting(
            symptom=Symptom.TOE_WAVY,
            urgency=Urgency.EVENNESS,
            excess=excess,
            side=worst.side,
            words=(
                f"The {worst.side} toe is wavy: typically {words_of(worst)} off a straight line, "
                f"against {words_of(other)} on the {other.side}."
            ),
        )
        return
    yield Sighting(
        symptom=Symptom.TOES_WAVY,
        urgency=Urgency.EVENNESS,
        excess=excess,
        words=f"The toes are wavy: typically {words_of(worst)} off a straight line.",
    )


def _ripples(situation: Situation) -> Iterator[Sighting]:
    mean, sd, longest = (
        situation.one(QuantityName.RIPPLE_SPACING, statistic)
        for statistic in (Statistic.MEAN, Statistic.SD, Statistic.MAX)
    )
    if mean is None or mean.value <= 0.0 or not situation.steps_show:
        return
    if sd is not None and (excess := surely(sd) / (RIPPLE_SD_RATIO * mean.value)) > 1.0:
        yield Sighting(
            symptom=Symptom.RIPPLES_UNEVEN,
            urgency=Urgency.EVENNESS,
            excess=excess,
            words=(
                f"The ripples are unevenly spaced: {words_of(mean, 2)} apart on average, give or "
                f"take {words_of(sd, 2)} (standard deviation)."
            ),
        )
    if longest is not None and (excess := surely(longest) / (RIPPLE_GAP_RATIO * mean.value)) > 1.0:
        yield Sighting(
            symptom=Symptom.RIPPLE_JUMP,
            urgency=Urgency.EVENNESS,
            excess=excess,
            words=(
                f"One gap between ripples is {words_of(longest)} long, where {words_of(mean)} is "
                "the average."
            ),
        )
