"""Photo against gauge on the page: where the places lie, and what was typed beside them."""

import contextlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadcheck.errors import BeadcheckError
from beadcheck.report.wording import LengthUnit
from beadcheck.result import CouponRecord, PhotoRecord, Result, StationRecord
from beadcheck_page.gauge_entries import Typed, in_unit, study_readings, typed
from beadcheck_page.gauge_places import PLACES, Compared, places_of
from beadcheck_page.refusals import UnusableGaugeReadingError


def station(photo: int, s_mm: float, *, sure: bool = True) -> StationRecord:
    return StationRecord(
        photo=photo,
        s_mm=s_mm,
        clock_deg=None,
        left_toe_px=(10.0 * s_mm, 40.0),
        right_toe_px=(10.0 * s_mm, 130.0),
        weld_width_mm=9.0 + 0.01 * s_mm,
        weld_width_U_mm=0.2,
        sure=sure,
        steady=True,
    )


def result(*counts: int) -> Result:
    """Photos with so many sure stations, a millimetre apart, and unsure ones between them."""
    return Result(
        coupon=CouponRecord(
            shape="plate", outside_diameter_mm=None, wall_thickness_mm=None, weld_pass=None
        ),
        photos=tuple(
            PhotoRecord(
                file=f"cap {k}.jpg",
                kind="face",
                usable=True,
                px_per_mm=20.0,
                tilt_deg=5.0,
                distance_mm=200.0,
                problems=(),
            )
            for k in range(len(counts))
        ),
        stations=tuple(
            station(photo, s, sure=sure)
            for photo, count in enumerate(counts)
            for s in range(count)
            for sure in (True, False)
        ),
    )


def test_places_are_spread_over_what_each_photo_showed_surely() -> None:
    places = places_of(result(60, 3, 0), Compared.WIDTH)
    first = [each for each in places if each.photo == 0]
    assert [each.number for each in first] == list(range(1, PLACES + 1))
    assert [round(100.0 * (each.value_mm - 9.0)) for each in first] == [5, 15, 25, 35, 45, 55]
    assert [each.photo for each in places if each.photo] == [1, 1, 1]
    assert places_of(result(60), Compared.REINFORCEMENT) == ()


def test_what_was_typed_becomes_readings_in_mm_whatever_unit_it_was_typed_in() -> None:
    places = places_of(result(60), Compared.WIDTH)
    entered = Typed(unit=LengthUnit.INCH, by_place={"0-1": "0,36", "0-4": " 0.350 "})
    first, fourth = study_readings(places, entered, result(60), "Tern")
    assert (first.part, first.by, first.value) == ("cap 0.jpg, place 1", "Tern", 9.05)
    assert first.gauge == pytest.approx(0.36 * 25.4)
    assert fourth.gauge == pytest.approx(8.89)
    # Four digits of an inch.
    (shown,) = in_unit(Typed(by_place={"0-1": "9.14"}), LengthUnit.INCH).by_place.values()
    assert float(shown) * 25.4 == pytest.approx(9.14, abs=0.0026)


@pytest.mark.parametrize("words", ["wide", "-3", "1e999", "nan", "9.1 mm"])
def test_what_is_no_length_is_named_by_its_place(words: str) -> None:
    places = places_of(result(60), Compared.WIDTH)
    with pytest.raises(UnusableGaugeReadingError, match=r"cap 0\.jpg, place 2"):
        study_readings(places, Typed(by_place={"0-2": words}), result(60), None)


@settings(max_examples=60)
@given(st.none() | st.text(max_size=40) | st.dictionaries(st.text(max_size=5), st.text()))
def test_whatever_a_browser_sends_is_readings_or_a_refusal(sent: object) -> None:
    given_words = json.dumps({"typed": sent}) if isinstance(sent, dict) else sent
    with contextlib.suppress(BeadcheckError):
        study_readings(places_of(result(12), Compared.WIDTH), typed(given_words), result(12), None)
