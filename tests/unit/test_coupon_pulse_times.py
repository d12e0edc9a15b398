"""Pulse times exist only once somebody has said that they are seconds."""

import pytest
from numpy.testing import assert_allclose

from beadcheck.arc import times_question, what_follows
from beadcheck.coupon import PanelTimes, Process, PulseTimes, TimesAre
from beadcheck.errors.arc import DialMarksError, UnconfirmedTimesError

PANEL = PanelTimes(peak=0.4, background=0.35)


def test_times_cannot_be_made_without_an_answer() -> None:
    with pytest.raises(TypeError, match="times_are"):
        PulseTimes(peak_s=0.4, background_s=0.35)  # type: ignore[call-arg]
    with pytest.raises(UnconfirmedTimesError, match=r"0\.4 and 0\.35"):
        PulseTimes(peak_s=0.4, background_s=0.35, times_are=TimesAre.DIAL_MARKS)


def test_the_answer_seconds_makes_times() -> None:
    times = PANEL.confirmed(TimesAre.SECONDS)
    assert_allclose(times.period_s, 0.75)
    assert_allclose(times.peak_share, 0.4 / 0.75)


def test_dial_marks_make_no_times_and_are_told_how_to_get_them() -> None:
    with pytest.raises(DialMarksError, match="Time ten pulses with a watch"):
        PANEL.confirmed(TimesAre.DIAL_MARKS)


@pytest.mark.parametrize(("peak", "background"), [(0.0, 1.0), (1.0, 60.0), (-1.0, 1.0)])
def test_times_that_make_no_pulse_are_refused(peak: float, background: float) -> None:
    with pytest.raises(ValueError, match="above 0 and below 60"):
        PanelTimes(peak=peak, background=background).confirmed(TimesAre.SECONDS)


def test_the_question_shows_the_travel_that_follows_beside_what_is_usual() -> None:
    asked = times_question(PANEL, Process.GTAW_PULSED, ripples_mm=1.5)
    # 1 / 0.75 s, and 1.5 mm / 0.75 s * 60.
    for words in ("0.4 (peak)", "0.35 (background)", "1.3 pulses", "120 mm/min", "51 to 203"):
        assert words in asked
    assert asked.startswith("Are ")
    assert "dial" in asked


def test_the_travel_of_a_weave_is_half_as_fast() -> None:
    assert "60 mm/min" in what_follows(PANEL, None, ripples_mm=1.5, pulses=2)
    assert "mm/min" not in what_follows(PANEL, Process.GTAW_PULSED, ripples_mm=None)
