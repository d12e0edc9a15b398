"""One reading against one limit: the finding, and why where the value alone does not tell."""

import math
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits.compared import Reading, lengths_of
from beadcheck.limits.decision import (
    DecisionRule,
    Finding,
    Sense,
    conformity_probability,
    decide,
)
from beadcheck.limits.limit import Limit
from beadcheck.limits.printed import LengthSystem, rounded_up_words
from beadcheck.limits.stretches import length_finding, whole_weld_mm
from beadcheck.quantity import COVERAGE_FACTOR, LENGTH_OF, Quantity, QuantityName

NONE_FOUND: Final = (
    "None found {larger} than {detectable}, the detection limit of this photo; that there is none "
    "cannot be proved."
)
NONE_AT_ALL: Final = (
    "None found where it was measured; that there is none elsewhere cannot be proved."
)
LENGTH_NEEDED: Final = (
    "Permitted on short stretches only: its length along the weld must be measured too, with "
    "{ways}."
)
LINES: Final = "light-line photos 2 mm apart, or a rule"
OTHERWISE: Final = "By the other number of the printed {printed} the finding is {finding}."
_LARGER: Final = {
    **dict.fromkeys(LENGTH_OF.values(), "longer"),
    QuantityName.LINEAR_MISALIGNMENT: "larger",
    QuantityName.CONVEXITY: "higher",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """What limits depend on: the coupon, everything measured on it, and how to judge.

    Attributes
    ----------
    width
        Mean weld width in mm; None where it was not measured.
    lengths_from_mm
        Depth from which the measured lengths along the weld count, as far as it is by a clause;
        0 where they count from the least depth that can be told from rough metal.
    """

    coupon: Coupon
    width: Quantity | None
    measured: tuple[Quantity, ...]
    rule: DecisionRule
    system: LengthSystem
    lengths_from_mm: float = 0.0

    def limit_value(self, limit: Limit) -> float:
        """Value of a limit here; what it depends on must be known."""
        return limit.at(
            width_mm=0.0 if self.width is None else self.width.value,
            thickness_mm=self.coupon.wall_thickness_mm or 0.0,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A finding with its numbers.

    Attributes
    ----------
    why
        What led to it besides the value; empty where the value alone did.
    """

    finding: Finding
    limit_value: float
    expanded_uncertainty: float
    conformity_probability: float | None
    why: str = ""


def judged(limit: Limit, reading: Reading, joint: Joint) -> Judgement:
    """Judge a reading by a limit whose value is known for this joint.

    Nothing can be shown to be nothing: where a limit permits none at all, what is not found stays
    undecided, with the depth from which it would have been found.
    """
    standard_uncertainty = math.hypot(
        reading.standard_uncertainty, uncertainty_of_limit(limit, joint)
    )
    limit_value = joint.limit_value(limit)
    expanded_uncertainty = COVERAGE_FACTOR * standard_uncertainty
    at_least = limit.sense is Sense.AT_LEAST
    lowest = -math.inf if limit.lowest is None else limit.lowest
    by_value = Judgement(
        finding=decide(
            reading.value,
            expanded_uncertainty=expanded_uncertainty,
            limit=limit_value,
            sense=limit.sense,
            rule=joint.rule,
            lowest=lowest,
        ),
        limit_value=limit_value,
        expanded_uncertainty=expanded_uncertainty,
        conformity_probability=conformity_probability(
            reading.value,
            standard_uncertainty=standard_uncertainty,
            lowest=limit_value if at_least else lowest,
            highest=math.inf if at_least else limit_value,
        ),
    )
    if limit.forbids_any(limit_value):
        return _of_none(limit, by_value, joint.system)
    by_length = _by_length(limit, reading, by_value, joint)
    return _by_other_number(limit, reading, by_length, joint)


def uncertainty_of_limit(limit: Limit, joint: Joint) -> float:
    """Standard uncertainty that the measured width gives to the limit.

    The measurand is ``h - per_weld_width * b``. Height and width are taken as independent: what
    they share (scale) would only make the difference surer. A limit that stays at its cap, or at
    its least, for every believable width has none.
    """
    width = joint.width
    if limit.per_weld_width == 0.0 or width is None:
        return 0.0
    thickness_mm = joint.coupon.wall_thickness_mm or 0.0
    narrow, wide = (
        limit.at(width_mm=width.value + end, thickness_mm=thickness_mm)
        for end in (-width.expanded_uncertainty, width.expanded_uncertainty)
    )
    if narrow == limit.no_more_than or wide == limit.no_less_than:
        return 0.0
    return limit.per_weld_width * width.standard_uncertainty


def _of_none(limit: Limit, by_value: Judgement, system: LengthSystem) -> Judgement:
    if by_value.finding is Finding.OUTSIDE:
        return replace(by_value, conformity_probability=None)
    detectable = by_value.expanded_uncertainty
    words = NONE_FOUND.format(
        larger=_LARGER.get(limit.quantity, "deeper"),
        detectable=rounded_up_words(detectable, system),
    )
    return replace(
        by_value,
        finding=Finding.UNDECIDED,
        conformity_probability=None,
        why=words if detectable > 0.0 else NONE_AT_ALL,
    )


def _by_length(limit: Limit, reading: Reading, by_value: Judgement, joint: Joint) -> Judgement:
    """Judgement once lengths along the weld have their say, where the limit permits some only."""
    if limit.stretches is None or by_value.finding is Finding.OUTSIDE:
        return by_value
    over_mm = limit.stretches.over_at(joint.coupon.wall_thickness_mm or 0.0)
    shallow = decide(
        reading.value,
        expanded_uncertainty=by_value.expanded_uncertainty,
        limit=over_mm,
        rule=joint.rule,
    )
    if shallow is Finding.WITHIN:
        # Any length is permitted, or there is surely none.
        return by_value
    finding, why = Finding.UNDECIDED, LENGTH_NEEDED.format(ways=_ways(limit.quantity))
    if lengths := lengths_of(limit, joint.measured, reading.side):
        finding, why = length_finding(
            limit.stretches,
            lengths,
            weld_mm=whole_weld_mm(joint.coupon),
            any_depth_counts=over_mm <= joint.lengths_from_mm,
            rule=joint.rule,
            system=limit.system,
        )
    if finding is Finding.WITHIN:
        return replace(by_value, why=why)
    if by_value.finding is Finding.UNDECIDED and finding is Finding.UNDECIDED:
        return by_value
    return replace(
        by_value,
        finding=finding,
        why=why,
        conformity_probability=None
        if finding is Finding.OUTSIDE
        else by_value.conformity_probability,
    )


def _ways(quantity: QuantityName) -> str:
    """What shows how long something runs; a pair of photos shows no undercut."""
    return LINES if quantity is QuantityName.UNDERCUT_DEPTH else f"a pair of photos, {LINES}"


def _by_other_number(
    limit: Limit, reading: Reading, judgement: Judgement, joint: Joint
) -> Judgement:
    """Say where the number that the source prints in the other system would decide otherwise."""
    if limit.other is None or not limit.other.holds_for(joint.coupon):
        return judgement
    other = judged(replace(limit.other, other=None), reading, joint)
    if other.finding is judgement.finding:
        return judgement
    words = otherwise_words(limit, other.finding)
    return replace(judgement, why=" ".join(each for each in (judgement.why, words) if each))


def otherwise_words(limit: Limit, finding: Finding) -> str:
    """Tell that the number that the source prints in the other system decides otherwise."""
    return OTHERWISE.format(printed=limit.printed, finding=finding.value)
