"""What to change on the next run, from what was measured and from nothing else.

The thresholds and the links from symptom to change are common practice, no published source, where
nothing else is said. Advice is given only where a value exceeds its threshold by more than its
expanded uncertainty.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import Check, Finding
from beadcheck.quantity import Quantity, QuantityName, Side, Statistic
from beadcheck.units import Unit

MOST_ADVICE: Final = 3
"""More than this nobody keeps in mind under the hood."""

WIDTH_SD_RATIO: Final = 0.04
"""Standard deviation of the width over its mean, above which a weld looks uneven."""
WEAVE_WIDTH_MM: Final = 10.0
"""A stringer is two to three electrodes wide (up to 9.6 mm with 3.2 mm): wider welds are woven."""
WAVINESS_MM: Final = 0.4
CENTRELINE_MM: Final = 1.0
RIPPLE_SD_RATIO: Final = 0.15
RIPPLE_GAP_RATIO: Final = 2.0
LOW_OVERLAP_RATIO: Final = 0.50
HIGH_OVERLAP_RATIO: Final = 0.90
AIMED_OVERLAP_RATIO: Final = 0.75
"""Published rule of thumb for the start of pulsed arc seams (a power source maker's article)."""

LARGEST_STEP: Final = 4.0
"""Nothing is made more than four times as long or as fast at once."""

_OUTSIDE_LIMIT: Final = 100.0
_UNWELDED_GAP: Final = 1000.0
"""Added to the urgency, so that these come first."""


class Basis(StrEnum):
    """Where a piece of advice comes from."""

    PRACTICE = "common practice, no published source"
    PULSE_GEOMETRY = "follows from pulse spacing and spot length; 75 % is a published rule of thumb"


class Habit(StrEnum):
    """What the welder changes; one piece of advice for each is enough."""

    SPEED = "speed"
    EDGES = "edges"
    AIM = "aim"
    PULSE = "pulse"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One thing to change: what was seen, what to do, and why that helps."""

    symptom: str
    change: str
    why: str
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    """Advice with its urgency: by how much a threshold is surely exceeded, as a ratio."""

    urgency: float
    habit: Habit
    advice: Advice


def advise(
    quantities: Iterable[Quantity], checks: Iterable[Check], *, coupon: Coupon
) -> tuple[Advice, ...]:
    """Give at most three pieces of advice, the most pressing first, one for each habit.

    Change one thing, weld again, measure again: so the first is the one to try.
    """
    measured = tuple(quantities)
    candidates = [
        *_on_pulses(measured, coupon),
        *_on_width(measured, tuple(checks)),
        *_on_toes(measured),
        *_on_ripples(measured),
        *_on_centreline(measured),
    ]
    best: dict[Habit, _Candidate] = {}
    for candidate in candidates:
        known = best.get(candidate.habit)
        if known is None or candidate.urgency > known.urgency:
            best[candidate.habit] = candidate
    ordered = sorted(best.values(), key=lambda candidate: -candidate.urgency)
    return tuple(candidate.advice for candidate in ordered[:MOST_ADVICE])


def _one(
    quantities: Sequence[Quantity],
    name: QuantityName,
    statistic: Statistic,
    side: Side | None = None,
) -> Quantity | None:
    for quantity in quantities:
        if (quantity.name, quantity.statistic, quantity.side) == (name, statistic, side):
            return quantity
    return None


def _length(quantity: Quantity, decimals: int = 1) -> str:
    """Value with its unit: a photo without a target has pixels."""
    shown = 0 if quantity.unit is Unit.PX else decimals
    return f"{quantity.value:.{shown}f} {quantity.unit}"


def _surely(quantity: Quantity) -> float:
    """Value less its expanded uncertainty."""
    return quantity.value - quantity.expanded_uncertainty


def _on_width(quantities: Sequence[Quantity], checks: Sequence[Check]) -> list[_Candidate]:
    mean, sd, least, greatest = (
        _one(quantities, QuantityName.WELD_WIDTH, statistic)
        for statistic in (Statistic.MEAN, Statistic.SD, Statistic.MIN, Statistic.MAX)
    )
    if mean is None or sd is None or least is None or greatest is None:
        return []
    urgency = _surely(sd) / (WIDTH_SD_RATIO * mean.value)
    outside = any(
        check.finding is Finding.OUTSIDE
        and check.limit.quantity is QuantityName.WELD_WIDTH
        and check.limit.relative_to is not None
        for check in checks
    )
    if outside:
        urgency += _OUTSIDE_LIMIT
    if urgency <= 1.0:
        return []
    symptom = (
        f"The weld is uneven in width: {_length(least)} at its narrowest, "
        f"{_length(greatest)} at its widest, {_length(mean)} on average."
    )
    if mean.unit is Unit.MM and mean.value > WEAVE_WIDTH_MM:
        habit = Habit.EDGES
        change = "Count the same beat for every weave, and pause equally long at each edge."
        why = "On a weave the width follows how far you swing and how long you stay at the edges."
    else:
        habit = Habit.SPEED
        marks = "every 25 mm" if mean.unit is Unit.MM else "equal steps"
        change = (
            f"Keep one steady travel speed: mark {marks} beside the joint and take the same "
            "count from mark to mark."
        )
        why = "On a straight bead the width grows wherever the pool stays longer."
    advice = Advice(symptom=symptom, change=change, why=why, basis=Basis.PRACTICE)
    return [_Candidate(urgency=urgency, habit=habit, advice=advice)]


def _on_toes(quantities: Sequence[Quantity]) -> list[_Candidate]:
    sides = [
        quantity
        for side in (Side.LEFT, Side.RIGHT)
        if (quantity := _one(quantities, QuantityName.TOE_WAVINESS, Statistic.SD, side)) is not None
        and quantity.unit is Unit.MM
    ]
    if not sides:
        return []
    worst = max(sides, key=_surely)
    urgency = _surely(worst) / WAVINESS_MM
    if urgency <= 1.0:
        return []
    change = "Pause for the same short count at both edges, every time, before you cross over."
    why = "A toe is straight where the pool has wetted the edge equally long at every swing."
    symptom = f"The toes are wavy: {worst.value:.1f} mm about a straight line."
    other = min(sides, key=_surely)
    apart = math.hypot(worst.expanded_uncertainty, other.expanded_uncertainty)
    if worst.side is not other.side and worst.value - other.value > apart:
        symptom = (
            f"The {worst.side} toe is wavy: {worst.value:.1f} mm about a straight line, "
            f"against {other.value:.1f} mm on the {other.side}."
        )
        change = f"Pause at the {worst.side} edge as steadily as you do at the {other.side}."
    advice = Advice(symptom=symptom, change=change, why=why, basis=Basis.PRACTICE)
    return [_Candidate(urgency=urgency, habit=Habit.EDGES, advice=advice)]


def _on_ripples(quantities: Sequence[Quantity]) -> list[_Candidate]:
    mean, sd, longest = (
        _one(quantities, QuantityName.RIPPLE_SPACING, statistic)
        for statistic in (Statistic.MEAN, Statistic.SD, Statistic.MAX)
    )
    if mean is None:
        return []
    candidates = []
    if sd is not None and (urgency := _surely(sd) / (RIPPLE_SD_RATIO * mean.value)) > 1.0:
        advice = Advice(
            symptom=(
                f"The ripples are unevenly spaced: {_length(mean, 2)} apart on average, with a "
                f"standard deviation of {_length(sd, 2)}."
            ),
            change="Brace your forearm or slide your hand on a rest, and keep one even rhythm.",
            why="Each ripple marks one step of the pool, so uneven spacing is uneven travel.",
            basis=Basis.PRACTICE,
        )
        candidates.append(_Candidate(urgency=urgency, habit=Habit.SPEED, advice=advice))
    if (
        longest is not None
        and (urgency := _surely(longest) / (RIPPLE_GAP_RATIO * mean.value)) > 1.0
    ):
        advice = Advice(
            symptom=(
                f"One gap between ripples is {_length(longest)} long, where {_length(mean)} is "
                "the average."
            ),
            change="Settle your stance so that you can reach the whole run before you strike up.",
            why="A long gap is a jump of the pool, mostly made where the arm runs out of reach.",
            basis=Basis.PRACTICE,
        )
        candidates.append(_Candidate(urgency=urgency, habit=Habit.SPEED, advice=advice))
    return candidates


def _on_centreline(quantities: Sequence[Quantity]) -> list[_Candidate]:
    wander = _one(quantities, QuantityName.CENTRELINE_DEVIATION, Statistic.MAX)
    if wander is None or (urgency := _surely(wander) / CENTRELINE_MM) <= 1.0:
        return []
    first_mm, last_mm = wander.s_range_mm
    advice = Advice(
        symptom=(
            f"The weld wanders up to {wander.value:.1f} mm off a straight line over "
            f"{last_mm - first_mm:.0f} mm."
        ),
        change="Sit so that you look along the joint, and make a dry run over its whole length.",
        why="Seen along the joint, the pool shows a drift before it becomes a bend.",
        basis=Basis.PRACTICE,
    )
    return [_Candidate(urgency=urgency, habit=Habit.AIM, advice=advice)]


def _on_pulses(quantities: Sequence[Quantity], coupon: Coupon) -> list[_Candidate]:
    overlap = _one(quantities, QuantityName.PULSE_OVERLAP, Statistic.MEAN)
    if overlap is None:
        return []
    at_most = overlap.value + overlap.expanded_uncertainty
    at_least = _surely(overlap)
    percent = f"{100.0 * overlap.value:.0f} %"
    if at_most < 0.0:
        urgency = _UNWELDED_GAP
        symptom = f"The pulse spots do not touch: their overlap is {percent}, which is a gap."
        why = "Below 0 % the metal between two spots is not welded."
    elif at_most < LOW_OVERLAP_RATIO:
        urgency = LOW_OVERLAP_RATIO / max(at_most, 0.01)
        symptom = f"The pulse spots overlap by only {percent}."
        why = "Spots that overlap by about 75 % leave no thin places between them."
    elif at_least > HIGH_OVERLAP_RATIO:
        urgency = (1.0 - HIGH_OVERLAP_RATIO) / max(1.0 - at_least, 0.01)
        symptom = f"The pulse spots lie almost on top of each other: they overlap by {percent}."
        why = "Spots that overlap by about 75 % seal as well and put less heat into the metal."
    else:
        return []
    change = _pulse_change(quantities, overlap.value, coupon)
    advice = Advice(symptom=symptom, change=change, why=why, basis=Basis.PULSE_GEOMETRY)
    return [_Candidate(urgency=urgency, habit=Habit.PULSE, advice=advice)]


def _pulse_change(quantities: Sequence[Quantity], overlap_ratio: float, coupon: Coupon) -> str:
    """One change that brings the overlap to about 75 %, at the present spot length.

    Overlap is 1 - spacing / spot length, and spacing is travel speed times pulse period.
    """
    factor = (1.0 - AIMED_OVERLAP_RATIO) / max(1.0 - overlap_ratio, 1e-3)
    factor = min(factor, LARGEST_STEP)
    word = "Shorten" if factor < 1.0 else "Lengthen"
    if coupon.pulse is not None:
        background_s = factor * coupon.pulse.period_s - coupon.pulse.peak_s
        # Below a fifth of the old background the cycle would be nearly all peak: slow down instead.
        if background_s >= 0.2 * coupon.pulse.background_s:
            return (
                f"{word} the background time from {coupon.pulse.background_s:.2f} s to about "
                f"{background_s:.2f} s, and travel as before."
            )
    speed = _one(quantities, QuantityName.TRAVEL_SPEED, Statistic.MEAN)
    if speed is not None:
        return (
            f"Travel at about {factor * speed.value:.1f} mm/s instead of {speed.value:.1f} mm/s, "
            "with the same pulse times."
        )
    slower = "slower" if factor < 1.0 else "faster"
    return (
        f"Travel {slower}, at about {100.0 * factor:.0f} % of your present speed, with the same "
        "pulse times."
    )
