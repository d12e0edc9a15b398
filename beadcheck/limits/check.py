"""Quantities against a limit set."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.limits.asked import asked_limits
from beadcheck.limits.compared import Reading, mean_width, readings_of
from beadcheck.limits.decision import DecisionRule, Finding
from beadcheck.limits.judge import Joint, judged
from beadcheck.limits.limit import SIGNED, Limit, LimitSet
from beadcheck.limits.printed import LengthSystem, length_words
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Side, Statistic
from beadcheck.units import Unit

THICKNESS_MISSING: Final = (
    "This limit depends on the wall thickness, which was not given: enter it with the coupon."
)
WIDTH_MISSING: Final = "This limit depends on the weld width, which was not measured."
NOT_SHOWN: Final = "This photo does not give it."
OF_A_FIT_UP: Final = (QuantityName.ROOT_OPENING, QuantityName.LINEAR_MISALIGNMENT)
SHAPE_UNITS: Final = (Unit.MM, Unit.MM2, Unit.DEG)
"""Units of what is read in a section across the weld."""
ONE_PLACE: Final = "Read at one place along the weld only."
PRINTED: Final = "The source prints {printed}."
TAKEN_AS_CAP: Final = "The pass was not given and is taken as the cap."
STEPPED: Final = (
    "The parts stand {} out of line: above the higher one the weld may stand {} less, above the "
    "lower one as much more, and codes differ in which counts."
)
NEAR_NEXT_ROW: Final = (
    "The weld width lies so near the next row of the table that either may hold, and they differ."
)


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
        That the true value meets the limit, between 0 and 1; None where the value alone does not
        decide: a length does, or nothing at all is permitted.
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


def check(
    quantities: Iterable[Quantity],
    not_measured: Iterable[NotMeasured],
    *,
    limit_set: LimitSet,
    coupon: Coupon,
    width: Quantity | None = None,
    lengths_from_mm: float = 0.0,
) -> tuple[Check, ...]:
    """Compare the quantities of one photo with every limit that holds for the coupon.

    A limit whose quantity was not measured gives the finding "not measured" with the reason.

    Parameters
    ----------
    width
        Mean weld width of the coupon, for the limits that depend on it, where another photo gave
        it; None takes that of the quantities.
    lengths_from_mm
        Depth from which the lengths along the weld count that are among the quantities; 0 where
        that is the least depth that can be told from rough metal.
    """
    measured = tuple(quantities)
    joint = Joint(
        coupon=coupon,
        width=width or mean_width(measured),
        measured=measured,
        rule=limit_set.rule,
        system=limit_set.system,
        lengths_from_mm=lengths_from_mm,
    )
    reasons = {missing.name: f"{missing.reason} {missing.how_to}" for missing in not_measured}
    holding = limits_for(limit_set, coupon)
    return tuple(
        each
        for limit in _rows(holding, joint)
        for each in _checks(limit, holding, joint, reasons.get(limit.quantity, NOT_SHOWN))
    )


def look_for(limit_set: LimitSet, coupon: Coupon) -> str:
    """What the set asks of the pass besides, in words; of the cap, where no pass is given."""
    return limit_set.look_for.get(coupon.weld_pass or WeldPass.CAP, "")


def limits_for(limit_set: LimitSet, coupon: Coupon) -> list[Limit]:
    """Limits that hold for a coupon, by the numbers of the set's system of units."""
    chosen = (limit.in_system(limit_set.system) for limit in limit_set.limits)
    holding = [limit for limit in chosen if limit.holds_for(coupon)]
    if coupon.weld_pass is WeldPass.FIT_UP:
        # Nothing is welded yet: what is asked of a weld does not hold.
        holding = [limit for limit in holding if limit.quantity in OF_A_FIT_UP]
    return [*asked_limits(coupon), *holding]


def _rows(limits: Sequence[Limit], joint: Joint) -> Iterator[Limit]:
    """Limits to compare with: rows of one table that differ by an unknown size stand for all."""
    told: set[tuple[object, ...]] = set()
    for limit in limits:
        key = (limit.quantity, limit.statistic_words, limit.sense, limit.obligation)
        if _missing(limit, joint):
            if key not in told:
                yield limit
            told.add(key)
        elif joint.width is None or joint.width.value in limit.widths:
            yield limit


def _missing(limit: Limit, joint: Joint) -> str:
    if limit.needs_thickness and joint.coupon.wall_thickness_mm is None:
        return THICKNESS_MISSING
    if limit.needs_width and joint.width is None:
        return WIDTH_MISSING
    return ""


def _checks(limit: Limit, holding: Sequence[Limit], joint: Joint, reason: str) -> list[Check]:
    missing = _missing(limit, joint)
    readings = readings_of(limit, joint.measured)
    if readings and not missing:
        return [_decided(limit, holding, reading, joint) for reading in readings]
    return [
        Check(
            limit=limit,
            finding=Finding.NOT_MEASURED,
            rule=joint.rule,
            limit_value=None if missing else joint.limit_value(limit),
            note=_note(limit, joint, missing or reason),
        )
    ]


def _decided(limit: Limit, holding: Sequence[Limit], reading: Reading, joint: Joint) -> Check:
    judgement = judged(limit, reading, joint)
    finding, why = judgement.finding, judgement.why
    near = [each for each in holding if _may_hold_instead(each, limit, joint)]
    if any(judged(each, reading, joint).finding is not finding for each in near):
        finding, why = Finding.UNDECIDED, NEAR_NEXT_ROW
    if half_mm := _half_step_mm(limit, joint):
        ends = (replace(reading, value=reading.value + end) for end in (-half_mm, half_mm))
        if any(judged(limit, end, joint).finding is not finding for end in ends):
            finding = Finding.UNDECIDED
        words = (length_words(each, joint.system) for each in (2.0 * half_mm, half_mm))
        why = " ".join(each for each in (why, STEPPED.format(*words)) if each)
    return Check(
        limit=limit,
        finding=finding,
        rule=joint.rule,
        value=reading.value,
        limit_value=judgement.limit_value,
        expanded_uncertainty=judgement.expanded_uncertainty,
        conformity_probability=judgement.conformity_probability,
        side=reading.side,
        note=_note(limit, joint, why or _at_one_place(limit, reading)),
    )


def _half_step_mm(limit: Limit, joint: Joint) -> float:
    """By how much a height above either part differs from the one that was measured, in mm.

    It is measured above the line that joins the toes. Codes count it above the one or the other of
    two parts that stand out of line: the lesser height in ASME B31.3, and in ISO 5817 and AWS D1.1
    that above the part beside it. 0 where the parts do not surely stand out of line.
    """
    if limit.quantity not in SIGNED or limit.relative_to is not None:
        return 0.0
    steps = [
        each.value
        for each in joint.measured
        if each.name is QuantityName.LINEAR_MISALIGNMENT
        and each.statistic in {Statistic.MEAN, Statistic.MAX}
        and each.value - each.expanded_uncertainty > 0.0
    ]
    return 0.5 * max(steps, default=0.0)


def _at_one_place(limit: Limit, reading: Reading) -> str:
    """Say that one section stands for the weld; what is set on a machine lies at no place."""
    return ONE_PLACE if reading.count == 1 and limit.unit in SHAPE_UNITS else ""


def _may_hold_instead(other: Limit, limit: Limit, joint: Joint) -> bool:
    """Whether another row of the same table may hold, as the width is not known exactly."""
    if other is limit or not other.widths.bounded or joint.width is None:
        return False
    same = (other.quantity, other.statistic_words, other.sense) == (
        limit.quantity,
        limit.statistic_words,
        limit.sense,
    )
    ends = (-joint.width.expanded_uncertainty, joint.width.expanded_uncertainty)
    return same and any(joint.width.value + end in other.widths for end in ends)


def _note(limit: Limit, joint: Joint, first: str) -> str:
    taken = TAKEN_AS_CAP if limit.passes and joint.coupon.weld_pass is None else ""
    in_inches = joint.system is LengthSystem.INCH and limit.printed
    printed = PRINTED.format(printed=limit.printed) if in_inches else ""
    return " ".join(sentence for sentence in (first, limit.note, printed, taken) if sentence)
