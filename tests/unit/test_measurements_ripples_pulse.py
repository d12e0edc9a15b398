"""Pulse overlap and travel speed."""

import math
from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Process, PulseTimes, TimesAre, TorchMotion, Weave
from beadcheck.errors.arc import WeaveWithoutPausesError
from beadcheck.measurements.pulse import SPOT_ROUNDNESS, least_overlap, pulse_quantities
from beadcheck.quantity import Component, NotMeasured, Quantity, QuantityName, Scope, Statistic
from beadcheck.units import Unit


def mean_of(name: QuantityName, value: float, u: float) -> Quantity:
    return Quantity(
        name=name,
        statistic=Statistic.MEAN,
        value=value,
        unit=Unit.MM,
        count=30,
        budget=(Component(source="all", standard_uncertainty=u, scope=Scope.PHOTO),),
        s_range_mm=(2.0, 50.0),
    )


SPACING = mean_of(QuantityName.RIPPLE_SPACING, 1.5, 0.01)
WIDTH = mean_of(QuantityName.WELD_WIDTH, 6.0, 0.05)
CYCLE = PulseTimes(peak_s=0.4, background_s=0.35, times_are=TimesAre.SECONDS)
NO_RIPPLES = NotMeasured(
    name=QuantityName.RIPPLE_SPACING, reason="No ripples.", how_to="Come closer."
)


def test_overlap_is_one_less_spacing_over_spot_length() -> None:
    overlap, _ = pulse_quantities(SPACING, WIDTH, CYCLE, Process.GTAW_PULSED)
    assert isinstance(overlap, Quantity)
    assert overlap.name is QuantityName.PULSE_OVERLAP
    assert overlap.unit is Unit.RATIO
    assert_allclose(overlap.value, 0.75)
    # GUM 5.1.2 by hand: spacing 0.01 / 6, width 0.25 / 6 * 0.05, spot 0.25 * 0.10 / sqrt 3.
    expected = math.hypot(0.01 / 6.0, 0.25 / 6.0 * 0.05, 0.25 * SPOT_ROUNDNESS / math.sqrt(3.0))
    assert_allclose(overlap.standard_uncertainty, expected)


def test_spots_that_do_not_meet_give_an_overlap_below_zero() -> None:
    wide = mean_of(QuantityName.RIPPLE_SPACING, 7.5, 0.05)
    overlap, _ = pulse_quantities(wide, WIDTH, None, Process.GTAW_PULSED)
    assert isinstance(overlap, Quantity)
    assert_allclose(overlap.value, -0.25)


def test_the_longest_step_gives_the_least_overlap_with_its_own_doubt() -> None:
    longest = replace(SPACING, statistic=Statistic.MAX, value=6.6)
    (least,) = least_overlap([SPACING, longest], WIDTH, CYCLE, Process.GTAW_PULSED)
    assert least.statistic is Statistic.MIN
    # A step of 6.6 mm on a spot of 6.0 mm leaves a tenth of a spot unwelded.
    assert_allclose(least.value, -0.10)
    expected = math.hypot(0.01 / 6.0, 1.1 / 6.0 * 0.05, 1.1 * SPOT_ROUNDNESS / math.sqrt(3.0))
    assert_allclose(least.standard_uncertainty, expected)
    assert least_overlap([SPACING], WIDTH, CYCLE, Process.GTAW_PULSED) == ()
    assert least_overlap([SPACING, longest], WIDTH, CYCLE, Process.GTAW) == ()
    woven = {"motion": TorchMotion.STEPPED, "weave": Weave.ALTERNATING}
    assert least_overlap([longest], WIDTH, CYCLE, Process.GTAW_PULSED, **woven) == ()


def test_travel_speed_is_spacing_over_the_pulse_period() -> None:
    _, speed = pulse_quantities(SPACING, WIDTH, CYCLE, Process.GTAW_PULSED)
    assert isinstance(speed, Quantity)
    assert speed.unit is Unit.MM_PER_S
    assert_allclose(speed.value, 2.0)
    relative = math.hypot(0.01 / 1.5, 0.01 / math.sqrt(3.0))
    assert_allclose(speed.standard_uncertainty / speed.value, relative)


def test_travel_speed_needs_the_pulse_cycle() -> None:
    _, speed = pulse_quantities(SPACING, WIDTH, None, Process.GTAW_PULSED)
    assert isinstance(speed, NotMeasured)
    assert speed.name is QuantityName.TRAVEL_SPEED
    assert "peak and background" in speed.how_to


@pytest.mark.parametrize("process", [None, Process.GTAW, Process.SMAW, Process.GMAW])
def test_nothing_is_derived_from_ripples_that_no_pulse_made(process: Process | None) -> None:
    assert pulse_quantities(SPACING, WIDTH, CYCLE, process) == ()


def test_what_is_missing_is_passed_on_under_the_right_name() -> None:
    overlap, speed = pulse_quantities(NO_RIPPLES, WIDTH, CYCLE, Process.GTAW_PULSED)
    assert isinstance(overlap, NotMeasured)
    assert isinstance(speed, NotMeasured)
    assert (overlap.name, speed.name) == (QuantityName.PULSE_OVERLAP, QuantityName.TRAVEL_SPEED)
    assert overlap.reason == speed.reason == NO_RIPPLES.reason


def test_a_torch_that_never_stands_stretches_the_spot() -> None:
    overlap, _ = pulse_quantities(
        SPACING, WIDTH, CYCLE, Process.GTAW_PULSED, motion=TorchMotion.STEADY
    )
    assert isinstance(overlap, Quantity)
    # By hand: the mark is 6.0 + 1.5 * 0.4 / 0.75 = 6.8 mm.
    assert_allclose(overlap.value, 1.0 - 1.5 / 6.8)
    # Slopes of p / (d + p D): d / mark^2 by the spacing, p / mark^2 by the spot.
    spot = 1.5 / 6.8**2
    expected = math.hypot(
        0.01 * 6.0 / 6.8**2, 0.05 * spot, 6.0 * spot * SPOT_ROUNDNESS / math.sqrt(3.0)
    )
    assert_allclose(overlap.standard_uncertainty, expected)


def test_a_stretched_spot_needs_the_pulse_times() -> None:
    overlap, _ = pulse_quantities(
        SPACING, WIDTH, None, Process.GTAW_PULSED, motion=TorchMotion.STEADY
    )
    assert isinstance(overlap, NotMeasured)
    assert "in seconds" in overlap.how_to


def test_the_middle_line_of_a_weave_gives_neither_overlap_nor_speed() -> None:
    overlap, speed = pulse_quantities(
        SPACING, WIDTH, CYCLE, Process.GTAW_PULSED, weave=Weave.ALTERNATING
    )
    for each in (overlap, speed):
        assert isinstance(each, NotMeasured)
        assert "not one per pulse" in each.reason
        assert "along one edge" in each.how_to


def test_a_weave_of_a_torch_that_never_stands_is_refused() -> None:
    with pytest.raises(WeaveWithoutPausesError):
        pulse_quantities(
            SPACING,
            WIDTH,
            CYCLE,
            Process.GTAW_PULSED,
            motion=TorchMotion.STEADY,
            weave=Weave.ALTERNATING,
        )
