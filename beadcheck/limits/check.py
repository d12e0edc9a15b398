"""Quantities against a limit set."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits.decision import (
    DecisionRule,
    Finding,
    Sense,
    conformity_probability,
    decide,
)
from beadcheck.limits.limit import Limit, LimitSet
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
)

THICKNESS_MISSING: Final = (
    "This limit depends on the wall thickness, which was not given: enter it with the coupon."
)
WIDTH_MISSING: Final = "This limit depends on the weld width, which was not measured."
NOT_SHOWN: Final = "This photo does not give it."
LENGTH_NEEDED: Final = (
    "Permitted on short stretches only: its length along the weld must be measured too."
)
TAKEN_AS_CAP: Final = "The pass was not given and is taken as the cap."


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One comparison with a limit.

    Attributes
    ----------
    value
        What was compared, in the limit's unit; None where the finding is "not measured".
    limit_value
        None where the limit depends on something that is not known.
    expanded_uncertainty
        Of the comparison (k = 2): where the limit depends on the weld width, the width's is in it.
    conformity_probability
        That the true value meets the limit, between 0 and 1.
    """

    limit: Limit
    finding: Finding
    rule: DecisionRule
    value: float | None = None
    limit_value: float | None = None
    expanded_uncertainty: float | None = None
    conformity_probability: float | None = None
    side: Side | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reading:
    """What a limit is compared with."""

    value: float
    standard_uncertainty: float
    side: Side | None


def check(
    quantities: Iterable[Quantity],
    not_measured: Iterable[NotMeasured],
    *,
    limit_set: LimitSet,
    coupon: Coupon,
) -> tuple[Check, ...]:
    """Compare the quantities of one photo with every limit that holds for the coupon.

    A limit whose quantity was not measured gives the finding "not measured" with the reason.
    """
    measured = tuple(quantities)
    reasons = {missing.name: f"{missing.reason} {missing.how_to}" for missing in not_measured}
    width = _mean_width(measured)
    checks: list[Check] = []
    told: set[tuple[QuantityName, str]] = set()
    for limit in limit_set.limits:
        if not limit.holds_for(coupon):
            continue
        if limit.needs_thickness and coupon.wall_thickness_mm is None:
            # Several rows of one table differ by thickness alone: one of them says it.
            key = (limit.quantity, limit.statistic_words)
            if key in told:
                continue
            told.add(key)
        readings = _readings(limit, measured)
        checks += _checks(limit, readings, width, coupon, limit_set.rule, reasons)
    return tuple(checks)


def _mean_width(quantities: Sequence[Quantity]) -> Quantity | None:
    for quantity in quantities:
        if quantity.name is QuantityName.WELD_WIDTH and quantity.statistic is Statistic.MEAN:
            return quantity
    return None


def _readings(limit: Limit, quantities: Sequence[Quantity]) -> list[_Reading]:
    """Every measured value of the limited quantity: one, or one for each side."""
    named = [
        quantity
        for quantity in quantities
        if quantity.name is limit.quantity and quantity.unit is limit.unit
    ]
    chosen = [quantity for quantity in named if quantity.statistic is limit.statistic]
    if limit.relative_to is None:
        return [
            _Reading(
                value=quantity.value,
                standard_uncertainty=quantity.standard_uncertainty,
                side=quantity.side,
            )
            for quantity in chosen
        ]
    references = {
        quantity.side: quantity for quantity in named if quantity.statistic is limit.relative_to
    }
    return [
        _Reading(
            value=abs(quantity.value - references[quantity.side].value),
            standard_uncertainty=difference_uncertainty(quantity, references[quantity.side]),
            side=quantity.side,
        )
        for quantity in chosen
        if quantity.side in references
    ]


def difference_uncertainty(first: Quantity, second: Quantity) -> float:
    """Standard uncertainty of the difference of two statistics of one photo.

    Effects that the whole photo shares (scale, definition of the toe) move both alike, so they
    subtract (GUM 5.2.2, correlation 1); those of single stations are independent.
    """
    shared: dict[tuple[str, Scope], list[float]] = defaultdict(lambda: [0.0, 0.0])
    variance = 0.0
    for index, quantity in enumerate((first, second)):
        for component in quantity.budget:
            if component.scope is Scope.STATION:
                variance += component.standard_uncertainty**2
            else:
                key = (component.source, component.scope)
                shared[key][index] = math.hypot(shared[key][index], component.standard_uncertainty)
    variance += sum((one - other) ** 2 for one, other in shared.values())
    return math.sqrt(variance)


def _checks(
    limit: Limit,
    readings: list[_Reading],
    width: Quantity | None,
    coupon: Coupon,
    rule: DecisionRule,
    reasons: dict[QuantityName, str],
) -> list[Check]:
    missing = _missing(limit, width, coupon)
    limit_value = None
    if not missing:
        limit_value = limit.at(
            width_mm=width.value if width is not None else 0.0,
            thickness_mm=coupon.wall_thickness_mm or 0.0,
        )
    if readings and limit_value is not None:
        return [_decided(limit, reading, limit_value, width, coupon, rule) for reading in readings]
    reason = missing if readings else reasons.get(limit.quantity, NOT_SHOWN)
    return [
        Check(
            limit=limit,
            finding=Finding.NOT_MEASURED,
            rule=rule,
            limit_value=limit_value,
            note=_note(limit, coupon, reason),
        )
    ]


def _missing(limit: Limit, width: Quantity | None, coupon: Coupon) -> str:
    if limit.needs_thickness and coupon.wall_thickness_mm is None:
        return THICKNESS_MISSING
    if limit.needs_width and width is None:
        return WIDTH_MISSING
    return ""


def _decided(
    limit: Limit,
    reading: _Reading,
    limit_value: float,
    width: Quantity | None,
    coupon: Coupon,
    rule: DecisionRule,
) -> Check:
    standard_uncertainty = math.hypot(
        reading.standard_uncertainty, _uncertainty_of_limit(limit, width, coupon)
    )
    expanded_uncertainty = COVERAGE_FACTOR * standard_uncertainty
    finding = decide(
        reading.value,
        expanded_uncertainty=expanded_uncertainty,
        limit=limit_value,
        sense=limit.sense,
        rule=rule,
    )
    length_needed = limit.short_only and finding is Finding.WITHIN
    at_most = limit.sense is Sense.AT_MOST
    return Check(
        limit=limit,
        finding=Finding.UNDECIDED if length_needed else finding,
        rule=rule,
        value=reading.value,
        limit_value=limit_value,
        expanded_uncertainty=expanded_uncertainty,
        conformity_probability=conformity_probability(
            reading.value,
            standard_uncertainty=standard_uncertainty,
            lowest=-math.inf if at_most else limit_value,
            highest=limit_value if at_most else math.inf,
        ),
        side=reading.side,
        note=_note(limit, coupon, LENGTH_NEEDED if length_needed else ""),
    )


def _uncertainty_of_limit(limit: Limit, width: Quantity | None, coupon: Coupon) -> float:
    """Standard uncertainty that the measured width gives to the limit.

    The measurand is ``h - per_weld_width * b``. Height and width are taken as independent: what
    they share (scale) would only make the difference surer. A limit that is capped even at the
    smallest believable width has none.
    """
    if not limit.needs_width or width is None:
        return 0.0
    thickness_mm = coupon.wall_thickness_mm or 0.0
    smallest_mm = width.value - width.expanded_uncertainty
    if limit.at(width_mm=smallest_mm, thickness_mm=thickness_mm) == limit.no_more_than:
        return 0.0
    return limit.per_weld_width * width.standard_uncertainty


def _note(limit: Limit, coupon: Coupon, first: str) -> str:
    taken = TAKEN_AS_CAP if limit.passes and coupon.weld_pass is None else ""
    return " ".join(sentence for sentence in (first, limit.note, taken) if sentence)
