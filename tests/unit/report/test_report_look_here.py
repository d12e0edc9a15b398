"""Places to look at: the same words and numbers everywhere, boxes in the picture, no verdict."""

import csv
import io
import re
from dataclasses import replace

import cv2
import numpy as np
import pytest
from rich.console import Console

from beadcheck.indications import CandidateKind, look_here_words, seen_words
from beadcheck.report.drawing import YELLOW, blank
from beadcheck.report.indications_csv import HEADER, indications_csv
from beadcheck.report.look_here import look_here_groups, place_words
from beadcheck.report.look_here_marks import draw_look_here, look_here_marks
from beadcheck.report.picture import annotated_picture, marked_picture
from beadcheck.report.table import result_table
from beadcheck.report.weld_lines import weld_lines
from beadcheck.report.weld_marks import draw_station_numbers
from beadcheck.report.wording import LengthUnit
from beadcheck.result import IndicationRecord, result_to_json

VERDICTS = re.compile(r"defect|reject|fail|accept|flaw|fault|repair|unsound", re.IGNORECASE)
PX_PER_MM = 11.0


def indication(number, kind, s_mm, share, whole, *, side=None, along=1.1, across=0.9):
    """A place at a share of the way from the left toe to the right one of an invented weld."""
    station = whole.stations[round(s_mm)]
    left, right = np.array(station.left_toe_px), np.array(station.right_toe_px)
    across_way = (right - left) / np.hypot(*(right - left))
    along_way = np.array([across_way[1], -across_way[0]])
    middle = left + share * (right - left)
    half = 0.5 * PX_PER_MM * np.array([along + 0.8, across + 0.8])
    corners = [
        middle + a * half[0] * along_way + b * half[1] * across_way
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return IndicationRecord(
        photo=0,
        number=number,
        kind=kind.value,
        words=seen_words(kind, side),
        look_here=look_here_words(kind),
        s_mm=float(s_mm),
        clock_deg=None,
        side=side,
        box_px=tuple((float(x), float(y)) for x, y in corners),
        length_along_mm=along,
        length_along_U_mm=0.13,
        length_across_mm=across,
        length_across_U_mm=0.11,
        strength=0.6,
    )


@pytest.fixture(name="marked")
def _marked(make_result):
    whole = make_result()
    return replace(
        whole,
        indications=(
            indication(1, CandidateKind.SPOT_ON_FACE, 22, 0.4, whole),
            indication(2, CandidateKind.SPOT_ON_BASE, 35, 1.5, whole, side="right"),
            indication(
                3, CandidateKind.LINE_AT_TOE, 48, -0.03, whole, side="left", along=12.0, across=0.6
            ),
            indication(4, CandidateKind.SPOT_ON_FACE, 58, 0.6, whole),
            indication(5, CandidateKind.ROUGH_SPOT, 15, -0.8, whole, side="left", along=3.0),
            indication(6, CandidateKind.DIP_AT_END, 67, 0.5, whole, along=4.0, across=4.0),
        ),
    )


def unscaled(each):
    """The same place in a photo without a target."""
    return replace(
        each,
        s_mm=None,
        s_px=each.s_mm * PX_PER_MM,
        length_along_mm=None,
        length_along_px=each.length_along_mm * PX_PER_MM,
        length_along_U_mm=None,
        length_along_U_px=each.length_along_U_mm * PX_PER_MM,
        length_across_mm=None,
        length_across_px=each.length_across_mm * PX_PER_MM,
        length_across_U_mm=None,
        length_across_U_px=each.length_across_U_mm * PX_PER_MM,
    )


def printed(result, unit=LengthUnit.MM):
    console = Console(width=400, file=io.StringIO())
    console.print(result_table(result, unit=unit))
    return console.file.getvalue()


def test_a_spot_is_told_by_what_is_seen_its_size_and_its_place(marked):
    spot, _, line, *_ = marked.indications
    assert place_words(spot, LengthUnit.MM) == (
        "Look here: dark round spot on the weld face, 1.1 × 0.9 ± 0.2 mm, at 22 mm"
    )
    assert place_words(line, LengthUnit.MM) == (
        "Look here: dark line along the left toe, 12.0 ± 0.2 mm long, 0.6 ± 0.2 mm wide, "
        "from 42 to 54 mm"
    )
    assert "(0.04 × 0.04 ± 0.01 in)" in place_words(spot, LengthUnit.INCH)
    assert place_words(replace(spot, clock_deg=75.0), LengthUnit.MM).endswith(
        "at 2:30 (75°), 22 mm"
    )


def test_without_a_target_nothing_is_in_mm_or_inches(marked):
    for unit in LengthUnit:
        for each in map(unscaled, marked.indications):
            words = place_words(each, unit)
            assert " px" in words
            assert not re.search(r"\b(mm|in)\b", words)


def test_places_that_look_alike_are_told_together_once(marked):
    groups = look_here_groups(marked.indications)
    numbers = [[each.number for each in group.indications] for group in groups]
    assert numbers == [[1, 4], [2], [3], [5], [6]]


def test_no_text_calls_them_anything_and_each_says_look_here(marked):
    # What every result says of flaws that no photo is judged by is no word on them.
    texts = (
        printed(marked).replace(marked.caution, "").replace(marked.not_judged, ""),
        indications_csv(marked).replace(marked.caution, ""),
        result_to_json(replace(marked, caution="", not_judged="", checks=())),
    )
    for text in texts:
        assert not VERDICTS.search(text)
        assert "look here" in text
        assert "an inspector says" in text
    for each in marked.indications:
        assert place_words(each, LengthUnit.MM) in texts[0]


def test_a_result_without_any_prints_nothing_about_them(make_result):
    assert "look here" not in printed(make_result()).lower()
    assert indications_csv(make_result()).split("\r\n") == [",".join(HEADER), ""]


def test_the_table_for_spreadsheets_holds_every_place(marked):
    rows = list(csv.DictReader(io.StringIO(indications_csv(marked))))
    assert len(rows) == len(marked.indications)
    for row, each in zip(rows, marked.indications, strict=True):
        assert int(row["number"]) == each.number
        assert float(row["length_along_mm"]) == pytest.approx(each.length_along_mm, abs=0.005)
        assert float(row["corner_3_y_px"]) == pytest.approx(each.box_px[2][1], abs=0.05)
        assert row["length_along_px"] == ""


def yellow(picture):
    return (picture == YELLOW[::-1]).all(axis=2)


def photo_part(picture, photo):
    corner = (picture == photo.pixels_bgr[0, 0]).all(axis=2)[:, 0]
    top = int(np.argmax(corner))
    return picture[top : top + photo.height_px, : photo.width_px]


def test_each_place_has_its_box_and_its_plate_off_the_toes_and_off_the_face(make_photo, marked):
    photo = make_photo()
    part = photo_part(annotated_picture(photo, marked, unit=LengthUnit.MM), photo)
    for each in marked.indications:
        corners = np.array(each.box_px)
        edge = corners[0] + 0.5 * (corners[1] - corners[0])
        x, y = np.round(edge).astype(int)
        assert yellow(part[y - 4 : y + 5, x - 4 : x + 5]).any()
    plates = cv2.erode(yellow(part).astype(np.uint8), np.ones((4, 4), np.uint8))
    count, _ = cv2.connectedComponents(cv2.dilate(plates, np.ones((13, 13), np.uint8)))
    assert count - 1 == len(marked.indications)
    left, right = (
        np.array([getattr(station, name) for station in marked.stations])
        for name in ("left_toe_px", "right_toe_px")
    )
    for share in np.linspace(0.0, 1.0, 11):
        x, y = np.round(left + share * (right - left)).astype(int).T
        assert not plates[y, x].any()


def test_the_marks_add_a_list_and_a_line_of_the_legend_below_the_photo(
    make_photo, make_result, marked
):
    photo = make_photo()
    bare, full = (
        annotated_picture(photo, result, unit=LengthUnit.MM) for result in (make_result(), marked)
    )
    assert full.shape[0] > bare.shape[0] + 100
    assert not yellow(bare).any()


def test_a_place_outside_the_close_up_is_not_drawn_over_its_rulers(make_photo, make_result):
    whole = make_result()
    far = replace(
        whole,
        indications=(indication(1, CandidateKind.SPOT_ON_BASE, 30, 3.4, whole, side="right"),),
    )
    photo = make_photo()
    drawn = yellow(annotated_picture(photo, far, unit=LengthUnit.MM))
    rows = np.flatnonzero(drawn.any(axis=1))
    groups = np.split(rows, np.flatnonzero(np.diff(rows) > 60) + 1)
    assert len(groups) == 2  # in the photo and in the legend


def plate(drawing):
    """Where plates are filled, without the thin lines about boxes."""
    mask = (drawing.pixels_rgb == YELLOW).all(axis=2).astype(np.uint8)
    return cv2.erode(mask, np.ones((4, 4), np.uint8)).astype(bool)


def test_a_number_makes_room_for_an_arrow(make_photo, marked):
    photo = make_photo()
    weld, marks = weld_lines(marked, 0), look_here_marks(marked, 0)[1:2]
    free, crossed = blank(photo.width_px, photo.height_px), blank(photo.width_px, photo.height_px)
    frame = (0.0, float(photo.height_px))
    draw_look_here(free, marks, weld, frame=frame, width_px=2.0)
    row, column = (int(np.median(each)) for each in np.nonzero(plate(free)))
    arrow = np.array([[column, row - 60.0], [column, row + 60.0]])
    draw_look_here(crossed, marks, weld, frame=frame, width_px=2.0, arrows=[arrow])
    assert plate(crossed).any()
    assert not plate(crossed)[row - 60 : row + 61, column].any()


def test_a_station_s_number_is_left_out_where_a_box_is_and_the_unit_stands_at_the_next(
    make_photo, make_result
):
    photo, weld = make_photo(), weld_lines(make_result(), 0)
    free, boxed = (blank(photo.width_px, photo.height_px) for _ in range(2))
    draw_station_numbers(free, weld, width_px=2.0, size_px=24)
    first, second = number_boxes(free)[:2]
    (x0, y0), (x1, y1) = first
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)
    draw_station_numbers(boxed, weld, width_px=2.0, size_px=24, clear_of=[corners])
    assert (boxed.finished_rgb()[y0:y1, x0:x1] == 255).all()
    (left, _), (right, _) = number_boxes(boxed)[0]
    assert right - left > 1.3 * (second[1][0] - second[0][0])
    assert left < second[0][0] < second[1][0] < right


def number_boxes(drawing):
    """Top left and bottom right of each number, along the weld; ticks are smaller."""
    ink = (drawing.finished_rgb() < 255).any(axis=2).astype(np.uint8)
    joined = cv2.dilate(ink, np.ones((1, 9), np.uint8))
    _, _, found, _ = cv2.connectedComponentsWithStats(joined)
    boxes = [((x, y), (x + w, y + h)) for x, y, w, h, _ in found[1:] if w > 20]
    return sorted(boxes)


def test_the_marked_photo_has_the_same_marks_and_fewer_words(make_photo, marked):
    photo = make_photo()
    whole = annotated_picture(photo, marked, unit=LengthUnit.MM)
    short = marked_picture(photo, marked, unit=LengthUnit.MM)
    assert short.shape[1] == whole.shape[1]
    assert short.shape[0] < 0.8 * whole.shape[0]
    np.testing.assert_array_equal(photo_part(short, photo), photo_part(whole, photo))
    # The caution ends both.
    tail = round(0.05 * short.shape[1])
    np.testing.assert_array_equal(short[-tail:], whole[-tail:])
