"""Quantities against limit sets: what is compared, how surely, and what is said otherwise."""

import math
from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

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
from beadcheck.report.limits_worded import limit_words
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
    checks = check(undercuts, (), limit_set=load_limit_set("aws-d1-1-welder-test"), coupon=CAP)
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
    assert QuantityName.ROOT_REINFORCEMENT in names
    assert QuantityName.FACE_REINFORCEMENT not in names
    assert check((), (), limit_set=limit_set, coupon=Coupon(weld_pass=WeldPass.FIT_UP)) == ()


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


def test_a_height_of_one_section_is_said_to_be_read_at_one_place() -> None:
    several = quantity(
        QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 2.1, ("line", 0.04, Scope.STATION)
    )
    for count, said in ((1, True), (7, False)):
        heights = [replace(several, count=count)]
        checks = check(heights, (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
        (judged,) = [c for c in checks if c.limit.quantity is several.name and c.value is not None]
        assert judged.finding is Finding.WITHIN
        assert ("at one place" in judged.note) == said


def test_a_width_that_another_photo_gave_comes_before_the_section_s_own() -> None:
    height = quantity(QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 2.1)
    own = quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, 8.0)
    limits = load_limit_set("iso-5817-c")
    for width, allowed in ((None, 2.2), (replace(own, value=12.0), 2.8)):
        checks = check([height, own], (), limit_set=limits, coupon=CAP, width=width)
        (judged,) = [c for c in checks if c.limit.quantity is height.name]
        # ISO 5817 level C: 1 mm + 0.15 b.
        assert judged.limit_value == pytest.approx(allowed)


@pytest.mark.parametrize(
    ("depth", "own", "finding"),
    [
        (0.0, 0.0, Finding.WITHIN),
        (0.0, 0.03, Finding.UNDECIDED),
        (0.4, 0.03, Finding.UNDECIDED),
        (1.4, 0.03, Finding.OUTSIDE),
    ],
)
def test_a_length_is_asked_for_only_where_there_may_be_a_depth(
    depth: float, own: float, finding: Finding
) -> None:
    """Level C permits 1 mm of underfill, on short stretches only."""
    underfill = quantity(
        QuantityName.UNDERFILL, Statistic.MAX, depth, ("heights", own, Scope.STATION)
    )
    checks = check([underfill], (), limit_set=load_limit_set("iso-5817-c"), coupon=CAP)
    assert found(checks, QuantityName.UNDERFILL, "max").finding is finding


@pytest.mark.parametrize(
    ("depth", "own", "finding", "words"),
    [
        (0.0, 0.06, Finding.UNDECIDED, "None found deeper than 0.12 mm"),
        (0.05, 0.06, Finding.UNDECIDED, "None found deeper than 0.12 mm"),
        (0.4, 0.06, Finding.OUTSIDE, "No undercut."),
        (0.0, 0.0, Finding.UNDECIDED, "cannot be proved"),
    ],
)
def test_that_there_is_none_is_never_proved(
    depth: float, own: float, finding: Finding, words: str
) -> None:
    undercut = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, depth, ("heights", own, Scope.STATION)
    )
    checks = check([undercut], (), limit_set=load_limit_set("pipe-coupon"), coupon=CAP)
    told = found(checks, QuantityName.UNDERCUT_DEPTH, "max")
    assert told.finding is finding
    assert words in told.note
    assert told.limit_value == 0.0
    assert told.conformity_probability is None


def test_in_inches_the_detection_limit_is_given_in_inches() -> None:
    undercut = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.0, ("heights", 0.06, Scope.STATION)
    )
    limit_set = load_limit_set("pipe-coupon", Judging(system=LengthSystem.INCH))
    (told,) = [
        each
        for each in check([undercut], (), limit_set=limit_set, coupon=CAP)
        if each.value is not None
    ]
    assert "None found deeper than 0.005 in" in told.note


def test_a_height_above_flush_can_be_shown() -> None:
    """Only what is zero where there is nothing cannot be shown to be there nowhere."""
    limit = Limit(
        quantity=QuantityName.FACE_REINFORCEMENT,
        statistic=Statistic.MIN,
        sense=Sense.AT_LEAST,
        unit=Unit.MM,
        constant=0.0,
        source="Shop rule",
        verified=Verified.OWN,
    )
    shop = LimitSet(name="shop", title="Shop", source="Shop", edition="1", limits=(limit,))
    height = quantity(
        QuantityName.FACE_REINFORCEMENT, Statistic.MIN, 0.7, ("line", 0.1, Scope.PHOTO)
    )
    (only,) = check([height], (), limit_set=shop, coupon=CAP)
    assert only.finding is Finding.WITHIN


BEAD = Coupon(weld_pass=WeldPass.CAP)


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "finding", "allowed_mm"),
    [
        # Up to 5/16 in (7.94 mm) 2 mm, below 1 in 3 mm, from there on 5 mm.
        (7.0, 1.5, Finding.WITHIN, 2.0),
        (7.0, 2.5, Finding.OUTSIDE, 2.0),
        (12.0, 2.5, Finding.WITHIN, 3.0),
        (26.0, 4.0, Finding.WITHIN, 5.0),
        # The width is known to 0.3 mm only: both rows may hold.
        (8.0, 2.5, Finding.UNDECIDED, 3.0),
        (7.9, 2.5, Finding.UNDECIDED, 2.0),
        (7.9, 1.5, Finding.WITHIN, 2.0),
        (7.9, 3.5, Finding.OUTSIDE, 2.0),
    ],
)
def test_a_table_by_bead_width_is_entered_with_the_widths_uncertainty(
    width_mm: float, height_mm: float, finding: Finding, allowed_mm: float
) -> None:
    measured = [
        quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, width_mm, ("toes", 0.15, Scope.PHOTO)),
        quantity(
            QuantityName.FACE_REINFORCEMENT, Statistic.MAX, height_mm, ("line", 0.05, Scope.PHOTO)
        ),
    ]
    limits = load_limit_set("aws-d1-1-convexity")
    (only,) = check(measured, (), limit_set=limits, coupon=BEAD)
    assert (only.finding, only.limit_value) == (finding, allowed_mm)
    assert ("next row" in only.note) is (finding is Finding.UNDECIDED)


def test_a_table_by_bead_width_asks_once_for_the_width() -> None:
    (only,) = check((), (), limit_set=load_limit_set("aws-d1-1-convexity"), coupon=BEAD)
    assert only.finding is Finding.NOT_MEASURED


@pytest.mark.parametrize(
    ("system", "limit_mm", "finding"),
    [
        # AWS D1.1 prints 1/32 in (1 mm); 1/32 in are 0.79 mm.
        (LengthSystem.MM, 1.0, Finding.WITHIN),
        (LengthSystem.INCH, 0.79375, Finding.OUTSIDE),
    ],
)
def test_each_of_the_printed_numbers_is_compared_as_printed_and_a_difference_is_told(
    system: LengthSystem, limit_mm: float, finding: Finding
) -> None:
    undercut = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.9, ("heights", 0.02, Scope.STATION)
    )
    limit_set = load_limit_set("aws-d1-1-welder-test", Judging(system=system))
    checks = check([undercut], (), limit_set=limit_set, coupon=CAP)
    told = found(checks, QuantityName.UNDERCUT_DEPTH, "max")
    assert told.finding is finding
    assert_allclose(told.limit_value, limit_mm)
    other = Finding.OUTSIDE if finding is Finding.WITHIN else Finding.WITHIN
    assert f"the printed 1/32 in (1 mm) the finding is {other.value}" in told.note
    assert ("The source prints 1/32 in (1 mm)." in told.note) is (system is LengthSystem.INCH)


def test_the_guard_band_that_was_asked_for_goes_before_that_of_the_set() -> None:
    # Against 1 mm, 0.83 + 0.2 is too much and 0.83 + 0.83 * 0.2 is not.
    undercut = quantity(
        QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.83, ("heights", 0.1, Scope.STATION)
    )
    for rule, finding in (
        (None, Finding.UNDECIDED),
        (DecisionRule.FULL, Finding.UNDECIDED),
        (DecisionRule.NINETY_FIVE, Finding.WITHIN),
    ):
        limit_set = load_limit_set("aws-d1-1-welder-test", Judging(rule=rule))
        checks = check([undercut], (), limit_set=limit_set, coupon=CAP)
        told = found(checks, QuantityName.UNDERCUT_DEPTH, "max")
        assert told.finding is finding
        assert told.rule is (rule or DecisionRule.FULL)


@pytest.mark.parametrize(
    ("width_mm", "finding", "likely"),
    [
        (10.4, Finding.WITHIN, 1.0),
        (9.1, Finding.UNDECIDED, 0.841),
        (8.2, Finding.OUTSIDE, 0.0),
        (12.4, Finding.OUTSIDE, 0.0),
    ],
)
def test_a_limit_with_two_sides_is_one_finding(
    width_mm: float, finding: Finding, likely: float
) -> None:
    between = Limit(
        quantity=QuantityName.WELD_WIDTH,
        statistic=Statistic.MEAN,
        sense=Sense.BETWEEN,
        unit=Unit.MM,
        constant=12.0,
        lowest=9.0,
        source="Shop rule",
        verified=Verified.OWN,
    )
    shop = LimitSet(name="shop", title="Shop", source="Shop", edition="1", limits=(between,))
    width = Quantity(
        name=QuantityName.WELD_WIDTH,
        statistic=Statistic.MEAN,
        value=width_mm,
        unit=Unit.MM,
        count=41,
        budget=(Component(source="scale", standard_uncertainty=0.1, scope=Scope.PHOTO),),
        s_range_mm=(3.0, 43.0),
    )
    (only,) = check([width], (), limit_set=shop, coupon=Coupon())
    assert only.finding is finding
    # Of the normal distribution with u = 0.1 mm, between the two limits.
    assert_allclose(only.conformity_probability, likely, atol=0.001)
    assert limit_words(between) == "shall be between 9 mm and 12 mm"


def test_a_procedures_current_is_judged_and_lies_at_no_place_of_the_weld() -> None:
    card = Limit(
        quantity=QuantityName.MEAN_CURRENT,
        statistic=Statistic.MEAN,
        sense=Sense.AT_MOST,
        unit=Unit.AMPERE,
        constant=70.0,
        source="Shop card",
        verified=Verified.OWN,
    )
    only = LimitSet(name="card", title="Card", source="Card", edition="1", limits=(card,))
    budget = (Component(source="as stated", standard_uncertainty=2.5, scope=Scope.PHOTO),)
    stated = replace(
        quantity(card.quantity, Statistic.MEAN, 78.0, unit=Unit.AMPERE), count=1, budget=budget
    )
    (told,) = check([stated], (), limit_set=only, coupon=CAP)
    assert (told.finding, told.note) == (Finding.OUTSIDE, "")


@pytest.mark.parametrize(
    ("height_mm", "step_mm", "finding", "words"),
    [
        # Against 3.0 mm (B31.3, wall over 6 to 13 mm), U 0.1 mm; a step of 1 mm leaves 0.5 mm open.
        (2.0, 1.0, Finding.WITHIN, "1 mm out of line"),
        (2.7, 1.0, Finding.UNDECIDED, "codes differ in which counts"),
        (3.3, 1.0, Finding.UNDECIDED, "0.5 mm less"),
        (3.9, 1.0, Finding.OUTSIDE, "1 mm out of line"),
        (2.7, 0.2, Finding.WITHIN, ""),  # less than its own U: the parts may be in line
    ],
)
def test_on_parts_that_stand_out_of_line_a_height_is_judged_above_either(
    height_mm: float, step_mm: float, finding: Finding, words: str
) -> None:
    own = ("heights", 0.05, Scope.STATION)
    measured = [
        quantity(QuantityName.FACE_REINFORCEMENT, Statistic.MAX, height_mm, own),
        quantity(
            QuantityName.LINEAR_MISALIGNMENT,
            Statistic.MEAN,
            step_mm,
            ("lines", 0.15, Scope.STATION),
        ),
    ]
    checks = check(measured, (), limit_set=load_limit_set("asme-b31-3-normal"), coupon=CAP)
    told = found(checks, QuantityName.FACE_REINFORCEMENT, "max")
    assert told.finding is finding
    assert words in told.note
    assert ("out of line" in told.note) == bool(words)
