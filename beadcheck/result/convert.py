"""From the values of the rooms below to the records of the result."""

from collections.abc import Iterable

from beadcheck.advice import Advice, Lever, Push, Sureness, Urgency
from beadcheck.coupon import Coupon
from beadcheck.limits import Check
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
)
from beadcheck.result.coupon import CouponRecord
from beadcheck.result.records import (
    AdviceRecord,
    CheckRecord,
    ComponentRecord,
    NotMeasuredRecord,
    QuantityRecord,
)
from beadcheck.result.whose import Whose
from beadcheck.units import Unit


def coupon_record(coupon: Coupon) -> CouponRecord:
    """Coupon and pass, as entered."""
    pulse = coupon.pulse
    return CouponRecord(
        shape=coupon.shape.value,
        outside_diameter_mm=coupon.outside_diameter_mm,
        wall_thickness_mm=coupon.wall_thickness_mm,
        bore_mm=coupon.bore_mm,
        weld_pass=_word(coupon.weld_pass),
        layer=coupon.layer,
        bead=coupon.bead,
        beads=coupon.beads,
        groove_width_mm=coupon.groove_width_mm,
        process=_word(coupon.process),
        polarity=_word(coupon.polarity),
        position=_word(coupon.position),
        progression=_word(coupon.progression),
        strip_side=_word(coupon.strip_side),
        peak_time_s=None if pulse is None else pulse.peak_s,
        background_time_s=None if pulse is None else pulse.background_s,
    )


def quantity_records(
    quantities: Iterable[Quantity], whose: Whose, *, scaled: bool = True
) -> tuple[QuantityRecord, ...]:
    """Quantities of a photo, of several together, or of the coupon.

    Without a target nothing is `scaled`: places along the weld are pixels then. What comes from no
    photo covers no part of the weld.
    """
    seen = whose.photo is not None or bool(whose.photos)
    return tuple(
        QuantityRecord(
            name=quantity.name.value,
            statistic=quantity.statistic.value,
            value=float(quantity.value),
            unit=quantity.unit.value,
            expanded_uncertainty=float(quantity.expanded_uncertainty),
            coverage_factor=COVERAGE_FACTOR,
            count=int(quantity.count),
            scope=whose.scope,
            photo=whose.photo,
            photos=whose.photos,
            side=_word(quantity.side),
            s_range_mm=_range(quantity) if scaled and seen else None,
            s_range_px=None if scaled or not seen else _range(quantity),
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


def quantity_of(record: QuantityRecord) -> Quantity:
    """Quantity that a record was made of."""
    covered = record.s_range_px if record.s_range_mm is None else record.s_range_mm
    return Quantity(
        name=QuantityName(record.name),
        statistic=Statistic(record.statistic),
        value=record.value,
        unit=Unit(record.unit),
        count=record.count,
        budget=tuple(
            Component(
                source=each.source,
                standard_uncertainty=each.standard_uncertainty,
                scope=Scope(each.scope),
            )
            for each in record.budget
        ),
        s_range_mm=covered or (0.0, 0.0),
        side=None if record.side is None else Side(record.side),
    )


def not_measured_of(record: NotMeasuredRecord) -> NotMeasured:
    """Return the missing quantity that a record was made of."""
    return NotMeasured(name=QuantityName(record.name), reason=record.reason, how_to=record.how_to)


def _range(quantity: Quantity) -> tuple[float, float]:
    first, last = quantity.s_range_mm
    return float(first), float(last)


def not_measured_records(
    not_measured: Iterable[NotMeasured], whose: Whose
) -> tuple[NotMeasuredRecord, ...]:
    """Return what the photos could not give, with the reasons."""
    return tuple(
        NotMeasuredRecord(
            name=missing.name.value,
            reason=missing.reason,
            how_to=missing.how_to,
            photo=whose.photo,
            photos=whose.photos,
        )
        for missing in not_measured
    )


def check_records(checks: Iterable[Check], whose: Whose) -> tuple[CheckRecord, ...]:
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
            lowest=None if check.limit_value is None else check.limit.lowest,
            printed_in=check.limit.system.value,
            verified=check.limit.verified.value,
            rule=check.rule.value,
            photo=whose.photo,
            photos=whose.photos,
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
        AdviceRecord(
            symptom=each.symptom,
            change=each.change,
            why=each.why,
            basis=each.basis,
            urgency=each.urgency.value,
            lever=each.lever.value,
            sure=each.sure.value,
            look_first=each.look_first,
            next_change=each.next_change,
            needs=each.needs,
            pushes=tuple(push.value for push in each.pushes),
            next_pushes=tuple(push.value for push in each.next_pushes),
        )
        for each in advice
    )


def advice_of(record: AdviceRecord) -> Advice:
    """Advice that a record was made of."""
    return Advice(
        symptom=record.symptom,
        change=record.change,
        why=record.why,
        basis=record.basis,
        urgency=Urgency(record.urgency),
        lever=Lever(record.lever),
        sure=Sureness(record.sure),
        look_first=record.look_first,
        next_change=record.next_change,
        needs=record.needs,
        pushes=tuple(Push(push) for push in record.pushes),
        next_pushes=tuple(Push(push) for push in record.next_pushes),
    )


def _word(word: str | None) -> str | None:
    """Plain text of a word of a closed set."""
    return None if word is None else str(word)
