"""Pulse rate, overlap and pitch against published worked examples.

- *Process Fundamentals of Industrial Laser Welding and Cutting*, p. 81: 100 mm/s, spot 1.5 mm,
  80 % overlap: 333 Hz where travel during the pulse is ignored; 300 Hz where it stretches the spot
  and half of the cycle is pulse: *verified in public text*.
- Pulses per second about equal to the travel in inch/min (an article of a power source maker):
  *verified in public text*; that this fixes the pitch at 25.4 mm / 60 = 0.42 mm is worked by hand.
- NPS 8 pipe of 219.1 mm, ripples 1.6 mm apart: 430 pulses round, by hand from the circumference.
"""

import pytest
from numpy.testing import assert_allclose

from beadcheck.arc.pulses import (
    background_for_overlap_s,
    footprint_mm,
    overlap_ratio,
    pulse_rate_hz,
    pulses_round,
    travel_for_overlap_mm,
    travel_per_pulse_mm,
)
from beadcheck.coupon import TorchMotion

SPEED_MM_S, SPOT_MM, OVERLAP, PEAK_SHARE = 100.0, 1.5, 0.80, 0.5
FORMS = [(TorchMotion.STEPPED, 1000.0 / 3.0), (TorchMotion.STEADY, 300.0)]
"""Each form with its pulse rate in Hz; the book prints the first as 333."""


@pytest.mark.parametrize(("motion", "rate_hz"), FORMS)
def test_the_travel_that_gives_the_overlap_makes_the_printed_rate(
    motion: TorchMotion, rate_hz: float
) -> None:
    travel_mm = travel_for_overlap_mm(OVERLAP, SPOT_MM, PEAK_SHARE, motion)
    assert_allclose(pulse_rate_hz(travel_mm / SPEED_MM_S), rate_hz)


@pytest.mark.parametrize(("motion", "rate_hz"), FORMS)
def test_the_printed_rate_makes_the_overlap(motion: TorchMotion, rate_hz: float) -> None:
    travel_mm = travel_per_pulse_mm(SPEED_MM_S, 1.0 / rate_hz)
    assert_allclose(overlap_ratio(SPOT_MM, travel_mm, PEAK_SHARE, motion), OVERLAP)
    # The second form's mark, by hand: 1.5 mm + 100 mm/s * 0.5 / 300 Hz = 1.667 mm.
    mark_mm = 5.0 / 3.0 if motion is TorchMotion.STEADY else 1.5
    assert_allclose(footprint_mm(SPOT_MM, travel_mm, PEAK_SHARE, motion), mark_mm)


@pytest.mark.parametrize(("motion", "rate_hz"), FORMS)
def test_the_pulse_time_that_gives_the_overlap_makes_the_printed_rate(
    motion: TorchMotion, rate_hz: float
) -> None:
    peak_s = PEAK_SHARE / rate_hz
    background_s = background_for_overlap_s(
        OVERLAP, SPOT_MM, speed_mm_s=SPEED_MM_S, peak_s=peak_s, motion=motion
    )
    assert_allclose(pulse_rate_hz(peak_s + background_s), rate_hz)


@pytest.mark.parametrize("inch_per_min", [2.0, 3.7, 8.0])
def test_a_pulse_a_second_for_each_inch_a_minute_is_one_pitch(inch_per_min: float) -> None:
    travel_mm = travel_per_pulse_mm(inch_per_min * 25.4 / 60.0, 1.0 / inch_per_min)
    assert_allclose(travel_mm, 0.42, atol=0.005)  # printed to hundredths


def test_pulses_round_a_pipe_are_its_circumference_over_the_pitch() -> None:
    assert_allclose(pulses_round(219.1, 1.6), 688.3 / 1.6, rtol=1e-4)
