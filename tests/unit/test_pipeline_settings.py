"""Settings on their way through: told once, by their own, and never more than they say."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from beadcheck.advice import CurrentRange
from beadcheck.arc import ArcSettings, PulsedArc, SteadyArc, TravelOfRun, background_of
from beadcheck.arc.stated import (
    ARC_TIME,
    BACKGROUND_PERCENT,
    CURRENT,
    PEAK_CURRENT,
    RUN_LENGTH,
    VOLTS,
)
from beadcheck.coupon import Coupon, PanelTimes, Process, PulseTimes, TimesAre, TorchMotion
from beadcheck.measurements.pulse import pulse_quantities
from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.pipeline.read_at import places_of
from beadcheck.pipeline.travel_notices import travel_notices
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Statistic,
)
from beadcheck.result import RippleRecord, StationRecord, result_to_json, settings_record
from beadcheck.units import Unit

SECONDS = PulseTimes(peak_s=0.4, background_s=0.6, times_are=TimesAre.SECONDS)
PULSED = Coupon(process=Process.GTAW_PULSED, pulse=SECONDS)
STICK = ArcSettings(
    arc=SteadyArc(current=CURRENT.reading(90.0, 3.0), volts=VOLTS.reading(24.0)),
    travel=TravelOfRun(length=RUN_LENGTH.reading(150.0), arc_time=ARC_TIME.reading(40.0)),
)


def quantity(name: QuantityName, statistic: Statistic, value: float, unit: Unit) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=unit,
        count=30,
        budget=(Component(source="all", standard_uncertainty=0.02, scope=Scope.PHOTO),),
        s_range_mm=(3.0, 41.0),
    )


def spacing(mean_mm: float) -> Quantity:
    return quantity(QuantityName.RIPPLE_SPACING, Statistic.MEAN, mean_mm, Unit.MM)


def test_what_was_entered_is_recorded_and_nothing_else_is() -> None:
    peak = PEAK_CURRENT.reading(120.0, 4.0)
    percent = BACKGROUND_PERCENT.reading(30.0)
    arc = PulsedArc(
        peak=SteadyArc(current=peak),
        background=SteadyArc(current=background_of(peak, percent)),
        percent=percent,
    )
    settings = ArcSettings(arc=arc, motion=TorchMotion.STEADY, wanted_overlap_ratio=0.6)
    record = settings_record(settings, PULSED, CurrentRange(lowest_a=90.0, highest_a=130.0))
    assert record is not None
    assert record.peak_current is not None
    assert (record.peak_current.value, record.peak_current.expanded_uncertainty) == (120.0, 4.0)
    assert record.background_percent is not None
    assert record.background_percent.value == 30.0
    assert (record.times_are, record.motion, record.weave) == ("seconds", "steady", None)
    assert (record.current_range_a, record.current_range_by) == ((90.0, 130.0), "procedure")
    assert record.volts is record.run_length is record.current is None
    assert settings_record(ArcSettings(), Coupon(), None) is None


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (TimesAre.DIAL_MARKS, "marks of a dial"),
        # 1.5 mm / 1 s.
        (None, "a travel of 90 mm/min"),
    ],
)
def test_no_travel_follows_from_times_that_nobody_confirmed(answer, words) -> None:
    panel = PanelTimes(peak=0.4, background=0.6, times_are=answer)
    width = quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, 5.0, Unit.MM)
    found = pulse_quantities(spacing(1.5), width, None, Process.GTAW_PULSED, panel=panel)
    (speed,) = (each for each in found if each.name is QuantityName.TRAVEL_SPEED)
    assert isinstance(speed, NotMeasured)
    assert words in speed.reason


def test_a_coupon_has_its_times_in_seconds_or_has_not() -> None:
    with pytest.raises(ValueError, match="in seconds"):
        Coupon(pulse=SECONDS, panel_times=PanelTimes(peak=0.4, background=0.6))


def test_an_absurd_travel_and_one_that_the_watch_contradicts_are_told() -> None:
    def codes(speed_mm_s: float, settings: ArcSettings) -> list[str]:
        request = Request(takes=(), coupon=PULSED, settings=settings)
        speed = quantity(QuantityName.TRAVEL_SPEED, Statistic.MEAN, speed_mm_s, Unit.MM_PER_S)
        return [each.code for each in travel_notices([speed], request)]

    by_watch = replace(STICK, arc=None)  # 150 mm in 40 s: 3.75 mm/s
    assert codes(2.0, ArcSettings()) == []
    assert codes(15.0, ArcSettings()) == ["unusual_travel"]
    assert "travel_disagrees" in codes(2.0, by_watch)
    assert "travel_disagrees" not in codes(3.74, by_watch)


def test_an_absurd_travel_of_run_and_watch_is_told_without_a_word_on_pulses() -> None:
    # 150 mm in 4 s: 2250 mm/min, where 76 to 254 mm/min are usual with SMAW.
    fast = TravelOfRun(length=RUN_LENGTH.reading(150.0), arc_time=ARC_TIME.reading(4.0))
    request = Request(
        takes=(), coupon=Coupon(process=Process.SMAW), settings=ArcSettings(travel=fast)
    )
    (told,) = travel_notices([], request)
    assert told.code == "unusual_travel"
    assert "2250 mm/min is faster" in told.message
    assert "arc time" in told.message
    assert "pulse" not in told.message


def test_what_the_settings_alone_tell_belongs_to_no_photo_and_is_told_once(tmp_path: Path) -> None:
    photos = [tmp_path / name for name in ("a.jpg", "b.jpg")]
    for photo in photos:
        photo.write_bytes(b"")
    coupon = Coupon(process=Process.SMAW)
    result = measure(Request(takes=takes_of(photos), coupon=coupon, settings=STICK))
    names = [each.name for each in result.quantities]
    stated = {"mean_current", "mean_power", "travel_speed", "arc_energy", "heat_input"}
    assert len(names) == len(set(names))
    assert set(names) == stated
    for each in result.quantities:
        assert (each.scope, each.photo, each.photos) == ("coupon", None, ())
        assert each.s_range_mm is each.s_range_px is None
    written = json.loads(result_to_json(result))
    assert written["settings"]["current"] == {
        "value": 90.0,
        "unit": "A",
        "expanded_uncertainty": 3.0,
    }


def test_an_extreme_is_placed_where_it_was_read_on_the_clock_of_the_pipe() -> None:
    stations = [
        StationRecord(
            photo=0,
            s_mm=float(s),
            clock_deg=100.0 + s,
            left_toe_px=(1.0, 2.0),
            right_toe_px=(1.0, 9.0),
            weld_width_mm=8.0 + 0.1 * s,
            weld_width_U_mm=0.2,
            sure=True,
            steady=s < 6,
        )
        for s in range(8)
    ]
    crests = [RippleRecord(photo=0, s_mm=s, px=(0.0, 0.0)) for s in (0.0, 1.0, 3.4, 4.5)]
    widest = quantity(QuantityName.WELD_WIDTH, Statistic.MAX, 8.5, Unit.MM)
    longest = quantity(QuantityName.RIPPLE_SPACING, Statistic.MAX, 2.4, Unit.MM)
    far = quantity(QuantityName.WELD_WIDTH, Statistic.MIN, 7.0, Unit.MM)
    mean = quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, 8.3, Unit.MM)
    places = places_of([widest, longest, far, mean], stations, crests, ())
    assert [(each.name, each.s_mm, each.clock_deg) for each in places] == [
        ("weld_width", 5.0, 105.0),
        ("ripple_spacing", 2.2, 102.0),
    ]
