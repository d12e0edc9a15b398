"""The table of stations is safe and exact for spreadsheets."""

import csv
import io
from dataclasses import replace

import pytest

from beadcheck.report.stations_csv import HEADER, stations_csv
from beadcheck.result import CAUTION


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_station_has_a_line_with_units_in_the_headings(make_result):
    result = make_result(pipe=True)
    table = rows(stations_csv(result))
    assert tuple(table[0]) == HEADER
    assert len(table) == len(result.stations)
    for row, station in zip(table, result.stations, strict=True):
        # Half a unit of the last digit that is written.
        assert float(row["weld_width_mm"]) == pytest.approx(station.weld_width_mm, abs=5e-4)
        assert float(row["clock_deg"]) == pytest.approx(station.clock_deg, abs=5e-3)
        assert float(row["left_toe_x_px"]) == pytest.approx(station.left_toe_px[0], abs=5e-3)
        assert row["sure"] == ("yes" if station.sure else "no")
        assert row["face_reinforcement_mm"] == ""


def test_the_caution_stands_once_and_out_of_the_way_of_numbers(make_result):
    table = rows(stations_csv(make_result()))
    assert [row["caution"] for row in table] == [CAUTION] + [""] * (len(table) - 1)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_file_name_never_becomes_a_formula(make_result, start):
    name = f'{start}HYPERLINK("x","y").jpg'
    result = make_result()
    result = replace(result, photos=(replace(result.photos[0], file=name),))
    assert rows(stations_csv(result))[0]["file"] == f"'{name}"


def test_a_negative_number_stays_a_number(make_result):
    result = make_result()
    moved = replace(result.stations[0], s_mm=-3.25)
    text = stations_csv(replace(result, stations=(moved,)))
    assert rows(text)[0]["s_mm"] == "-3.250"


def test_without_a_target_the_pixels_are_filled_in_and_the_millimetres_empty(make_unscaled):
    result = make_unscaled()
    for row, station in zip(rows(stations_csv(result)), result.stations, strict=True):
        assert row["s_mm"] == row["weld_width_mm"] == row["weld_width_U_mm"] == ""
        # Half a unit of the last digit that is written.
        assert float(row["s_px"]) == pytest.approx(station.s_px, abs=5e-3)
        assert float(row["weld_width_px"]) == pytest.approx(station.weld_width_px, abs=5e-3)
        assert float(row["weld_width_U_px"]) == pytest.approx(station.weld_width_U_px, abs=5e-3)


def test_the_columns_that_programs_know_come_first():
    assert HEADER[:13] == (
        "photo",
        "file",
        "s_mm",
        "clock_deg",
        "weld_width_mm",
        "weld_width_U_mm",
        "sure",
        "steady",
        "left_toe_x_px",
        "left_toe_y_px",
        "right_toe_x_px",
        "right_toe_y_px",
        "face_reinforcement_mm",
    )
    assert HEADER[-1] == "caution"


def test_a_result_without_stations_still_has_its_heading(make_refusal):
    assert stations_csv(make_refusal()).split("\r\n") == [",".join(HEADER), ""]
