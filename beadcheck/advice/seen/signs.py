"""Single values beyond their limit, or beyond what is usual."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.advice.seen.limited import urgency_of
from beadcheck.advice.seen.sign import Sign
from beadcheck.advice.seen.spots import spots_words
from beadcheck.advice.seen.table import SIGNS
from beadcheck.advice.situation import Situation, at_most, surely, value_words
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.coupon import Position
from beadcheck.limits import Check, Finding, Sense
from beadcheck.quantity import Quantity, Side, Statistic
from beadcheck.units import Unit

ALIKE: Final = 0.5
"""A depth at one edge of at least this part of the other's counts as at both (our choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Beyond:
    """A value beyond its limit or threshold.

    Attributes
    ----------
    too_long
        Whether it is no deeper than its limit allows, but on too much of the weld.
    """

    urgency: Urgency
    value: float
    unit: Unit
    statistic: Statistic
    side: Side | None
    sure: Sureness = Sureness.SURE
    limit: float | None = None
    too_long: bool = False
    excess: float = 1.0
    length_mm: float = 0.0


def beyond(situation: Situation) -> Iterator[Sighting]:
    """Symptoms that one value alone shows."""
    for sign in SIGNS:
        yield from _of_sign(sign, situation)


def _of_sign(sign: Sign, situation: Situation) -> list[Sighting]:
    if sign.passes and situation.weld_pass not in sign.passes:
        return []
    found = [*_by_limits(sign, situation), *_by_threshold(sign, situation)]
    if not found:
        return []
    worst = min(found, key=lambda each: (each.urgency.rank, *_farthest(sign, each)))
    both = any(
        {each.side, worst.side} == set(Side)
        and each.urgency is worst.urgency
        and (sign.wanted is Sense.AT_LEAST or each.value >= ALIKE * worst.value)
        for each in found
    )
    symptom = Symptom.UNDERCUT_BOTH if both and sign.symptom is Symptom.UNDERCUT else sign.symptom
    return [replace(_sighting(sign, worst, situation, both=both), symptom=symptom)]


def _farthest(sign: Sign, found: _Beyond) -> tuple[float, float]:
    """Smaller for what lies farther on the wrong side; of two limits, for the wider one."""
    up = 1.0 if sign.wanted is Sense.AT_MOST else -1.0
    return -up * found.value, -up * (found.limit or 0.0)


def _by_limits(sign: Sign, situation: Situation) -> Iterator[_Beyond]:
    for check in _compared(sign, situation):
        urgency = urgency_of(check)
        if urgency is None or check.value is None:
            continue
        statistic = check.limit.statistic
        yield _Beyond(
            urgency=urgency,
            sure=Sureness.SURE if urgency is Urgency.OUTSIDE else Sureness.LIKELY,
            value=check.value,
            unit=check.limit.unit,
            statistic=statistic,
            side=check.side,
            limit=_limit_of_side(check),
            too_long=_is_too_long(check, urgency),
            length_mm=_length_mm(situation.one(sign.name, statistic, check.side)),
        )


def _compared(sign: Sign, situation: Situation) -> list[Check]:
    """Comparisons of the sign's quantity with limits of the side that is wanted."""
    return [
        check
        for check in situation.checks
        if sign.by_limits
        and check.limit.quantity is sign.name
        and _asked_side(check) is sign.wanted
        and check.limit.statistic in sign.statistics
        and check.limit.relative_to is None
        and check.finding is not Finding.NOT_MEASURED
    ]


def _asked_side(check: Check) -> Sense:
    """Which side of its limit a value is held to: of two limits, that of the nearer."""
    lowest, highest = check.limit.lowest, check.limit_value
    if lowest is None or highest is None or check.value is None:
        return check.limit.sense
    return Sense.AT_LEAST if check.value < 0.5 * (lowest + highest) else Sense.AT_MOST


def _limit_of_side(check: Check) -> float | None:
    """Limit that the value is held to: of two limits, the nearer."""
    lower = check.limit.lowest is not None and _asked_side(check) is Sense.AT_LEAST
    return check.limit.lowest if lower else check.limit_value


def _is_too_long(check: Check, urgency: Urgency) -> bool:
    """Whether not the depth is outside, but the length of weld that has it."""
    by_length = check.limit.stretches is not None and check.conformity_probability is None
    return by_length and urgency is Urgency.OUTSIDE


def _by_threshold(sign: Sign, situation: Situation) -> Iterator[_Beyond]:
    if sign.threshold is None or _compared(sign, situation):
        return
    for quantity in situation.quantities:
        if quantity.name is not sign.name or quantity.statistic is not sign.statistics[0]:
            continue
        # Thresholds are in the unit of a photo with a target.
        if quantity.unit is Unit.PX:
            continue
        if not _surely_beyond(quantity, sign.threshold, sign.wanted):
            continue
        yield _Beyond(
            urgency=sign.urgency,
            value=quantity.value,
            unit=quantity.unit,
            statistic=quantity.statistic,
            side=quantity.side,
            excess=surely(quantity) / sign.threshold if sign.threshold else 1.0,
            length_mm=_length_mm(quantity),
        )


def _surely_beyond(quantity: Quantity, threshold: float, wanted: Sense) -> bool:
    if wanted is Sense.AT_MOST:
        return surely(quantity) > threshold
    return at_most(quantity) < threshold


def _length_mm(quantity: Quantity | None) -> float:
    if quantity is None:
        return 0.0
    first, last = quantity.s_range_mm
    return last - first


def _sighting(sign: Sign, found: _Beyond, situation: Situation, *, both: bool) -> Sighting:
    place = situation.place_of(sign.name, found.statistic, found.side)
    position = situation.coupon.position
    overhead = position is Position.OVERHEAD or (place is not None and place.is_overhead(position))
    side = None if both else found.side
    words = sign.words.format(
        value=value_words(found.value, found.unit),
        under=value_words(-found.value, found.unit),
        limit=_limit_words(sign, found),
        at="" if place is None else place.words,
        edge=edge_words(side, both=both),
        toe="both toes" if both else "a toe" if side is None else f"the {side} toe",
        length=f"{found.length_mm:.0f} mm",
        spots=spots_words(situation),
    )
    return Sighting(
        symptom=sign.symptom,
        urgency=found.urgency,
        words=words,
        sure=found.sure,
        side=side,
        excess=found.excess,
        overhead=overhead,
    )


def _limit_words(sign: Sign, found: _Beyond) -> str:
    if found.limit is None:
        return ""
    if found.too_long:
        return " (allowed on short stretches only)"
    if found.limit == 0.0 and sign.wanted is Sense.AT_MOST:
        return " (none is allowed)"
    if found.unit is Unit.MM:
        return f" (limit {_to_hundredths(found.limit):g} {found.unit})"
    return f" (limit {value_words(found.limit, found.unit)})"


def _to_hundredths(limit_mm: float) -> float:
    """Limit as findings show it: a binary fraction such as 3.175 is not rounded down."""
    return round(limit_mm + math.copysign(1e-9, limit_mm), 2) + 0.0


def edge_words(side: Side | None, *, both: bool = False) -> str:
    """Edge or edges of the weld, as the end of "at the"."""
    if both or side is None:
        return "edges"
    return f"{side} edge"
