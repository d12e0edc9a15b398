"""Amounts of advice: from what is measured and set, never out of the range that is allowed."""

from dataclasses import replace

import pytest

from beadcheck.advice import Advice, CurrentRange, StatedBy, advise
from beadcheck.arc import ArcSettings, PulsedArc, Reading, SteadyArc, TravelOfRun
from beadcheck.coupon import (
    Coupon,
    Process,
    PulseTimes,
    TimesAre,
    TorchMotion,
    WeldPass,
)
from beadcheck.limits import check, load_limit_set
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.units import Unit

TIMES = PulseTimes(peak_s=0.40, background_s=0.85, times_are=TimesAre.SECONDS)
STICK_CAP = Coupon(process=Process.SMAW, weld_pass=WeldPass.CAP)
ROOT_SIDE = Coupon(process=Process.GTAW_PULSED, weld_pass=WeldPass.ROOT_SIDE)
TIMED_ROOT_SIDE = Coupon(process=Process.GTAW_PULSED, weld_pass=WeldPass.ROOT_SIDE, pulse=TIMES)
AIMED = ArcSettings(wanted_overlap_ratio=0.75)
PULSED_CAP = Coupon(process=Process.GTAW_PULSED, weld_pass=WeldPass.CAP)
TIMED_CAP = Coupon(process=Process.GTAW_PULSED, weld_pass=WeldPass.CAP, pulse=TIMES)


def quantity(
    name: QuantityName,
    value: float,
    *,
    statistic: Statistic = Statistic.MEAN,
    unit: Unit = Unit.MM,
    side: Side | None = None,
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=unit,
        count=23,
        budget=(Component(source="all", standard_uncertainty=0.02, scope=Scope.PHOTO),),
        s_range_mm=(3.0, 41.0),
        side=side,
    )


def overlap(ratio: float) -> Quantity:
    return quantity(QuantityName.PULSE_OVERLAP, ratio, unit=Unit.RATIO)


def spacing(apart_mm: float) -> Quantity:
    return quantity(QuantityName.RIPPLE_SPACING, apart_mm)


def root(highest_mm: float) -> Quantity:
    return quantity(QuantityName.ROOT_REINFORCEMENT, highest_mm, statistic=Statistic.MAX)


def steep() -> Quantity:
    return quantity(
        QuantityName.TOE_ANGLE, 95.0, statistic=Statistic.MIN, unit=Unit.DEG, side=Side.LEFT
    )


def amps(value: float) -> SteadyArc:
    return SteadyArc(current=Reading(value=value, unit=Unit.AMPERE))


def first_advice(*quantities: Quantity, coupon: Coupon, **details) -> Advice:
    checks = check(quantities, (), limit_set=load_limit_set("pipe-coupon"), coupon=coupon)
    return advise(quantities, checks, coupon=coupon, **details)[0]


def test_a_wanted_overlap_is_reached_by_a_step_in_mm() -> None:
    # 3.1 mm apart at 22.5 % overlap: a spot of 4.0 mm, of which 60 % overlap leaves 1.6 mm.
    told = first_advice(
        overlap(0.225),
        spacing(3.1),
        coupon=PULSED_CAP,
        settings=ArcSettings(wanted_overlap_ratio=0.60),
    )
    assert told.change == "Move about 1.6 mm instead of 3.1 mm per pulse, for 60 % overlap."
    assert "seconds" in told.needs


@pytest.mark.parametrize(("ratio", "times"), [(-0.15, "4.6"), (0.40, "2.4"), (0.55, "")])
def test_a_step_that_shrinks_by_more_than_half_is_warned_of_as_heat(ratio, times) -> None:
    # For 75 % a quarter of the spot is stepped on: of 1.15 spots that is 1 / 4.6, of 0.6 1 / 2.4.
    told = first_advice(overlap(ratio), spacing(3.0), coupon=PULSED_CAP, settings=AIMED)
    assert (f"{times} times the heat" in told.look_first) == bool(times)
    assert ("sink through" in told.look_first) == bool(times)


def test_a_torch_that_never_stands_takes_the_stretched_spot_into_account() -> None:
    # Peak 0.40 of 1.25 s: share 0.32. At 40 % overlap the 1.5 mm steps leave marks of 2.5 mm, of
    # which travel made 0.48 mm: a spot of 2.02 mm. For 75 % the step is 2.02 * 0.25 / (1 - 0.08).
    told = first_advice(
        overlap(0.40),
        spacing(1.5),
        coupon=TIMED_CAP,
        settings=ArcSettings(motion=TorchMotion.STEADY),
    )
    assert "about 0.5 mm instead of 1.5 mm" in told.change


@pytest.mark.parametrize(
    ("allowed", "words"),
    [
        (None, "from 90 A to 94 to 99 A, within what the procedure and the electrode allow"),
        (CurrentRange(lowest_a=80.0, highest_a=120.0), "from 90 A to 94 to 99 A."),
        (CurrentRange(lowest_a=80.0, highest_a=95.0), "from 90 A to 94 to 95 A."),
    ],
)
def test_a_higher_current_stays_in_what_is_allowed(allowed, words) -> None:
    # 5 to 10 % of 90 A are 4.5 to 9 A.
    told = first_advice(
        steep(), coupon=STICK_CAP, settings=ArcSettings(arc=amps(90.0)), allowed=allowed
    )
    assert words in told.change


def test_at_the_end_of_the_range_something_else_is_changed() -> None:
    ends = CurrentRange(lowest_a=60.0, highest_a=90.0, stated_by=StatedBy.ELECTRODE)
    told = first_advice(
        steep(), coupon=STICK_CAP, settings=ArcSettings(arc=amps(90.0)), allowed=ends
    )
    assert told.change == "Pause at the left edge until the pool has wetted it."
    unknown = first_advice(steep(), coupon=STICK_CAP, allowed=ends)
    assert "no more than the 90 A that the electrode sets" in unknown.change
    assert "Give the current" in unknown.needs


def test_a_range_that_ends_before_it_begins_is_a_slip() -> None:
    with pytest.raises(ValueError, match="range of current"):
        CurrentRange(lowest_a=120.0, highest_a=80.0)


def test_the_background_follows_the_peak_and_the_mean_moves_with_both() -> None:
    arc = PulsedArc(peak=amps(120.0), background=amps(30.0))
    cap = first_advice(steep(), coupon=TIMED_CAP, settings=ArcSettings(arc=arc))
    # 120 A raised by 5 to 10 A, 7.5 A taken; share 0.32: 0.32 * 120 + 0.68 * 30 = 58.8 A, and with
    # both up by 6.25 % 62.5 A.
    assert "peak current from 120 A to 125 to 130 A" in cap.change
    assert "background kept at 25 % of it, about 32 A: the mean" in cap.change
    assert "from 59 A to about 62 A" in cap.change
    # A machine that sets it in percent lets it follow by itself.
    percent = Reading(value=25.0, unit=Unit.PERCENT)
    follows = ArcSettings(arc=replace(arc, percent=percent))
    assert (
        "25 % of it: the mean" in first_advice(steep(), coupon=TIMED_CAP, settings=follows).change
    )


def test_a_background_that_is_set_in_percent_is_lowered_in_percent() -> None:
    arc = PulsedArc(
        peak=amps(120.0),
        background=amps(36.0),
        percent=Reading(value=30.0, unit=Unit.PERCENT),
    )
    told = first_advice(
        root(2.4), overlap(0.70), spacing(1.2), coupon=ROOT_SIDE, settings=ArcSettings(arc=arc)
    )
    assert "from 30 % of the peak to about 27 % (36 A to about 32 A)" in told.next_change


def test_a_root_that_is_not_through_gets_a_longer_peak_in_seconds() -> None:
    arc = PulsedArc(peak=amps(120.0), background=amps(30.0))
    told = first_advice(root(-0.4), coupon=TIMED_ROOT_SIDE, settings=ArcSettings(arc=arc))
    assert "peak time from 0.40 s to 0.46 s" in told.change
    assert "background time at 0.85 s" in told.change
    # 0.46 of 1.31 s: 0.351 * 120 + 0.649 * 30 = 61.6 A.
    assert "from 59 A to about 62 A" in told.change
    untimed = first_advice(root(-0.4), coupon=ROOT_SIDE)
    assert "by about 15 %" in untimed.change
    assert "seconds" in untimed.needs


@pytest.mark.parametrize("coupon", [ROOT_SIDE, TIMED_ROOT_SIDE])
@pytest.mark.parametrize("ratio", [0.55, 0.85, 0.97, None])
@pytest.mark.parametrize("arc", [None, PulsedArc(peak=amps(120.0), background=amps(30.0))])
def test_a_root_that_stands_too_high_is_never_blamed_on_a_long_background(
    coupon, ratio, arc
) -> None:
    crowd = () if ratio is None else (overlap(ratio), spacing(0.9))
    told = first_advice(root(2.4), *crowd, coupon=coupon, settings=ArcSettings(arc=arc))
    for words in (told.change, told.next_change):
        assert "Shorten the background" not in words
        assert "Raise" not in words
    crowded = ratio is not None and ratio > 0.8
    assert ("per pulse" in told.change) == crowded
    assert ("peak time" in told.change) == (not crowded)
    assert ("Check how far apart" in told.look_first) == (ratio is None)


def test_travel_of_a_stick_run_follows_from_its_length_and_time() -> None:
    run = TravelOfRun(
        length=Reading(value=150.0, unit=Unit.MM), arc_time=Reading(value=75.0, unit=Unit.S)
    )
    high = quantity(QuantityName.FACE_REINFORCEMENT, 4.1, statistic=Statistic.MAX)
    told = first_advice(high, coupon=STICK_CAP, settings=ArcSettings(travel=run))
    assert "132 mm/min instead of 120 mm/min" in told.change
    unknown = first_advice(high, coupon=STICK_CAP)
    assert "run length" in unknown.needs


def test_an_absurd_travel_speed_is_doubted_before_its_number_is_trusted() -> None:
    speed = quantity(QuantityName.TRAVEL_SPEED, 11.0, unit=Unit.MM_PER_S)
    told = first_advice(overlap(0.30), spacing(2.8), speed, coupon=TIMED_CAP)
    assert "660 mm/min is faster than hands usually weld" in told.look_first
    assert "watch" in told.look_first


def test_faster_travel_is_not_advised_where_spots_would_come_apart() -> None:
    high = quantity(QuantityName.FACE_REINFORCEMENT, 4.1, statistic=Statistic.MAX)
    near = first_advice(high, overlap(0.52), spacing(3.4), coupon=TIMED_CAP)
    assert "less wire" in near.change
    far = first_advice(high, overlap(0.72), spacing(2.0), coupon=TIMED_CAP)
    assert "2.20 mm instead of 2.00 mm" in far.change


def test_a_travel_that_no_hand_holds_is_told_of_before_it_is_tried() -> None:
    speed = quantity(QuantityName.TRAVEL_SPEED, 1.5, unit=Unit.MM_PER_S)
    # 90 mm/min at 60 % overlap; 90 % leaves a quarter of the step, and 22 mm/min.
    told = first_advice(
        overlap(0.60),
        spacing(1.9),
        speed,
        coupon=TIMED_CAP,
        settings=ArcSettings(wanted_overlap_ratio=0.90),
    )
    assert "22 mm/min instead of 90 mm/min" in told.change
    assert "22 mm/min is slower than hands usually weld with GTAW" in told.look_first
    assert "watch" not in told.look_first
