"""What must hold of any comparison with any shipped limit."""

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits import (
    Check,
    DecisionRule,
    Finding,
    Judging,
    LengthSystem,
    Limit,
    LimitSet,
    Sense,
    Verified,
    check,
    limit_sets,
    load_limit_set,
)
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.units import Unit

SETS = [load_limit_set(name) for name in limit_sets()]
LIMITS = [limit for limit_set in SETS for limit in limit_set.limits]
PAIRS = [limit for limit in LIMITS if limit.other is not None]

values = st.floats(0.0, 6.0)
uncertainties = st.floats(0.001, 1.5)
rules = st.sampled_from(DecisionRule)


@st.composite
def holding(draw: st.DrawFn, limits: list[Limit]) -> tuple[Limit, Coupon]:
    """A shipped limit, and a coupon that it holds for."""
    limit = draw(st.sampled_from(limits))
    sizes = limit.thicknesses
    lowest = max(1.0, (sizes.from_mm or 0.0), (sizes.over_mm or 0.0) + 0.01)
    highest = min(60.0, sizes.to_mm or 60.0, (sizes.below_mm or 60.0) - 0.01)
    shape = draw(st.sampled_from(limit.shapes or tuple(Shape)))
    coupon = Coupon(
        shape=shape,
        outside_diameter_mm=draw(st.floats(20.0, 800.0)) if shape is Shape.PIPE else None,
        wall_thickness_mm=draw(st.floats(lowest, highest)),
        weld_pass=draw(st.sampled_from(limit.passes or tuple(WeldPass))),
        process=draw(st.sampled_from(limit.processes or tuple(Process))),
    )
    return limit, coupon


def width_for(limit: Limit) -> float:
    """Weld width, in mm, that the limit holds for."""
    lowest = max(limit.widths.from_mm or 0.0, limit.widths.over_mm or 0.0)
    highest = min(limit.widths.to_mm or 30.0, limit.widths.below_mm or 30.0)
    return 0.43 * lowest + 0.57 * highest


def quantity(
    name: QuantityName, statistic: Statistic, value: float, u: float, unit: Unit = Unit.MM
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=unit,
        count=31,
        budget=(Component(source="all", standard_uncertainty=u, scope=Scope.STATION),),
        s_range_mm=(3.0, 64.0),
    )


def compared(
    limit: Limit,
    coupon: Coupon,
    *,
    value: float,
    u: float,
    rule: DecisionRule,
    width_u: float = 0.05,
    system: LengthSystem = LengthSystem.MM,
) -> Check | None:
    """Comparison of one value with one limit alone; None where it does not hold."""
    alone = LimitSet(name="one", title="One", source="One", edition="1", limits=(limit,))
    measured = [
        quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, width_for(limit), width_u),
        quantity(limit.quantity, limit.statistic, value, u, limit.unit),
    ]
    if limit.relative_to is not None:
        measured = [
            quantity(limit.quantity, limit.relative_to, 11.7, 0.0),
            quantity(limit.quantity, limit.statistic, 11.7 + value, u),
        ]
    judging = Judging(rule=rule, system=system)
    checks = check(measured, (), limit_set=alone.judged(judging), coupon=coupon)
    return checks[0] if checks else None


@settings(max_examples=60, deadline=None)
@given(
    case=holding(LIMITS),
    value=values,
    u=uncertainties,
    rule=rules,
    by=st.floats(0.0, 5.0),
)
def test_tightening_a_limit_never_turns_outside_into_within(
    case: tuple[Limit, Coupon], value: float, u: float, rule: DecisionRule, by: float
) -> None:
    limit, coupon = case
    step = -by if limit.sense is Sense.AT_MOST else by
    tighter = replace(limit, constant=limit.constant + step, no_less_than=None)
    loose, tight = (
        compared(each, coupon, value=value, u=u, rule=rule) for each in (limit, tighter)
    )
    assert loose is not None
    assert tight is not None
    if loose.finding is Finding.OUTSIDE:
        assert tight.finding is Finding.OUTSIDE
    if tight.finding is Finding.WITHIN:
        assert loose.finding is Finding.WITHIN


@settings(max_examples=60, deadline=None)
@given(
    case=holding(LIMITS),
    value=values,
    u=uncertainties,
    more=st.floats(0.0, 2.0),
    width_u=st.floats(0.0, 0.3),
    rule=rules,
)
def test_growing_uncertainty_only_ever_moves_a_finding_towards_undecided(
    case: tuple[Limit, Coupon],
    value: float,
    u: float,
    more: float,
    width_u: float,
    rule: DecisionRule,
) -> None:
    limit, coupon = case
    sure = compared(limit, coupon, value=value, u=u, rule=rule, width_u=0.0)
    assert sure is not None
    for wider_u, wider_width_u in ((u + more, 0.0), (u, width_u), (u + more, width_u)):
        unsure = compared(limit, coupon, value=value, u=wider_u, rule=rule, width_u=wider_width_u)
        assert unsure is not None
        assert unsure.finding in {sure.finding, Finding.UNDECIDED}


@settings(max_examples=50, deadline=None)
@given(
    value=values,
    u=uncertainties,
    lowest=st.floats(0.0, 3.0),
    wide=st.floats(0.0, 3.0),
    by=st.floats(0.0, 1.0),
    rule=rules,
)
def test_of_two_limits_tightening_either_never_turns_outside_into_within(
    value: float, u: float, lowest: float, wide: float, by: float, rule: DecisionRule
) -> None:
    two = Limit(
        quantity=QuantityName.FACE_REINFORCEMENT,
        statistic=Statistic.MAX,
        sense=Sense.BETWEEN,
        unit=Unit.MM,
        constant=lowest + wide,
        lowest=lowest,
        source="Shop rule",
        verified=Verified.OWN,
    )
    loose = compared(two, Coupon(), value=value, u=u, rule=rule)
    assert loose is not None
    assert loose.conformity_probability is not None
    for tighter in (
        replace(two, lowest=lowest + min(by, wide)),
        replace(two, constant=two.constant - min(by, wide)),
    ):
        tight = compared(tighter, Coupon(), value=value, u=u, rule=rule)
        assert tight is not None
        assert tight.conformity_probability is not None
        assert tight.conformity_probability <= loose.conformity_probability + 1e-12
        if loose.finding is Finding.OUTSIDE:
            assert tight.finding is Finding.OUTSIDE
        if tight.finding is Finding.WITHIN:
            assert loose.finding is Finding.WITHIN


@settings(max_examples=50, deadline=None)
@given(case=holding(LIMITS), value=values, u=uncertainties)
def test_the_wider_guard_band_finds_nothing_that_the_narrower_does_not(
    case: tuple[Limit, Coupon], value: float, u: float
) -> None:
    limit, coupon = case
    full, narrow = (
        compared(limit, coupon, value=value, u=u, rule=rule)
        for rule in (DecisionRule.FULL, DecisionRule.NINETY_FIVE)
    )
    assert full is not None
    assert narrow is not None
    assert full.finding in {narrow.finding, Finding.UNDECIDED}
    assert full.rule is DecisionRule.FULL


@settings(max_examples=60, deadline=None)
@given(case=holding(PAIRS), value=values, u=uncertainties, rule=rules)
def test_a_printed_pair_gives_one_finding_in_mm_and_inch_or_tells_of_the_other(
    case: tuple[Limit, Coupon], value: float, u: float, rule: DecisionRule
) -> None:
    pair, coupon = case
    in_mm, in_inches = (
        compared(pair, coupon, value=value, u=u, rule=rule, system=system)
        for system in LengthSystem
    )
    # At a wall between the two printed bounds only one of the two may hold.
    assume(in_mm is not None and in_inches is not None)
    assert in_mm is not None
    assert in_inches is not None
    for one, other in ((in_mm, in_inches), (in_inches, in_mm)):
        if one.finding is not other.finding:
            assert f"the finding is {other.finding.value}" in one.note


@settings(max_examples=50, deadline=None)
@given(inch=st.integers(1, 24), value=values, u=uncertainties, rule=rules)
def test_a_limit_printed_in_inches_alone_gives_the_same_finding_whatever_is_shown(
    inch: int, value: float, u: float, rule: DecisionRule
) -> None:
    limit = Limit(
        quantity=QuantityName.FACE_REINFORCEMENT,
        statistic=Statistic.MAX,
        sense=Sense.AT_MOST,
        unit=Unit.MM,
        constant=inch / 64.0 * 25.4,
        source="Shop rule",
        verified=Verified.OWN,
    )
    in_mm, in_inches = (
        compared(limit, Coupon(), value=value, u=u, rule=rule, system=system)
        for system in LengthSystem
    )
    assert in_mm == in_inches


@settings(max_examples=50, deadline=None)
@given(case=holding(LIMITS), value=values, u=uncertainties, rule=rules)
def test_where_nothing_at_all_is_permitted_nothing_is_ever_within(
    case: tuple[Limit, Coupon], value: float, u: float, rule: DecisionRule
) -> None:
    limit, coupon = case
    none_permitted = replace(
        limit, constant=0.0, per_thickness=0.0, per_weld_width=0.0, no_less_than=None, other=None
    )
    only = compared(none_permitted, coupon, value=value, u=u, rule=rule)
    assert only is not None
    if limit.unit is Unit.MM and limit.sense is Sense.AT_MOST and limit.relative_to is None:
        assume(limit.quantity is not QuantityName.FACE_REINFORCEMENT)
        assume(limit.quantity is not QuantityName.ROOT_REINFORCEMENT)
        assert only.finding is not Finding.WITHIN
