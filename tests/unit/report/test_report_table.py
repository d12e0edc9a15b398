"""The table for a terminal says everything that a person needs."""

import re
from dataclasses import replace

import pytest
from rich.console import Console

from beadcheck.report.shares import value_rows
from beadcheck.report.table import result_table
from beadcheck.report.wording import LengthUnit
from beadcheck.result import CAUTION


def printed(result, unit=LengthUnit.MM) -> str:
    console = Console(width=140, color_system=None)
    with console.capture() as capture:
        console.print(result_table(result, unit=unit))
    return capture.get()


@pytest.mark.parametrize(
    "words",
    [
        "coupon.jpg",
        "11.0 px per mm, from 204 mm, 6° off square",
        "9.00 ± 0.19 mm",
        "62 ± 4 %",
        "✓",
        "within",
        "outside",
        "undecided",
        "Not measured: face reinforcement. A face photo alone gives no height. Take a pair",
        "Next run: Brace your hand.",
        "Harrow Quay Weld Shop, first term",
        CAUTION[:60],
    ],
)
def test_it_says(make_result, words):
    assert words in printed(make_result())


def test_what_no_photo_is_judged_by_is_named_beside_the_findings(make_result):
    judged = make_result()
    for result in (judged, replace(judged, checks=())):
        assert "Not judged from photos in this version" in printed(result)
        assert "overlap at the toes" in printed(result)
    assert "No limit holds for this coupon and pass" in printed(replace(judged, checks=()))
    assert "No limit holds" not in printed(judged)


def test_inches_are_shown_only_where_wanted(make_result):
    assert "(0.354 ± 0.008 in)" in printed(make_result(), LengthUnit.INCH)
    assert " in)" not in printed(make_result())


@pytest.mark.parametrize("unit", list(LengthUnit))
def test_without_a_target_nothing_is_said_in_mm_or_inches(make_unscaled, unit):
    text = printed(make_unscaled(), unit)
    assert "photo from above without a target: pixels and percent only" in text
    assert "92.4 ± 2.4 px" in text
    assert "93.3 ± 2.1 % of the mean" in text
    assert "62 ± 4 %" in text
    assert "Limits on lengths were not checked: without a target there is no scale." in text
    assert "plate" not in text
    assert not re.search(r"\bmm\b|inch|\d in\b", text.replace(CAUTION, ""))


def test_a_share_stands_in_the_row_of_its_length(make_unscaled):
    result = make_unscaled()
    (line,) = [each for each in printed(result).splitlines() if "narrowest" in each]
    assert "92.4 ± 2.4 px" in line
    assert "93.3 ± 2.1 % of the mean" in line
    assert len(value_rows(result.quantities)) == len(result.quantities) - 1


def test_with_a_target_there_is_no_column_of_shares(make_result):
    text = printed(make_result())
    assert "share" not in text
    assert "Limits on lengths" not in text


def test_brackets_in_a_file_name_are_no_markup(make_result):
    assert "[bold]x[/bold].jpg" in printed(make_result(file="[bold]x[/bold].jpg"))


def test_a_refused_photo_still_leaves_the_caution(make_refusal):
    assert "qualified inspector" in printed(make_refusal())
