"""Symptoms that two values together show."""

from collections.abc import Iterator
from typing import Final

from beadcheck.advice.piece import Urgency
from beadcheck.advice.situation import Situation, at_most, surely, words_of
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

NARROW_MM: Final = 8.0
CONVEX_MM: Final = 2.0
"""Most convexity of a face up to 5/16 in (8 mm) wide: 1/16 in (2 mm), AWS D1.1, profile schedule C
(verified in public text)."""
IRREGULAR_SD_MM: Final = 0.5
"""Standard deviation of the height along a run from which it looks lumpy (common practice, no
published source)."""
LUMPY_ABOVE_MM: Final = 2.0
"""Mean height from which a lumpy run counts as high (common practice, no published source)."""
WEAVE_WIDTH_MM: Final = 10.0
"""A stringer is two to three electrodes wide (up to 9.6 mm with 3.2 mm): wider welds are woven."""
LONG_RIPPLE_RATIO: Final = 0.35
"""Ripple spacing over width of a stringer, from which the pool was drawn out (common practice, no
published source)."""


def misshapen(situation: Situation) -> Iterator[Sighting]:
    """Symptoms of shape."""
    yield from _ropy(situation)
    yield from _irregular(situation)
    yield from _long_ripples(situation)


def _ropy(situation: Situation) -> Iterator[Sighting]:
    height = situation.one(QuantityName.FACE_REINFORCEMENT, Statistic.MEAN)
    width = situation.one(QuantityName.WELD_WIDTH, Statistic.MEAN)
    if height is None or width is None or width.unit is not Unit.MM:
        return
    if at_most(width) <= NARROW_MM and surely(height) > CONVEX_MM:
        yield Sighting(
            symptom=Symptom.ROPY,
            urgency=Urgency.SHAPE,
            words=(
                f"The bead is narrow and stands up: {words_of(width)} wide and {words_of(height)} "
                "high on average."
            ),
        )


def _irregular(situation: Situation) -> Iterator[Sighting]:
    mean, sd = (
        situation.one(QuantityName.FACE_REINFORCEMENT, statistic)
        for statistic in (Statistic.MEAN, Statistic.SD)
    )
    if mean is None or sd is None:
        return
    if surely(sd) > IRREGULAR_SD_MM and surely(mean) > LUMPY_ABOVE_MM:
        yield Sighting(
            symptom=Symptom.IRREGULAR_HIGH,
            urgency=Urgency.SHAPE,
            words=(
                f"The bead is high and lumpy: {words_of(mean)} on average, give or take "
                f"{words_of(sd)} (standard deviation)."
            ),
        )


def _long_ripples(situation: Situation) -> Iterator[Sighting]:
    """Ripples of a steady arc; those of a pulsed one tell of its pulses."""
    spacing = situation.one(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    width = situation.one(QuantityName.WELD_WIDTH, Statistic.MEAN)
    if situation.is_pulsed or spacing is None or width is None or width.unit is not Unit.MM:
        return
    if width.value > WEAVE_WIDTH_MM or spacing.unit is not width.unit:
        return
    if surely(spacing) > LONG_RIPPLE_RATIO * at_most(width):
        yield Sighting(
            symptom=Symptom.RIPPLES_LONG,
            urgency=Urgency.SHAPE,
            words=(
                f"The ripples are long: {words_of(spacing)} apart on a bead {words_of(width)} wide."
            ),
        )
