"""Plots of the whole weld: limits, halves, gaps, and what lies beyond."""

import re
from dataclasses import replace

import pytest

from beadcheck.report.drawing import BLUE
from beadcheck.report.sectors_csv import sectors_csv
from beadcheck.report.whole.marks import PHOTOGRAPH_HERE
from beadcheck.report.whole.plot import along_plot, round_plot
from beadcheck.report.whole.series import Half, series_of
from beadcheck.report.whole.unrolled import unrolled_weld
from beadcheck.report.wording import LengthUnit


def test_series_lay_limits_about_the_mean_and_tell_the_halves(ring) -> None:
    width, spacing = series_of(ring.result, unit=LengthUnit.INCH)
    assert width.title == "weld width, in"
    assert width.highest == pytest.approx(7.8 / 25.4)
    assert width.lowest is None
    assert spacing.title == "ripple spacing, mean, in"
    assert spacing.highest is None
    assert spacing.arc_mm.size == 0
    halves = [point.half for point in width.points]
    assert halves == [Half.BOTH, *[Half.FIRST] * 5, Half.BOTH, Half.SECOND, *[Half.SECOND] * 3]
    low, high = width.extent
    assert low < 6.2 / 25.4
    assert high > 7.8 / 25.4


@pytest.mark.parametrize("draw", [round_plot, along_plot])
def test_plots_hold_line_band_limit_gap_halves_and_what_lies_beyond(ring, draw) -> None:
    svg = draw(ring.result, unit=LengthUnit.MM)
    assert svg is not None
    text = svg.decode("utf-8")
    # Words are drawn as outlines, under comments that spell them.
    words = re.findall(r"<!-- (.*?) -->", text)
    told = {"limit", "every mm, with its U", f"not seen well: {PHOTOGRAPH_HERE}", "tie-in?", "0.3"}
    told |= {
        "weld width, mm",
        f"{Half.FIRST.value}, with its U",
        f"{Half.SECOND.value}, with its U",
    }
    assert told <= set(words)
    assert "#{:02x}{:02x}{:02x}".format(*BLUE) in text
    assert "stroke-dasharray" in text
    assert "pattern" in text
    assert svg == draw(ring.result, unit=LengthUnit.MM)


def test_a_plate_has_no_clock_and_a_single_photo_no_plot(ring) -> None:
    result, cuts = ring.result, ring.cuts
    plate = replace(ring.whole, shape="plate", clock_sense=0)
    assert round_plot(replace(result, whole_weld=plate), unit=LengthUnit.MM) is None
    along = along_plot(replace(result, whole_weld=plate), unit=LengthUnit.INCH)
    assert along is not None
    assert b"<!-- along the weld, in -->" in along
    single = replace(result, whole_weld=None)
    assert along_plot(single, unit=LengthUnit.MM) is None
    assert unrolled_weld(single, cuts, longest_px=900) is None
    assert sectors_csv(single).count("\n") == 1
