"""Advice: only from measured facts, only beyond their uncertainty, at most three, one per habit."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.advice import Advice, Basis, advise
from beadcheck.coupon import Coupon, Process, PulseCycle, WeldPass
from beadcheck.limits import check, load_limit_set
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.units import Unit

CAP = Coupon(weld_pass=WeldPass.CAP)
PULSED = Coupon(
    process=Process.GTAW_PULSED,
    weld_pass=WeldPass.CAP,
    pulse=PulseCycle(peak_s=0.3, background_s=0.9),
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
    assert only.basis is Basis.PRACTICE


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


def test_pulse_spots_that_do_not_touch_come_first_with_a_pulse_time_that_mends_it() -> None:
    first, *_ = advice_on(overlap(-0.10), *widths(8.0, 1.5), coupon=PULSED)
    assert "-10 %" in first.symptom
    # Overlap 1 - v T / L: from -0.10 to 0.75 the period falls from 1.2 s to 1.2 * 0.25 / 1.10
    # = 0.27 s, less than the peak time alone, so the travel must slow down instead.
    assert "23 % of your present speed" in first.change
    milder, *_ = advice_on(overlap(0.40), coupon=PULSED)
    # 1.2 s * 0.25 / 0.60 = 0.50 s, less 0.30 s of peak.
    assert "from 0.90 s to about 0.20 s" in milder.change


def test_a_known_travel_speed_is_given_as_a_number() -> None:
    speed = quantity(QuantityName.TRAVEL_SPEED, Statistic.MEAN, 2.4, unit=Unit.MM_PER_S)
    (only,) = advice_on(overlap(0.20), speed)
    assert "about 0.8 mm/s instead of 2.4 mm/s" in only.change  # 2.4 * 0.25 / 0.80 = 0.75


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
