"""Advice: only from measured facts, only beyond their uncertainty, at most three, one a lever."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.advice import Advice, Basis, Sureness, Urgency, advise
from beadcheck.coupon import Coupon, Process, PulseTimes, TimesAre, WeldPass
from beadcheck.limits import Limit, LimitSet, Sense, Verified, check, load_limit_set
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.units import Unit

CAP = Coupon(weld_pass=WeldPass.CAP)
PULSED = Coupon(
    process=Process.GTAW_PULSED,
    weld_pass=WeldPass.CAP,
    pulse=PulseTimes(peak_s=0.3, background_s=0.9, times_are=TimesAre.SECONDS),
)


def quantity(
    name: QuantityName,
    statistic: Statistic,
    value: float,
    *,
    expanded: float = 0.05,
    side: Side | None = None,
    unit: Unit = Unit.MM,
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=unit,
        count=61,
        budget=(Component(source="all", standard_uncertainty=expanded / 2.0, scope=Scope.STATION),),
        s_range_mm=(4.0, 65.0),
        side=side,
    )


def widths(mean: float, sd: float, *, expanded: float = 0.05) -> list[Quantity]:
    name = QuantityName.WELD_WIDTH
    return [
        quantity(name, Statistic.MEAN, mean),
        quantity(name, Statistic.SD, sd, expanded=expanded),
        quantity(name, Statistic.MIN, mean - 2.0 * sd),
        quantity(name, Statistic.MAX, mean + 2.0 * sd),
    ]


def waviness(left: float, right: float, *, expanded: float = 0.1) -> list[Quantity]:
    return [
        quantity(QuantityName.TOE_WAVINESS, Statistic.SD, value, expanded=expanded, side=side)
        for side, value in ((Side.LEFT, left), (Side.RIGHT, right))
    ]


def ripples(mean: float, sd: float, longest: float) -> list[Quantity]:
    name = QuantityName.RIPPLE_SPACING
    return [
        quantity(name, Statistic.MEAN, mean, expanded=0.02),
        quantity(name, Statistic.SD, sd, expanded=0.02),
        quantity(name, Statistic.MAX, longest, expanded=0.1),
    ]


def overlap(value: float, *, expanded: float = 0.06) -> Quantity:
    return quantity(
        QuantityName.PULSE_OVERLAP, Statistic.MEAN, value, expanded=expanded, unit=Unit.RATIO
    )


def advice_on(*quantities: Quantity, coupon: Coupon = CAP) -> tuple[Advice, ...]:
    checks = check(quantities, (), limit_set=load_limit_set("pipe-coupon"), coupon=coupon)
    return advise(quantities, checks, coupon=coupon)


def test_an_even_weld_gets_no_advice() -> None:
    even = [
        *widths(9.9, 0.15),
        *waviness(0.1, 0.12),
        *ripples(1.4, 0.12, 1.7),
        quantity(QuantityName.CENTRELINE_DEVIATION, Statistic.MAX, 0.3),
        overlap(0.75),
    ]
    assert advice_on(*even) == ()
    assert advice_on() == ()


def test_an_uneven_stringer_is_told_to_keep_its_speed_with_the_numbers() -> None:
    (only,) = advice_on(*widths(8.0, 0.7))
    for number in ("6.6 mm", "9.4 mm", "8.0 mm"):
        assert number in only.symptom
    assert "speed" in only.change
    assert Basis.PRACTICE in only.basis


def test_an_uneven_weave_is_told_to_count_its_beat() -> None:
    (only,) = advice_on(*widths(14.0, 0.8))
    assert "weave" in only.change


@pytest.mark.parametrize(("expanded", "count"), [(0.05, 1), (0.5, 0)])
def test_what_the_uncertainty_could_explain_gets_no_advice(expanded: float, count: int) -> None:
    assert len(advice_on(*widths(9.0, 0.7, expanded=expanded))) == count


def test_a_toe_that_is_clearly_worse_is_named() -> None:
    (worse,) = advice_on(*waviness(0.9, 0.3))
    assert "left toe" in worse.symptom
    assert "0.9 mm" in worse.symptom
    assert "left edge" in worse.change
    (alike,) = advice_on(*waviness(0.9, 0.85))
    assert "both edges" in alike.change


def test_ripples_are_told_apart_into_uneven_rhythm_and_one_jump() -> None:
    (rhythm,) = advice_on(*ripples(1.4, 0.4, 2.5))
    assert "0.40 mm" in rhythm.symptom
    (jump,) = advice_on(*ripples(1.4, 0.15, 4.4))
    assert "4.4 mm" in jump.symptom


def test_a_wandering_weld_is_told_by_how_much_over_what_length() -> None:
    (only,) = advice_on(quantity(QuantityName.CENTRELINE_DEVIATION, Statistic.MAX, 2.2))
    assert "2.2 mm" in only.symptom
    assert "61 mm" in only.symptom


@pytest.mark.parametrize(
    ("width_mm", "words"), [(8.0, "too narrow"), (13.0, "too wide"), (10.4, "")]
)
def test_of_two_limits_the_nearer_one_is_told(width_mm: float, words: str) -> None:
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
    found = widths(width_mm, 0.1)
    told = advise(found, check(found, (), limit_set=shop, coupon=CAP), coupon=CAP)
    seen = [each.symptom for each in told if "too " in each.symptom]
    assert bool(seen) is bool(words)
    assert all(words in each for each in seen)


def test_pulse_spots_that_do_not_touch_come_first_with_the_step_that_mends_it() -> None:
    first, *_ = advice_on(overlap(-0.10), *widths(8.0, 1.5), coupon=PULSED)
    assert "-10 %" in first.symptom
    assert first.urgency is Urgency.UNWELDED
    # Overlap 1 - step / spot: from -0.10 to 0.75 the step falls to 0.25 / 1.10 = 23 % of itself.
    assert "about 23 % of your present step" in first.change
    # 4.4 mm steps on a 4.0 mm spot; 75 % of it leaves 1.0 mm.
    known, *_ = advice_on(overlap(-0.10), *ripples(4.4, 0.1, 4.9), coupon=PULSED)
    assert "about 1.0 mm instead of 4.4 mm per pulse" in known.change


def test_a_known_travel_speed_is_given_as_a_number() -> None:
    speed = quantity(QuantityName.TRAVEL_SPEED, Statistic.MEAN, 2.4, unit=Unit.MM_PER_S)
    (only,) = advice_on(overlap(0.20), speed, coupon=PULSED)
    # 2.4 mm/s * 60 = 144 mm/min; * 0.25 / 0.80 = 45 mm/min.
    assert "45 mm/min instead of 144 mm/min" in only.change


@pytest.mark.parametrize(
    ("value", "expanded", "count"),
    [(0.40, 0.05, 1), (0.48, 0.05, 0), (0.75, 0.05, 0), (0.93, 0.05, 0), (0.97, 0.02, 1)],
)
def test_overlap_near_the_aim_or_within_its_uncertainty_is_left_alone(
    value: float, expanded: float, count: int
) -> None:
    assert len(advice_on(overlap(value, expanded=expanded), coupon=PULSED)) == count


def test_a_width_outside_its_limit_comes_before_other_unevenness() -> None:
    outside = widths(9.0, 1.2)
    first, *_ = advice_on(
        *outside, quantity(QuantityName.CENTRELINE_DEVIATION, Statistic.MAX, 30.0)
    )
    assert "uneven in width" in first.symptom


positive = st.floats(0.01, 20.0)


@given(
    mean=st.floats(2.0, 25.0),
    sd=st.floats(0.0, 0.9),
    left=positive,
    right=positive,
    wander=positive,
    spacing=st.floats(0.2, 5.0),
    spread=positive,
    ratio=st.floats(-3.0, 1.0),
    coupon=st.sampled_from([CAP, PULSED, Coupon()]),
)
def test_there_are_never_more_than_three_and_each_says_all_three_things(
    mean: float,
    sd: float,
    left: float,
    right: float,
    wander: float,
    spacing: float,
    spread: float,
    ratio: float,
    coupon: Coupon,
) -> None:
    advice = advice_on(
        *widths(mean, sd),
        *waviness(left, right),
        *ripples(spacing, spread, spacing + spread),
        quantity(QuantityName.CENTRELINE_DEVIATION, Statistic.MAX, wander),
        overlap(ratio),
        coupon=coupon,
    )
    assert len(advice) <= 3
    assert len({each.change for each in advice}) == len(advice)
    for each in advice:
        assert re.search(r"\d", each.symptom), "advice gives its number"
        for sentence in (each.symptom, each.change, each.why):
            assert sentence.endswith(".")
            assert "nan" not in sentence


def height_advice(name: QuantityName, value: float, **details) -> list[Advice]:
    statistic = details.pop("statistic", Statistic.MAX)
    return list(advice_on(quantity(name, statistic, value, **details)))


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        (QuantityName.FACE_REINFORCEMENT, 3.6, "3.6 mm above the base metal"),
        (QuantityName.UNDERFILL, 0.7, "0.7 mm below the base metal"),
        (QuantityName.UNDERCUT_DEPTH, 0.9, "0.9 mm at its deepest"),
        (QuantityName.LINEAR_MISALIGNMENT, 2.1, "2.1 mm out of line"),
    ],
)
def test_a_height_that_is_surely_too_much_gets_one_change(name, value, words) -> None:
    (told,) = height_advice(name, value)
    assert words in told.symptom
    assert told.sure is Sureness.SURE
    assert height_advice(name, value, expanded=value) == []


def test_undercut_advice_names_the_edge_where_it_is() -> None:
    depths = [
        quantity(QuantityName.UNDERCUT_DEPTH, Statistic.MAX, depth, side=side)
        for side, depth in ((Side.LEFT, 0.3), (Side.RIGHT, 1.1))
    ]
    (told,) = advice_on(*depths)
    assert "right edge" in told.symptom
    assert "right edge" in told.change


@pytest.mark.parametrize(("angle_deg", "told"), [(95.0, 1), (108.0, 0), (150.0, 0)])
def test_a_toe_that_is_surely_steep_gets_advice(angle_deg: float, told: int) -> None:
    name = QuantityName.TOE_ANGLE
    # 108 is below 110, but not by more than its U of 5 degrees.
    steep = height_advice(
        name, angle_deg, statistic=Statistic.MIN, unit=Unit.DEG, expanded=5.0, side=Side.LEFT
    )
    assert len(steep) == told


def test_a_cap_is_either_too_high_or_too_low_in_the_advice() -> None:
    both = (
        quantity(QuantityName.FACE_REINFORCEMENT, Statistic.MAX, 3.5),
        quantity(QuantityName.UNDERFILL, Statistic.MAX, 0.9),
    )
    (told,) = advice_on(*both)
    # Missing metal comes first, and the piece says what would ask for the opposite.
    assert "below the base metal" in told.symptom
    assert "3.5 mm above the base metal" in told.look_first
    assert "opposite" in told.look_first
