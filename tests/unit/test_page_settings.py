"""Settings as a browser sends them: each understood, refused in a sentence, or asked about."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.arc import PulsedArc, SteadyArc, TravelOfRun
from beadcheck.coupon import PanelTimes, PulseTimes, TimesAre, WeldPass
from beadcheck.errors import BeadcheckError, SettingError
from beadcheck_page.arc_entries import asked_of_times
from beadcheck_page.bench import Bench
from beadcheck_page.entries import Entries
from beadcheck_page.understanding import understood
from beadcheck_page.visits import Visits

PULSED = Entries(
    process="gtaw-pulsed", peak_current=120, background_current=30, background_in="%", volts=11
)
ANYTHING = st.none() | st.booleans() | st.floats() | st.text(max_size=4) | st.just("-")


@given(
    times=st.tuples(ANYTHING, ANYTHING, ANYTHING),
    amps=st.tuples(ANYTHING, ANYTHING, ANYTHING),
    run=st.tuples(ANYTHING, ANYTHING, ANYTHING),
)
def test_whatever_is_sent_is_understood_or_refused_in_one_sentence(times, amps, run) -> None:
    entries = replace(
        PULSED,
        peak_s=times[0],
        background_s=times[1],
        times_are=times[2],
        peak_current=amps[0],
        lowest_current=amps[1],
        highest_current=amps[2],
        run_length=run[0],
        arc_time=run[1],
        wanted_overlap=run[2],
    )
    said = asked_of_times(entries, None)
    try:
        understood(entries, limit_names=())
    except BeadcheckError as refused:
        said += str(refused)
    assert "\n" not in said


def test_peak_and_background_in_percent_are_kept_as_set() -> None:
    arc = understood(PULSED, limit_names=()).arc.arc
    assert isinstance(arc, PulsedArc)
    assert_allclose(arc.background.current.value, 36.0)
    assert arc.percent is not None
    assert arc.percent.value == 30.0


def test_fields_that_do_not_show_do_not_count() -> None:
    stick = understood(replace(PULSED, process="smaw", current=90, volts=None), limit_names=())
    assert isinstance(stick.arc.arc, SteadyArc)
    assert stick.arc.motion is None
    assert stick.coupon.pulse is None


def test_a_run_in_inches_is_understood_in_mm() -> None:
    told = understood(Entries(unit="inch", run_length=6, arc_time=40), limit_names=())
    assert isinstance(told.arc.travel, TravelOfRun)
    assert_allclose(told.arc.travel.length.value, 152.4)


@pytest.mark.parametrize(
    ("answer", "kind"), [(None, PanelTimes), ("dial-marks", PanelTimes), ("seconds", PulseTimes)]
)
def test_times_are_seconds_only_where_somebody_says_so(answer, kind) -> None:
    entries = replace(PULSED, peak_s=0.4, background_s=0.6, times_are=answer)
    coupon = understood(entries, limit_names=()).coupon
    assert isinstance(coupon.pulse or coupon.panel_times, kind)
    assert "1 pulse a second" in asked_of_times(entries, None)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"peak_s": 0.4}, "One of the two pulse times"),
        ({"peak_current": None}, "peak or the background current"),
        ({"peak_current": 20, "background_in": "A"}, "not below the peak"),
        ({"background_current": 140}, "between 1 and 99"),
        ({"volts": None, "background_volts": 9}, "voltage on the peak"),
        ({"wanted_overlap": 100}, "less than 100 %"),
        ({"lowest_current": 90}, "One end of the currents allowed"),
        ({"lowest_current": 130, "highest_current": 90}, "range of current"),
        ({"run_length": 120}, "run length or the arc time"),
        ({"motion": "steady", "weave": "alternating"}, "contradict"),
        ({"motion": "hops"}, "not one of the choices"),
        ({"polarity": "dc"}, "not one of the choices"),
        ({"layer": 2.5}, "whole number from 1 to 99"),
        ({"bead": 1e300}, "whole number from 1 to 99"),
        ({"sectors": 1}, "whole number from 2 to 72"),
        ({"sectors": True}, "whole number from 2 to 72"),
    ],
)
def test_settings_that_make_no_sense_are_refused(changes, words) -> None:
    with pytest.raises(SettingError, match=words):
        understood(replace(PULSED, **changes), limit_names=())


def test_what_a_fit_up_or_a_plate_does_not_show_does_not_count() -> None:
    entries = Entries(weld_pass=WeldPass.FIT_UP.value, layer=2, bead=1, strip_side="high")
    coupon = understood(entries, limit_names=()).coupon
    assert (coupon.layer, coupon.bead, coupon.strip_side) == (None, None, None)


def test_an_answer_holds_for_the_times_that_it_was_given_for(tmp_path: Path) -> None:
    def no_work(*_: object) -> None:
        raise AssertionError

    bench = Bench(no_work)  # type: ignore[arg-type]
    visits = Visits(tmp_path, bench)
    token = visits.begin()
    answered = replace(PULSED, peak_s=0.4, background_s=0.6, times_are=TimesAre.SECONDS.value)
    unasked = visits.look(token)
    visits.answer_times(token, answered)
    visit = visits.look(token)
    bench.close()
    assert visit is not None
    assert unasked is not None
    assert unasked.as_answered(answered).times_are is None
    assert visit.as_answered(answered) == answered
    assert visit.as_answered(replace(answered, peak_s=4)).times_are is None
