"""Sections in tables, plots and pictures."""

import csv
import io
import sys
from dataclasses import replace

import cv2
import numpy as np
import pytest
from rich.console import Console

from beadcheck.photo import Lens, Photo
from beadcheck.report.picture import annotated_picture
from beadcheck.report.profile_axes import drawn_heights, extent_of
from beadcheck.report.profile_limits import limit_lines
from beadcheck.report.profile_plot import profile_plot
from beadcheck.report.profile_sheet import profile_parts
from beadcheck.report.profiles_csv import HEADER, profiles_csv
from beadcheck.report.relief import relief_picture
from beadcheck.report.section_close_up import section_close_up
from beadcheck.report.section_marks import section_marks
from beadcheck.report.shares import value_rows
from beadcheck.report.table import result_table
from beadcheck.report.wording import LengthUnit, value_words
from beadcheck.result import CAUTION


def _rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_point_of_every_profile_has_a_line(make_sections):
    result = make_sections(count=2)
    table = _rows(profiles_csv(result))
    assert tuple(table[0]) == HEADER
    assert len(table) == sum(len(each.across_mm) for each in result.profiles)
    assert [row["caution"] for row in table] == [CAUTION] + [""] * (len(table) - 1)
    second = [row for row in table if row["profile"] == "1"]
    for row, across, height in zip(
        second, result.profiles[1].across_mm, result.profiles[1].height_mm, strict=True
    ):
        # Half a unit of the last digit that is written.
        assert float(row["across_mm"]) == pytest.approx(across, abs=5e-4)
        assert (row["height_mm"] == "") == (height is None)
        assert (row["height_U_mm"] == "") == (height is None)


def test_points_of_a_pair_are_told_as_those_of_its_first_photo(make_sections):
    table = _rows(profiles_csv(make_sections(photos=2, kind="pair")))
    assert {(row["photo"], row["file"]) for row in table} == {("0", "coupon-a.jpg")}


def test_limits_are_drawn_where_they_belong_and_depths_only_where_there_is_some(make_sections):
    result = make_sections()
    lines = {
        (line.check.name, line.check.side): line
        for line in limit_lines(result.profiles[0], result.checks)
    }
    assert set(lines) == {("face_reinforcement", None), ("undercut_depth", "left")}
    assert lines["face_reinforcement", None].heights_mm == (1.9, 1.9)
    assert lines["face_reinforcement", None].across_mm == (-5.0, 5.0)
    low, high = lines["undercut_depth", "left"].across_mm
    assert low < high == -5.0
    assert lines["undercut_depth", "left"].heights_mm == (-0.5, -0.5)
    assert lines["undercut_depth", "left"].words == (
        "undercut depth at the left toe at most 0.50 mm: undecided"
    )


def test_heights_are_exaggerated_as_far_as_they_fit_and_the_plot_says_so(make_sections):
    heights = drawn_heights(make_sections().profiles[0])
    extent = extent_of([heights])
    assert extent.exaggeration == 2.0
    assert "2 times as large" in extent.scale_words
    high = extent_of([replace(heights, height_mm=4.0 * heights.height_mm)])
    assert high.exaggeration == 1.0
    assert high.scale_words == "Heights are drawn to the same scale as widths."


def test_a_plot_is_as_wide_as_asked_and_leaves_no_figure_behind(make_sections):
    result = make_sections()
    plot = profile_plot(result.profiles[0], result.checks, unit=LengthUnit.INCH, width_px=700)
    assert plot.shape[1] == 700
    assert plot.dtype == np.uint8
    pyplot = sys.modules.get("matplotlib.pyplot")
    assert pyplot is None or not pyplot.get_fignums()


def test_of_many_sections_the_telling_ones_are_drawn_and_all_together(make_sections):
    few = profile_parts(make_sections(count=3), 0, unit=LengthUnit.MM, width_px=600)
    many = profile_parts(make_sections(count=9), 0, unit=LengthUnit.MM, width_px=600)
    # Three plots with their words, and the overlay: no more of nine than of three.
    assert len(few) == len(many) == 7


def test_a_photo_without_sections_gets_no_plot(make_result):
    assert profile_parts(make_result(), 0, unit=LengthUnit.MM, width_px=600) == []


def test_marks_lie_in_the_photo_where_the_section_was_measured(make_sections):
    result = make_sections()
    (mark,) = section_marks(result, 0, LengthUnit.MM)
    profile = result.profiles[0]
    np.testing.assert_allclose(mark.toes_px, [profile.left_toe_px, profile.right_toe_px])
    middle = np.mean(mark.toes_px, axis=0)
    # Both ends of the base line lie on the line through the toes, 6 mm outside them.
    np.testing.assert_allclose(mark.base_px.mean(axis=0), middle, atol=0.05)
    assert np.hypot(*(mark.base_px[1] - mark.base_px[0])) == pytest.approx(22.0 * 11.0, rel=1e-3)
    assert mark.crown_words == "1.80 ± 0.09 mm"
    assert len(mark.undercuts_px) == 1


def test_a_section_is_shown_with_the_air_above_the_metal(make_photo, make_sections):
    """The crown is painted red at its pixel; it must lie above the middle of the close-up."""
    (mark,) = section_marks(make_sections(), 0, LengthUnit.MM)
    photo = make_photo()
    pixels = photo.pixels_bgr.copy()
    at = (round(float(mark.crown_px[0])), round(float(mark.crown_px[1])))
    cv2.circle(pixels, at, 6, (0, 0, 255), cv2.FILLED)
    marked = Photo(file="red.jpg", pixels_bgr=pixels, lens=Lens())
    drawing = section_close_up(marked, mark, width_px=900)
    assert drawing is not None
    red, green, blue = np.moveaxis(drawing.pixels_rgb, -1, 0)
    rows = np.flatnonzero(((red > 200) & (green < 60) & (blue < 60)).any(axis=1))
    assert rows.mean() < 0.5 * drawing.height_px


@pytest.mark.parametrize(("kind", "photos"), [("side-on", 1), ("light-line", 1), ("pair", 2)])
def test_a_picture_is_drawn_of_each_way_of_measuring(kind, photos, make_photo, make_sections):
    result = make_sections(kind=kind, photos=photos, count=2)
    picture = annotated_picture(make_photo(), result, unit=LengthUnit.MM)
    # The photo alone is 980 high; close-ups, plots and words stand under it.
    assert picture.shape[0] > 2.5 * picture.shape[1]


def test_one_reading_is_one_row_and_not_three(make_sections):
    alone = value_rows(make_sections(count=1).quantities)
    assert [(row.quantity.name, row.quantity.statistic) for row in alone] == [
        ("face_reinforcement", "one section")
    ]
    assert len(value_rows(make_sections(count=5).quantities)) == 3


def test_values_of_a_pair_stand_under_the_names_of_both_photos(make_sections):
    console = Console(width=110, record=True, file=io.StringIO())
    console.print(result_table(make_sections(photos=2, kind="pair", count=4), unit=LengthUnit.MM))
    text = console.export_text()
    assert "coupon-a.jpg + coupon-b.jpg" in text
    assert text.index("coupon-a.jpg + coupon-b.jpg") < text.index("face reinforcement")


def test_a_depth_that_cannot_be_there_is_called_none():
    assert value_words(0.0, 0.0, "mm", LengthUnit.INCH) == "none"
    assert value_words(0.0, 0.04, "mm", LengthUnit.MM) == "0.00 ± 0.04 mm"


class _Map:
    """The parts of a height map that a relief shows: a ridge 10 mm wide, and a hole."""

    def __init__(self) -> None:
        self.s_mm, self.across_mm = np.arange(0.0, 60.0, 0.25), np.arange(-13.0, 13.0, 0.25)
        ridge = 2.0 * np.clip(1.0 - (self.across_mm / 5.0) ** 2, 0.0, None)
        self.height_mm = np.repeat(ridge[:, None], len(self.s_mm), axis=1)
        self.height_mm[40:60, 100:140] = np.nan
        self.toes_mm = np.array([[0.0, -5.0, 5.0], [59.0, -5.0, 5.0]])
        self.convergence_deg, self.base_residual_mm = 15.2, 0.03


def test_a_relief_is_lit_from_the_upper_left_and_its_holes_are_hatched():
    picture = relief_picture(_Map())
    grey = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY).astype(float)
    scale = (1600 - 2 * 88) / 59.75
    top = int(np.flatnonzero(np.ptp(picture[:, 800].astype(int), axis=1) > 60)[0])

    def mean_at(s_mm: float, across_mm: float) -> float:
        x, y = round(88 + scale * s_mm), round(top + scale * (across_mm + 13.0))
        return float(grey[y - 4 : y + 5, x - 4 : x + 5].mean())

    assert mean_at(10.0, -3.0) > 1.3 * mean_at(10.0, 3.0)
    hole = grey[
        round(top + scale * 11.0) : round(top + scale * 13.5), round(88 + scale * 27.0) : 900
    ]
    assert {120.0, 226.0} <= set(np.unique(hole))
