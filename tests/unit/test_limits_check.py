"""Quantities against limit sets: what is compared, how surely, and what is said otherwise."""

import math

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits import (
    Check,
    DecisionRule,
    Finding,
    Limit,
    LimitSet,
    Sense,
    Verified,
    check,
    load_limit_set,
)
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
)
from beadcheck.units import Unit

CAP = Coupon(wall_thickness_mm=10.0, weld_pass=WeldPass.CAP)


def quantity(
    name: QuantityName,
    statistic: Statistic,
    value: float,
    *budget: tuple[str, float, Scope],
    side: Side | None = None,
    unit: Unit = Unit.MM,
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=unit,
        count=61,
        budget=tuple(
            Component(source=source, standard_uncertainty=u, scope=scope)
            for source, u, scope in budget
        ),
        s_range_mm=(4.0, 65.0),
        side=side,
    )


def widths(
    *, highest: float = 11.0, lowest: float = 9.0, definition: float = 0.3
) -> list[Quantity]:
    shared = (
        ("definition of the toe", definition, Scope.DEFINITION),
        ("print scale", 0.02, Scope.PRINT),
    )
    return [
        quantity(QuantityName.WELD_WIDTH, statistic, value, ("toes", own, Scope.STATION), *shared)
        for statistic, value, own in (
            (Statistic.MEAN, 10.0, 0.01),
            (Statistic.MAX, highest, 0.06),
            (Statistic.MIN, lowest, 0.06),
        )
    ]


def found(checks: tuple[Check, ...], name: QuantityName, statistic: str) -> Check:
    (only,) = [
        each
        for each in checks
        if each.limit.quantity is name and each.limit.statistic_words == statistic
    ]
    return only


def test_evenness_is_judged_without_what_all_widths_share() -> None:
    checks = check(widths(), (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
    widest = found(checks, QuantityName.WELD_WIDTH, "max - mean")
    assert widest.finding is Finding.WITHIN
    assert_allclose(widest.value, 1.0)
    assert_allclose(widest.limit_value, 1.6)
    # The definition (0.3 mm) and the scale are the same in both, so only the toes' own parts stay.
    assert_allclose(widest.expanded_uncertainty, 2.0 * math.hypot(0.06, 0.01))
    narrowest = found(checks, QuantityName.WELD_WIDTH, "mean - min")
    assert_allclose(narrowest.value, 1.0)


@pytest.mark.parametrize(
    ("highest", "finding"),
    [(11.3, Finding.WITHIN), (11.6, Finding.UNDECIDED), (11.9, Finding.OUTSIDE)],
)
def test_an_uneven_width_is_found(highest: float, finding: Finding) -> None:
    checks = check(widths(highest=highest), (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
    assert found(checks, QuantityName.WELD_WIDTH, "max - mean").finding is finding


def test_what_was_not_measured_is_said_with_its_reason_and_its_limit() -> None:
    missing = NotMeasured(
        name=QuantityName.FACE_REINFORCEMENT, reason="No height here.", how_to="Use a gauge."
    )
    checks = check(widths(), (missing,), limit_set=load_limit_set("iso-5817-c"), coupon=CAP)
    cap = found(checks, QuantityName.FACE_REINFORCEMENT, "max")
    assert cap.finding is Finding.NOT_MEASURED
    assert cap.value is None
    assert_allclose(cap.limit_value, 1.0 + 0.15 * 10.0)
    assert cap.note.startswith("No height here. Use a gauge.")
    assert found(checks, QuantityName.UNDERCUT_DEPTH, "max").note.startswith("This photo does not")


def test_a_limit_that_grows_with_the_width_takes_over_its_uncertainty() -> None:
    height = quantity(
        QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 2.0, ("line", 0.1, Scope.PHOTO)
    )
    checks = check([*widths(), height], (), limit_set=load_limit_set("iso-5817-d"), coupon=CAP)
    cap = found(checks, QuantityName.FACE_REINFORCEMENT, "max")
    width_u = math.sqrt(0.3**2 + 0.02**2 + 0.01**2)
    # Measurand h - 0.25 b (GUM 5.1.2).
    assert_allclose(cap.expanded_uncertainty, 2.0 * math.hypot(0.1, 0.25 * width_u))
    assert_allclose(cap.limit_value, 3.5)


def test_a_capped_limit_has_no_uncertainty_of_its_own() -> None:
    wide = [
        quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, 60.0, ("toes", 0.5, Scope.PHOTO)),
        quantity(QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 2.0, ("line", 0.1, Scope.PHOTO)),
    ]
    checks = check(wide, (), limit_set=load_limit_set("iso-5817-d"), coupon=CAP)
    cap = found(checks, QuantityName.FACE_REINFORCEMENT, "max")
    assert_allclose(cap.limit_value, 10.0)
    assert_allclose(cap.expanded_uncertainty, 0.2)


def test_a_limit_on_the_width_without_a_width_is_not_measured() -> None:
    height = quantity(
        QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 2.0, ("line", 0.1, Scope.PHOTO)
    )
    checks = check([height], (), limit_set=load_limit_set("iso-5817-d"), coupon=CAP)
    cap = found(checks, QuantityName.FACE_REINFORCEMENT, "max")
    assert cap.finding is Finding.NOT_MEASURED
    assert cap.limit_value is None
    assert "weld width" in cap.note


def test_without_the_wall_thickness_each_quantity_is_said_once() -> None:
    undercut = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.3, ("line", 0.05, Scope.PHOTO)
    )
    checks = check(
        [*widths(), undercut],
        (),
        limit_set=load_limit_set("iso-5817-b"),
        coupon=Coupon(weld_pass=WeldPass.CAP),
    )
    told = found(checks, QuantityName.UNDERCUT_DEPTH, "max")
    assert told.finding is Finding.NOT_MEASURED
    assert "wall thickness" in told.note
    # The cap's height needs no thickness.
    assert_allclose(found(checks, QuantityName.FACE_REINFORCEMENT, "max").limit_value, 2.0)


def test_a_depth_that_is_permitted_on_short_stretches_only_stays_undecided() -> None:
    thin = Coupon(wall_thickness_mm=2.0, weld_pass=WeldPass.CAP)
    for depth, finding in ((0.1, Finding.UNDECIDED), (0.9, Finding.OUTSIDE)):
        undercut = quantity(
            QuantityName.UNDERCUT_DEPTH, Statistic.MAX, depth, ("line", 0.02, Scope.PHOTO)
        )
        checks = check([undercut], (), limit_set=load_limit_set("iso-5817-d"), coupon=thin)
        told = found(checks, QuantityName.UNDERCUT_DEPTH, "max")
        assert told.finding is finding
        assert ("length" in told.note) is (finding is Finding.UNDECIDED)


def test_each_side_is_compared_by_itself() -> None:
    undercuts = [
        quantity(
            QuantityName.UNDERCUT_DEPTH,
            Statistic.MAX,
            depth,
            ("line", 0.05, Scope.PHOTO),
            side=side,
        )
        for side, depth in ((Side.LEFT, 0.2), (Side.RIGHT, 1.4))
    ]
    checks = check(undercuts, (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
    by_side = {
        each.side: each.finding
        for each in checks
        if each.limit.quantity is QuantityName.UNDERCUT_DEPTH
    }
    assert by_side == {Side.LEFT: Finding.WITHIN, Side.RIGHT: Finding.OUTSIDE}


def test_only_the_limits_of_the_pass_are_compared() -> None:
    limit_set = load_limit_set("pipe-coupon")
    root_side = check((), (), limit_set=limit_set, coupon=Coupon(weld_pass=WeldPass.ROOT_SIDE))
    names = {each.limit.quantity for each in root_side}
    assert names == {QuantityName.ROOT_REINFORCEMENT, QuantityName.UNDERCUT_DEPTH}
    assert check((), (), limit_set=limit_set, coupon=Coupon(weld_pass=WeldPass.FILL)) == ()


def test_a_pass_that_was_not_given_is_taken_as_the_cap_and_that_is_said() -> None:
    checks = check(widths(), (), limit_set=load_limit_set("pipe-coupon"), coupon=Coupon())
    assert checks
    assert all("taken as the cap" in each.note for each in checks)


def test_a_quantity_in_pixels_is_never_compared_with_a_limit_in_millimetres() -> None:
    in_px = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.1, ("line", 0.0, Scope.PHOTO), unit=Unit.PX
    )
    checks = check([in_px], (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
    assert found(checks, QuantityName.UNDERCUT_DEPTH, "max").finding is Finding.NOT_MEASURED


def test_the_sets_own_rule_and_the_processes_of_a_limit_are_kept() -> None:
    limit = Limit(
        quantity=QuantityName.WELD_WIDTH,
        statistic=Statistic.MAX,
        sense=Sense.AT_MOST,
        unit=Unit.MM,
        constant=11.16,
        source="Shop rule",
        verified=Verified.OWN,
        processes=(Process.SMAW,),
        shapes=(Shape.PLATE,),
    )
    for rule, finding in (
        (DecisionRule.FULL, Finding.UNDECIDED),
        (DecisionRule.NINETY_FIVE, Finding.WITHIN),
    ):
        limit_set = LimitSet(
            name="shop", title="Shop", source="Shop", edition="1", limits=(limit,), rule=rule
        )
        sharp = widths(definition=0.05)
        (only,) = check(sharp, (), limit_set=limit_set, coupon=Coupon(process=Process.SMAW))
        # U = 2 * hypot(0.06, 0.05, 0.02) = 0.161 mm: 11 + 0.161 > 11.16 > 11 + 0.83 * 0.161.
        assert (only.rule, only.finding) == (rule, finding)
        assert check(sharp, (), limit_set=limit_set, coupon=Coupon(process=Process.GTAW)) == ()
