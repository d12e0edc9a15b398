"""What follows from settings, and what they still need."""

import math

import pytest
from numpy.testing import assert_allclose

from beadcheck.arc import (
    Answer,
    ArcSettings,
    Asked,
    CountedEnergy,
    PulsedArc,
    ShownPower,
    SteadyArc,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
    Unanswered,
    answers,
    background_of,
)
from beadcheck.arc.stated import (
    ARC_TIME,
    BACKGROUND_CURRENT,
    BACKGROUND_PERCENT,
    BACKGROUND_VOLTS,
    ENERGY,
    PEAK_CURRENT,
    PEAK_VOLTS,
    POWER,
    PULSE_TIMES,
    RUN_LENGTH,
    SPACING,
    SPOT,
    TRAVEL_SPEED,
)
from beadcheck.coupon import Process, PulseTimes, RippleLine, TimesAre, TorchMotion, Weave
from beadcheck.errors.arc import BackgroundAbovePeakError, RipplesOfWeaveError

TIMES = PulseTimes(peak_s=0.4, background_s=0.6, times_are=TimesAre.SECONDS)
PULSED = PulsedArc(
    peak=SteadyArc(current=PEAK_CURRENT.reading(150.0, 4.0), volts=PEAK_VOLTS.reading(13.0, 0.5)),
    background=SteadyArc(
        current=BACKGROUND_CURRENT.reading(40.0, 2.0), volts=BACKGROUND_VOLTS.reading(9.0, 0.5)
    ),
)
RIPPLES = TravelByRipples(spacing=SPACING.reading(1.5, 0.03))


def found(settings: ArcSettings) -> dict[Asked, Answer | Unanswered]:
    return {each.asked: each for each in answers(settings)}


def value(answer: Answer | Unanswered) -> float:
    assert isinstance(answer, Answer)
    return answer.reading.value


def test_a_pulsed_pass_gives_current_power_travel_and_heat() -> None:
    all_of_it = found(
        ArcSettings(process=Process.GTAW_PULSED, arc=PULSED, times=TIMES, travel=RIPPLES)
    )
    # By hand: 0.4 * 150 + 0.6 * 40; 0.4 * 150 * 13 + 0.6 * 40 * 9; 1.5 mm / 1.0 s; 996 / 1500.
    expected = {
        Asked.MEAN_CURRENT: 84.0,
        Asked.MEAN_POWER: 996.0,
        Asked.TRAVEL_SPEED: 1.5,
        Asked.ARC_ENERGY: 0.664,
        Asked.HEAT_INPUT: 0.3984,
        Asked.PULSE_RATE: 1.0,
        Asked.PEAK_SHARE: 0.4,
        Asked.TRAVEL_PER_PULSE: 1.5,
    }
    assert set(all_of_it) == set(expected)
    for asked, number in expected.items():
        assert_allclose(value(all_of_it[asked]), number)


def test_the_clock_of_the_machine_counts_once_in_the_arc_energy() -> None:
    energy = found(ArcSettings(arc=PULSED, times=TIMES, travel=RIPPLES))[Asked.ARC_ENERGY]
    assert isinstance(energy, Answer)
    by_source = {each.source: each.standard_uncertainty for each in energy.reading.budget}
    # Energy per pulse over spacing: the period's 1 %, rectangular, comes in through the speed; the
    # peak's share is free of it.
    expected = energy.reading.value * PULSE_TIMES / math.sqrt(3.0)
    assert_allclose(by_source["pulse times as set"], expected, rtol=1e-6)


def test_a_background_in_percent_follows_the_peak_with_its_doubt() -> None:
    peak = PEAK_CURRENT.reading(120.0, 6.0)
    background = background_of(peak, BACKGROUND_PERCENT.reading(25.0, 1e-6))
    arc = PulsedArc(peak=SteadyArc(current=peak), background=SteadyArc(current=background))
    mean = found(ArcSettings(arc=arc, times=TIMES))[Asked.MEAN_CURRENT]
    assert isinstance(mean, Answer)
    # 0.4 * 120 + 0.6 * 30, and all of it in proportion to the peak.
    assert_allclose(mean.reading.value, 66.0)
    assert_allclose(mean.reading.expanded_uncertainty, 66.0 * 6.0 / 120.0, rtol=1e-5)


def test_shown_power_and_counted_energy_give_the_arc_energy_too() -> None:
    run = TravelOfRun(length=RUN_LENGTH.reading(155.0), arc_time=ARC_TIME.reading(62.0))
    of_power = found(ArcSettings(arc=ShownPower(power=POWER.reading(996.0)), travel=run))
    counted = CountedEnergy(energy=ENERGY.reading(61.752), length=RUN_LENGTH.reading(155.0))
    of_energy = found(ArcSettings(arc=counted))
    # By hand: 996 W / 2.5 mm/s; 996 W for 62 s over 155 mm.
    assert_allclose(value(of_power[Asked.ARC_ENERGY]), 0.3984)
    assert_allclose(value(of_energy[Asked.ARC_ENERGY]), 0.3984)


def test_a_run_and_its_arc_time_give_the_travel() -> None:
    run = TravelOfRun(length=RUN_LENGTH.reading(155.0), arc_time=ARC_TIME.reading(62.0))
    speed = found(ArcSettings(process=Process.SMAW, travel=run))[Asked.TRAVEL_SPEED]
    assert_allclose(value(speed), 2.5)


@pytest.mark.parametrize(
    ("settings", "asked", "words"),
    [
        (ArcSettings(arc=PULSED), Asked.MEAN_CURRENT, "pulse times in seconds"),
        (ArcSettings(arc=PULSED, times=TIMES), Asked.ARC_ENERGY, "travel speed"),
        (ArcSettings(arc=PULSED, times=TIMES, travel=RIPPLES), Asked.HEAT_INPUT, "process"),
        (ArcSettings(travel=RIPPLES), Asked.TRAVEL_SPEED, "pulse times in seconds"),
        (
            ArcSettings(travel=RIPPLES, times=TIMES, spot=SPOT.reading(4.0)),
            Asked.PULSE_OVERLAP,
            "stands on the peak",
        ),
        (
            ArcSettings(travel=RIPPLES, spot=SPOT.reading(4.0), motion=TorchMotion.STEADY),
            Asked.PULSE_OVERLAP,
            "pulse times in seconds",
        ),
        (
            ArcSettings(wanted_overlap_ratio=0.75, motion=TorchMotion.STEPPED),
            Asked.WANTED_TRAVEL_PER_PULSE,
            "spot length",
        ),
    ],
)
def test_what_is_missing_is_named(settings: ArcSettings, asked: Asked, words: str) -> None:
    answer = found(settings)[asked]
    assert isinstance(answer, Unanswered)
    assert words in answer.needs


def test_spots_too_far_apart_are_told_the_travel_that_mends_it() -> None:
    given = ArcSettings(
        travel=TravelByRipples(spacing=SPACING.reading(3.1)),
        times=TIMES,
        spot=SPOT.reading(4.0),
        motion=TorchMotion.STEPPED,
        wanted_overlap_ratio=0.60,
    )
    all_of_it = found(given)
    # By hand: 1 - 3.1 / 4.0; 4.0 * 0.4; per second; 4.0 * 0.4 / 3.1 mm/s - 0.4 s.
    assert_allclose(value(all_of_it[Asked.PULSE_OVERLAP]), 0.225)
    assert_allclose(value(all_of_it[Asked.WANTED_TRAVEL_PER_PULSE]), 1.6)
    assert_allclose(value(all_of_it[Asked.WANTED_TRAVEL_SPEED]), 1.6)
    assert_allclose(value(all_of_it[Asked.WANTED_BACKGROUND_TIME]), 1.6 / 3.1 - 0.4)


def test_a_wanted_overlap_that_leaves_no_background_asks_for_slower_travel() -> None:
    given = ArcSettings(
        travel=TravelAtSpeed(speed=TRAVEL_SPEED.reading(3.0)),
        times=TIMES,
        spot=SPOT.reading(4.0),
        motion=TorchMotion.STEPPED,
        wanted_overlap_ratio=0.90,
    )
    background = found(given)[Asked.WANTED_BACKGROUND_TIME]
    assert isinstance(background, Unanswered)
    assert "slower travel" in background.needs


def test_a_weave_takes_the_spots_of_one_edge() -> None:
    edge = TravelByRipples(spacing=SPACING.reading(3.0), line=RippleLine.EDGE)
    given = ArcSettings(
        travel=edge,
        times=TIMES,
        spot=SPOT.reading(4.0),
        motion=TorchMotion.STEPPED,
        weave=Weave.ALTERNATING,
        wanted_overlap_ratio=0.75,
        outside_diameter_mm=219.1,
    )
    all_of_it = found(given)
    # By hand: 3.0 mm are two pulses of 1.0 s; spots of an edge 3.0 mm apart on 4.0 mm; for 75 %
    # they lie 1.0 mm apart, 0.5 mm a pulse; pi * 219.1 / 1.5.
    assert_allclose(value(all_of_it[Asked.TRAVEL_SPEED]), 1.5)
    assert_allclose(value(all_of_it[Asked.TRAVEL_PER_PULSE]), 1.5)
    assert_allclose(value(all_of_it[Asked.PULSE_OVERLAP]), 0.25)
    assert_allclose(value(all_of_it[Asked.WANTED_TRAVEL_PER_PULSE]), 0.5)
    assert_allclose(value(all_of_it[Asked.PULSES_ROUND_PIPE]), math.pi * 219.1 / 1.5)


def test_ripples_on_the_middle_line_of_a_weave_give_no_travel() -> None:
    with pytest.raises(RipplesOfWeaveError):
        ArcSettings(travel=RIPPLES, times=TIMES, weave=Weave.ALTERNATING)


def test_a_background_that_is_no_less_than_the_peak_is_refused() -> None:
    level = SteadyArc(current=PEAK_CURRENT.reading(90.0))
    with pytest.raises(BackgroundAbovePeakError, match="90 A"):
        PulsedArc(peak=level, background=level)
