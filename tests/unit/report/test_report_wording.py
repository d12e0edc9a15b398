"""Words and rounded numbers that claim no more than was measured."""

import re
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from beadcheck.limits import Finding
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.entered import photo_words
from beadcheck.report.finding_words import check_words, judged_words, likely_words
from beadcheck.report.wording import (
    QUANTITY_WORDS,
    LengthUnit,
    clock_words,
    finding_count_words,
    full_words,
    value_lines,
    value_words,
)
from beadcheck.units import MM_PER_INCH, Unit


@given(
    value=st.floats(-500.0, 500.0),
    expanded=st.floats(0.0, 50.0),
    unit=st.sampled_from(list(Unit)),
)
def test_rounding_never_claims_a_smaller_uncertainty(value, expanded, unit):
    assume(value != 0.0 or expanded != 0.0)  # that is "none", a word of its own
    words, *_ = value_lines(value, expanded, unit.value, LengthUnit.MM)
    shown, shown_u = (float(number) for number in re.findall(r"-?\d+\.?\d*", words))
    factor = 100.0 if unit is Unit.RATIO else 1.0
    # Rounding up stops a millionth of the last digit short, against binary fractions.
    assert shown_u >= factor * expanded - 1e-6
    # Half of the last digit: 10 W, 1 % for ratios, 0.1 for px and degrees, 0.01 else.
    assert shown == pytest.approx(factor * value, abs=5.001 if unit is Unit.WATT else 0.5001)
    assert shown != 0.0 or not words.startswith("-")


@given(value=st.floats(0.1, 200.0))
def test_inches_stand_beside_the_millimetres(value):
    words = value_words(value, 0.2, "mm", LengthUnit.INCH)
    millimetres, _, inches, _ = (float(number) for number in re.findall(r"\d+\.\d+", words))
    # Half a hundredth of a mm and half a thousandth of an inch.
    assert inches * MM_PER_INCH == pytest.approx(millimetres, abs=0.005 + 0.0127 + 1e-9)


def test_a_limit_is_never_converted_to_inches(make_result):
    words = check_words(make_result().checks[0], LengthUnit.INCH)
    assert "at most 1.60 mm" in words
    assert "0.063" not in words


def test_a_limit_printed_in_inches_is_told_in_inches_whatever_is_shown(make_result):
    check = replace(make_result().checks[0], limit=25.4 / 16, printed_in="inch")
    for unit in LengthUnit:
        assert "at most 1.59 mm (1/16 in)" in check_words(check, unit)


def test_where_nothing_is_permitted_the_limit_is_none(make_result):
    check = replace(make_result().checks[0], limit=0.0, statistic="max")
    undercut = replace(check, name="undercut_depth")
    assert check_words(undercut, LengthUnit.MM).endswith("shall be none")
    # A reinforcement may lie below zero: zero is a limit of it like any other.
    height = replace(check, name="face_reinforcement")
    assert check_words(height, LengthUnit.MM).endswith("shall be at most 0.00 mm")


def test_two_limits_are_told_together(make_result):
    check = replace(make_result().checks[0], sense="between", lowest=0.2)
    assert "between 0.20 mm and 1.60 mm" in check_words(check, LengthUnit.MM)


def test_each_finding_names_its_guard_band_and_how_likely_it_conforms(make_result):
    check = replace(make_result().checks[0], rule="w = 0.83 U", conformity_probability=0.972)
    assert judged_words(check) == "guard band w = 0.83 U; 97.2 % likely to conform"
    undecided = replace(check, conformity_probability=None)
    assert judged_words(undecided) == "guard band w = 0.83 U"
    missing = next(c for c in make_result().checks if c.finding is Finding.NOT_MEASURED)
    assert judged_words(replace(missing, rule="w = U")) == ""


@given(probability=st.floats(0.0, 1.0))
def test_a_probability_never_claims_certainty(probability):
    words = likely_words(probability)
    assert words not in {"0 %", "0.0 %", "100 %", "100.0 %"}
    shown = float(re.findall(r"\d+\.?\d*", words)[0])
    # Half of the last digit, or beyond a bound that the words name.
    assert words.startswith(("over", "under")) or abs(shown - 100.0 * probability) <= 0.5001


def test_a_clock_position_is_told_as_somebody_entered_it(make_result):
    photo = replace(make_result().photos[0], clock_deg=95.0)
    assert "of 95° from 12 o'clock as entered" in photo_words(photo, LengthUnit.MM)


def test_a_calibrated_camera_is_named_where_one_was_used(make_result):
    photo = make_result().photos[0]
    assert "camera" not in photo_words(photo, LengthUnit.MM)
    calibrated = replace(photo, camera="bench, 2026-05-17")
    assert "the calibrated camera “bench, 2026-05-17”" in photo_words(calibrated, LengthUnit.MM)


def test_every_quantity_and_statistic_has_words():
    assert set(QUANTITY_WORDS) == {name.value for name in QuantityName}
    for name in QuantityName:
        for statistic in Statistic:
            words = full_words(name.value, statistic.value, "left")
            assert "_" not in words
            assert words.endswith("left toe")


@given(clock_deg=st.floats(0.0, 360.0))
def test_clock_words_are_within_a_minute_of_the_angle(clock_deg):
    hours, minutes, degrees = (int(part) for part in re.findall(r"\d+", clock_words(clock_deg)))
    back_deg = (30.0 * (hours % 12) + 0.5 * minutes) % 360.0
    apart = (back_deg - clock_deg + 180.0) % 360.0 - 180.0
    assert abs(apart) <= 0.25 + 1e-9
    assert abs((degrees - clock_deg + 180.0) % 360.0 - 180.0) <= 0.5 + 1e-9


def test_findings_are_counted_and_nothing_is_called_a_pass(make_result):
    words = finding_count_words(make_result().checks)
    assert words == "Findings: 1 outside, 1 undecided, 1 within, 1 not measured"
