"""The annotated picture shows what the result says, where it says it, and hides no weld."""

from dataclasses import replace
from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image

from beadcheck.limits import Finding
from beadcheck.report.drawing import Drawing, blank, shortened, text_width_px, wrapped
from beadcheck.report.picture import annotated_picture, write_picture
from beadcheck.report.signs import draw_sign
from beadcheck.report.wording import LengthUnit


def photo_part(picture: np.ndarray, photo) -> np.ndarray:
    """The photo within the picture; it is drawn at its own size."""
    corner = (picture == photo.pixels_bgr[0, 0]).all(axis=2)[:, 0]
    top = int(np.argmax(corner))
    assert corner[top]
    return picture[top : top + photo.height_px, : photo.width_px]


def changed(part: np.ndarray, photo, points_px: np.ndarray, *, reach_px: int = 0) -> np.ndarray:
    """For each point, whether something was drawn there, or no farther off than `reach_px`."""
    drawn = (part != photo.pixels_bgr).any(axis=2).astype(np.uint8)
    size = 2 * reach_px + 1
    near = cv2.dilate(drawn, np.ones((size, size), np.uint8))
    x, y = np.round(points_px).astype(int).T
    return near[y, x].astype(bool)


def toe_points(stations, steps: int = 40) -> np.ndarray:
    """Points closely along the left toe of neighbouring stations."""
    toe = np.array([station.left_toe_px for station in stations])
    at = np.linspace(0, len(toe) - 1, steps * len(toe))
    return np.stack([np.interp(at, np.arange(len(toe)), toe[:, i]) for i in (0, 1)], axis=1)


def test_sure_toes_are_drawn_without_a_gap_and_unsure_ones_with_gaps(make_photo, make_result):
    photo, result = make_photo(), make_result()
    part = photo_part(annotated_picture(photo, result, unit=LengthUnit.MM), photo)
    # Well inside the runs, so that no neighbouring line reaches in.
    sure = changed(part, photo, toe_points(result.stations[40:60]))
    unsure = changed(part, photo, toe_points(result.stations[31:36]))
    left_out = changed(part, photo, toe_points(result.stations[67:70]))
    assert sure.all()
    assert 0.4 < unsure.mean() < 0.9
    assert 0.2 < left_out.mean() < 0.9


def test_the_face_of_the_weld_stays_uncovered_in_the_whole_photo(make_photo, make_result):
    photo, result = make_photo(), make_result()
    part = photo_part(annotated_picture(photo, result, unit=LengthUnit.MM), photo)
    left = np.array([station.left_toe_px for station in result.stations])
    right = np.array([station.right_toe_px for station in result.stations])
    for share in (0.15, 0.3, 0.5, 0.7, 0.85):
        assert not changed(part, photo, left + share * (right - left), reach_px=3).any()


def test_a_refused_photo_is_shown_unmarked_with_the_problem_large_under_it(
    make_photo, make_refusal
):
    photo = make_photo()
    short = annotated_picture(photo, make_refusal("No target."), unit=LengthUnit.MM)
    long = annotated_picture(photo, make_refusal("No target. " * 20), unit=LengthUnit.MM)
    np.testing.assert_array_equal(photo_part(short, photo), photo.pixels_bgr)
    assert len(long) > len(short) + 100


@pytest.mark.parametrize("pipe", [False, True])
def test_inches_add_lines_and_change_no_mark_on_the_photo(make_photo, make_result, pipe):
    photo, result = make_photo(), make_result(pipe=pipe)
    in_mm = annotated_picture(photo, result, unit=LengthUnit.MM)
    in_inches = annotated_picture(photo, result, unit=LengthUnit.INCH)
    assert len(in_inches) > len(in_mm)
    np.testing.assert_array_equal(photo_part(in_mm, photo), photo_part(in_inches, photo))


def test_without_a_target_the_marks_are_the_same_and_inches_change_nothing(
    make_photo, make_result, make_unscaled
):
    photo = make_photo()
    in_mm, in_inches = (annotated_picture(photo, make_unscaled(), unit=unit) for unit in LengthUnit)
    np.testing.assert_array_equal(in_mm, in_inches)
    unscaled, scaled = (
        changed(photo_part(picture, photo), photo, toe_points(make_result().stations[40:60]))
        for picture in (in_mm, annotated_picture(photo, make_result(), unit=LengthUnit.MM))
    )
    assert unscaled.all()
    assert scaled.all()


def test_without_a_target_there_is_no_scale_bar(make_photo, make_unscaled, make_result):
    photo = make_photo()
    corner = np.s_[photo.height_px - 80 : photo.height_px - 30, 40:120]
    bare, scaled = (
        photo_part(annotated_picture(photo, result, unit=LengthUnit.MM), photo)[corner]
        for result in (make_unscaled(), make_result())
    )
    np.testing.assert_array_equal(bare, photo.pixels_bgr[corner])
    assert (scaled != photo.pixels_bgr[corner]).any()


def test_the_order_of_stations_does_not_matter(make_photo, make_result):
    photo, result = make_photo(), make_result()
    turned = replace(result, stations=result.stations[::-1])
    np.testing.assert_array_equal(
        annotated_picture(photo, result, unit=LengthUnit.MM),
        annotated_picture(photo, turned, unit=LengthUnit.MM),
    )


@pytest.mark.parametrize(("width_px", "height_px"), [(4032, 3024), (3024, 4032)])
def test_large_photos_are_drawn_at_most_2400_px_long(make_photo, make_result, width_px, height_px):
    photo = make_photo(width_px=width_px, height_px=height_px)
    picture = annotated_picture(photo, make_result(), unit=LengthUnit.MM)
    assert picture.shape[1] == round(2400 * width_px / max(width_px, height_px))
    assert picture.dtype == np.uint8


@pytest.mark.parametrize(("width_px", "height_px"), [(1, 1), (40, 30), (12, 5000), (5000, 12)])
def test_any_shape_of_photo_can_be_refused_in_a_picture(
    make_photo, make_refusal, width_px, height_px
):
    photo = make_photo(width_px=width_px, height_px=height_px)
    picture = annotated_picture(photo, make_refusal(), unit=LengthUnit.INCH)
    assert picture.shape[1] >= 900


def test_the_photo_passed_in_is_left_as_it_was(make_photo, make_result):
    photo = make_photo()
    before = photo.pixels_bgr.copy()
    annotated_picture(photo, make_result(), unit=LengthUnit.MM)
    np.testing.assert_array_equal(photo.pixels_bgr, before)


def test_the_written_picture_is_a_jpeg_without_metadata(tmp_path, make_photo, make_refusal):
    bgr = annotated_picture(make_photo(), make_refusal(), unit=LengthUnit.MM)
    write_picture(tmp_path / "a.jpg", bgr)
    with Image.open(BytesIO((tmp_path / "a.jpg").read_bytes())) as image:
        image.load()
        assert image.format == "JPEG"
        assert image.size == (bgr.shape[1], bgr.shape[0])
        assert not image.getexif()
        assert not {"exif", "comment", "icc_profile", "xmp"} & image.info.keys()
        # Coding loses a little at the letters' edges, nothing in the whole.
        error = np.abs(np.asarray(image)[..., ::-1].astype(float) - bgr)
    assert error.mean() < 1.5


def shape_of(finding: Finding) -> np.ndarray:
    drawing = blank(96, 96)
    draw_sign(drawing, finding, (48.0, 48.0), 36.0)
    return drawing.finished_rgb().min(axis=2) < 128


def test_the_signs_differ_in_shape_where_no_colour_is_seen():
    shapes = {finding: shape_of(finding) for finding in Finding}
    for one in Finding:
        for other in Finding:
            if one is not other:
                same = (shapes[one] & shapes[other]).sum() / (shapes[one] | shapes[other]).sum()
                assert same < 0.85, (one, other)


def test_wrapped_lines_fit_and_lose_no_letter():
    text = "a word and averyveryveryverylongwordthatmustbebroken at 12\u00a0mm end"
    lines = wrapped(text, 20, 160.0, taken_px=60.0)
    assert text_width_px(lines[0], 20) <= 100.0
    assert all(text_width_px(line, 20) <= 160.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert any("12\u00a0mm" in line for line in lines)


def test_a_long_name_is_shortened_in_its_middle_and_fits():
    name = "a very long name of a photo from a phone with many words in it.jpg"
    short = shortened(name, 20, 220.0)
    assert text_width_px(short, 20) <= 220.0
    assert short.startswith("a very")
    assert short.endswith("it.jpg")
    assert shortened("short.jpg", 20, 220.0) == "short.jpg"


def test_a_dashed_line_leaves_gaps_of_the_length_asked_for():
    drawing = Drawing(np.full((9, 210, 3), 255, np.uint8))
    ends = np.array([[5.0, 4.0], [205.0, 4.0]])
    drawing.dashes(ends, (0, 0, 0), 1.0, dash_px=20.0, gap_px=20.0)
    dark = drawing.finished_rgb()[4, :, 0] < 128
    assert 0.45 < dark[5:205].mean() < 0.6
    assert np.count_nonzero(np.diff(dark.astype(int)) == 1) == 5
