"""From the values of the rooms below to the records of the result."""

from collections.abc import Iterable

from beadcheck.advice import Advice
from beadcheck.coupon import Coupon
from beadcheck.limits import Check
from beadcheck.quantity import COVERAGE_FACTOR, NotMeasured, Quantity
from beadcheck.result.records import (
    AdviceRecord,
    CheckRecord,
    ComponentRecord,
    CouponRecord,
    NotMeasuredRecord,
    QuantityRecord,
)


def coupon_record(coupon: Coupon) -> CouponRecord:
    """Coupon and pass, as entered."""
    pulse = coupon.pulse
    return CouponRecord(
        shape=coupon.shape.value,
        outside_diameter_mm=coupon.outside_diameter_mm,
        wall_thickness_mm=coupon.wall_thickness_mm,
        weld_pass=_word(coupon.weld_pass),
        process=_word(coupon.process),
        position=_word(coupon.position),
        progression=_word(coupon.progression),
        peak_time_s=None if pulse is None else pulse.peak_s,
        background_time_s=None if pulse is None else pulse.background_s,
    )


def quantity_records(
    quantities: Iterable[Quantity], *, photo: int | None, scaled: bool = True
) -> tuple[QuantityRecord, ...]:
    """Quantities of one photo, or of the coupon where `photo` is None.

    Without a target nothing is `scaled`: places along the weld are pixels then.
    """
    return tuple(
        QuantityRecord(
            name=quantity.name.value,
            statistic=quantity.statistic.value,
            value=float(quantity.value),
            unit=quantity.unit.value,
            expanded_uncertainty=float(quantity.expanded_uncertainty),
            coverage_factor=COVERAGE_FACTOR,
            count=int(quantity.count),
            scope="coupon" if photo is None else "photo",
            photo=photo,
            side=_word(quantity.side),
            s_range_mm=_range(quantity) if scaled else None,
            s_range_px=None if scaled else _range(quantity),
            budget=tuple(
                ComponentRecord(
                    source=component.source,
                    standard_uncertainty=float(component.standard_uncertainty),
                    scope=component.scope.value,
                )
                for component in quantity.budget
            ),
        )
        for quantity in quantities
    )


def _range(quantity: Quantity) -> tuple[float, float]:
    first, last = quantity.s_range_mm
    return float(first), float(last)


def not_measured_records(
    not_measured: Iterable[NotMeasured], *, photo: int | None
) -> tuple[NotMeasuredRecord, ...]:
    """Return what one photo could not give, with the reasons."""
    return tuple(
        NotMeasuredRecord(
            name=missing.name.value, reason=missing.reason, how_to=missing.how_to, photo=photo
        )
        for missing in not_measured
    )


def check_records(checks: Iterable[Check], *, photo: int | None) -> tuple[CheckRecord, ...]:
    """Comparisons with limits, each with the limit's source."""
    return tuple(
        CheckRecord(
            name=check.limit.quantity.value,
            finding=check.finding,
            value=check.value,
            limit=check.limit_value,
            unit=check.limit.unit.value,
            source=check.limit.source,
            statistic=check.limit.statistic_words,
            expanded_uncertainty=check.expanded_uncertainty,
            sense=check.limit.sense.value,
            verified=check.limit.verified.value,
            rule=check.rule.value,
            photo=photo,
            note=check.note,
            side=_word(check.side),
            conformity_probability=check.conformity_probability,
            obligation=check.limit.obligation.value,
        )
        for check in checks
    )


def advice_records(advice: Iterable[Advice]) -> tuple[AdviceRecord, ...]:
    """Advice in its order."""
    return tuple(
        AdviceRecord(symptom=each.symptom, change=each.change, why=each.why, basis=each.basis.value)
        for each in advice
    )


def _word(word: str | None) -> str | None:
    """Plain text of a word of a closed set."""
    return None if word is None else str(word)
