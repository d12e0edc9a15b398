"""Pulse spots: too far apart, or crowded."""

import math
from collections.abc import Iterator
from typing import Final

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.advice.seen.limited import urgency_of
from beadcheck.advice.situation import Situation, at_most, surely, value_words, words_of
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.limits import Sense
from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.units import Unit

LOWEST_OVERLAP_RATIO: Final = 0.50
"""Where nobody says what overlap is wanted (common practice, no published source)."""


def spotted(situation: Situation) -> Iterator[Sighting]:
    """Symptoms of pulse spots, against the overlap that is aimed at."""
    overlap = situation.one(QuantityName.PULSE_OVERLAP, Statistic.MEAN)
    if overlap is None:
        return
    wanted = situation.settings.wanted_overlap_ratio
    lowest = LOWEST_OVERLAP_RATIO if wanted is None else wanted
    limits = [
        urgency
        for check in situation.checks
        if check.limit.quantity is overlap.name
        and check.limit.statistic is Statistic.MEAN
        and check.limit.sense is Sense.AT_LEAST
        and (urgency := urgency_of(check)) is not None
    ]
    if limits or at_most(overlap) < lowest:
        urgency = min([*limits, Urgency.SHAPE], key=lambda each: each.rank)
        yield Sighting(
            symptom=Symptom.LOW_OVERLAP,
            urgency=urgency,
            sure=Sureness.LIKELY if urgency is Urgency.UNDECIDED else Sureness.SURE,
            words=f"The pulse spots{spots_words(situation)} overlap by only {words_of(overlap)}.",
        )
    if surely(overlap) > situation.aimed_overlap_ratio:
        yield Sighting(
            symptom=Symptom.SPOTS_CROWDED,
            urgency=Urgency.SHAPE,
            words=f"The pulse spots{spots_words(situation)} overlap by {words_of(overlap)}.",
        )
    yield from _gap_at_one_place(overlap, situation)


def _gap_at_one_place(overlap: Quantity, situation: Situation) -> Iterator[Sighting]:
    """Two spots that lie further apart than a spot is long, surely, while the average overlaps."""
    mean, longest = (
        situation.one(QuantityName.RIPPLE_SPACING, statistic)
        for statistic in (Statistic.MEAN, Statistic.MAX)
    )
    if mean is None or longest is None or mean.unit is not longest.unit or overlap.value >= 1.0:
        return
    spot = mean.value / (1.0 - overlap.value)
    doubt_of_spot = spot * overlap.expanded_uncertainty / (1.0 - overlap.value)
    if longest.value - math.hypot(longest.expanded_uncertainty, doubt_of_spot) <= spot:
        return
    place = situation.place_of(longest.name, longest.statistic, None)
    yield Sighting(
        symptom=Symptom.GAP_AT_ONE_PLACE,
        urgency=Urgency.UNWELDED,
        words=(
            f"At one place two pulse spots do not touch: they lie {words_of(longest)} apart, and a "
            f"spot is {value_words(spot, mean.unit)} long{'' if place is None else place.words}."
        ),
    )


def spots_words(situation: Situation) -> str:
    """How far apart the pulse spots lie, and how long each is; empty where no scale tells it."""
    overlap = situation.one(QuantityName.PULSE_OVERLAP, Statistic.MEAN)
    spacing = situation.one(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    if overlap is None or spacing is None or spacing.unit is not Unit.MM or overlap.value >= 1.0:
        return ""
    spot = value_words(spacing.value / (1.0 - overlap.value), spacing.unit)
    return f", {words_of(spacing)} apart and {spot} long,"
