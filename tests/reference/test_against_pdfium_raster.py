"""Printed targets, rasterised by PDFium and measured in pixels.

PDFium (through `pypdfium2`) and OpenCV's ArUco detector stand outside the project: one turns our
pages into pixels as a printer would, the other reads the markers. Page sizes: ISO 216 A4 (210 by
297 mm) and ANSI/ASME Y14.1 size A, Letter (8.5 by 11 in); both *from memory*.
"""

from functools import cache
from itertools import pairwise

import cv2
import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from beadcheck.target.catalogue import paper_circumference_mm, pipe_strip, plate_card, plate_strips
from beadcheck.target.design import TargetDesign
from beadcheck.target.ink import Paper
from beadcheck.target.pages import draw_pdf, draw_png

DPI = 600
PX_PER_MM = DPI / 25.4
TRUE_WITHIN_MM = 0.1
"""What a steel rule on paper can tell; a pixel at 600 dpi is 0.042 mm."""

DESIGNS = {"card": plate_card(), "strips": plate_strips(), "nps 8": pipe_strip(219.1)}
PAGES = [(name, paper) for name in DESIGNS for paper in Paper]


@cache
def _rasters(name: str, paper: Paper) -> tuple[NDArray[np.uint8], ...]:
    """Pages as PDFium prints them: grey, 0 is black."""
    document = pdfium.PdfDocument(draw_pdf(DESIGNS[name], paper))
    return tuple(
        page.render(scale=DPI / 72.0, grayscale=True).to_numpy().squeeze().copy()
        for page in document
    )


@cache
def _markers(name: str, paper: Paper) -> dict[int, NDArray[np.float64]]:
    """Corners of every marker that OpenCV reads, in mm on its page, to a pixel or so."""
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DESIGNS[name].dictionary))
    detector = cv2.aruco.ArucoDetector(dictionary)
    found = {}
    for pixels in _rasters(name, paper):
        half = cv2.resize(pixels, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        corners, ids, _ = detector.detectMarkers(half)
        for marker_id, quad in zip(ids.reshape(-1), corners, strict=True):
            found[int(marker_id)] = (quad.reshape(4, 2).astype(float) + 0.5) * 2.0 / PX_PER_MM
    return found


def _edge_mm(profile: NDArray[np.float64]) -> tuple[float, float]:
    """First and last edge of the one dark stretch of a profile, in mm, by its sum of darkness."""
    darkness = 1.0 - profile / 255.0
    middle = int(np.round((darkness * np.arange(len(darkness))).sum() / darkness.sum()))
    return middle - darkness[:middle].sum(), middle + darkness[middle:].sum()


def _dark_span_mm(
    pixels: NDArray[np.uint8], low_mm: tuple[float, float], high_mm: tuple[float, float], axis: int
) -> tuple[float, float]:
    """Where the ink inside a window begins and ends along an axis (0 is x), in mm on the page."""
    (x0, y0), (x1, y1) = (np.round(np.array(p) * PX_PER_MM).astype(int) for p in (low_mm, high_mm))
    profile = pixels[y0:y1, x0:x1].mean(axis=axis, dtype=float)
    first, last = _edge_mm(profile)
    start = (x0, y0)[axis]
    return (start + first) / PX_PER_MM, (start + last) / PX_PER_MM


@pytest.mark.parametrize(("name", "paper"), PAGES)
def test_opencv_reads_every_marker_of_the_printed_page(name: str, paper: Paper) -> None:
    assert set(_markers(name, paper)) == {marker.id for marker in DESIGNS[name].markers}


@pytest.mark.parametrize(("name", "paper"), PAGES)
def test_markers_stand_where_the_design_says(name: str, paper: Paper) -> None:
    design, found = DESIGNS[name], _markers(name, paper)
    ends = (0.0, *design.joints_mm, design.width_mm)
    for start_mm, end_mm in pairwise(ends):
        segment = [m for m in design.markers if start_mm <= m.corners_mm[0, 0] < end_mm]
        wanted = np.array([marker.corners_mm.mean(axis=0) for marker in segment])
        seen = np.array([found[marker.id].mean(axis=0) for marker in segment])
        # One shift for the place on the page: all that is left is error of scale and pitch.
        left = (seen - seen[0]) - (wanted - wanted[0])
        print(f"{len(segment)} markers, worst place {np.abs(left).max():.3f} mm off")
        assert np.abs(left).max() < TRUE_WITHIN_MM


@pytest.mark.parametrize(("name", "paper"), PAGES)
def test_the_black_square_of_a_marker_is_as_large_as_the_design_says(
    name: str, paper: Paper
) -> None:
    design, found = DESIGNS[name], _markers(name, paper)
    for marker in (design.markers[0], design.markers[3]):
        side_mm = float(np.ptp(marker.corners_mm[:, 0]))
        module_mm = side_mm / 7.0
        low = found[marker.id].min(axis=0)
        middle_of_border = low + 0.5 * module_mm
        window = (
            (low[0] - 1.0, middle_of_border[1] - 0.3),
            (low[0] + side_mm + 1.0, middle_of_border[1] + 0.3),
        )
        first_mm, last_mm = _dark_span_mm(_rasters(name, paper)[0], *window, axis=0)
        # Sums of darkness tell a clean edge to a small part of a pixel.
        assert_allclose(last_mm - first_mm, side_mm, atol=0.02)


def _bar_window(
    pixels: NDArray[np.uint8], axis: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Window along the one run of ink over 90 mm, the check bar, and 1 mm beyond its ends."""
    shape = (1, round(90.0 * PX_PER_MM))
    runs = cv2.morphologyEx(
        (pixels < 128).astype(np.uint8),
        cv2.MORPH_OPEN,
        np.ones(shape if axis == 0 else shape[::-1], np.uint8),
    )
    columns, rows = (np.flatnonzero(runs.any(axis=k)) / PX_PER_MM for k in (0, 1))
    along, across = (columns, rows) if axis == 0 else (rows, columns)
    middle = float(across.mean())
    low, high = (float(along[0]) - 1.0, middle - 0.2), (float(along[-1]) + 1.0, middle + 0.2)
    return (low, high) if axis == 0 else (low[::-1], high[::-1])


@pytest.mark.parametrize(("name", "paper"), PAGES)
@pytest.mark.parametrize("axis", [0, 1], ids=["level", "upright"])
def test_both_check_bars_are_100_mm_long(name: str, paper: Paper, axis: int) -> None:
    pixels = _rasters(name, paper)[0]
    first_mm, last_mm = _dark_span_mm(pixels, *_bar_window(pixels, axis), axis=axis)
    print(f"check bar {last_mm - first_mm:.3f} mm")
    assert_allclose(last_mm - first_mm, 100.0, atol=TRUE_WITHIN_MM)


@pytest.mark.parametrize("paper", list(Paper))
def test_segments_glued_end_to_end_give_one_turn_true_to_a_tenth(paper: Paper) -> None:
    name = "nps 8"
    design, found = DESIGNS[name], _markers(name, paper)
    pixels = _rasters(name, paper)[0]
    ends = (0.0, *design.joints_mm, design.width_mm)
    length_mm = 0.0
    for k, (start_mm, end_mm) in enumerate(pairwise(ends)):
        centres = np.array(
            [
                found[marker.id].mean(axis=0)
                for marker in design.markers
                if start_mm <= marker.corners_mm[0, 0] < end_mm
            ]
        )
        middle_y_mm = float(centres[:, 1].mean())
        # The dashed line at the start, and the thin line that the next segment's edge is laid on.
        left = _line_x_mm(pixels, float(centres[0, 0]) - 7.0, middle_y_mm)
        if k < len(design.joints_mm):
            right = _line_x_mm(pixels, float(centres[-1, 0]) + 7.0, middle_y_mm)
            length_mm += right - left
        else:
            length_mm += float(centres[-1, 0]) - left
    last_centre_mm = float(design.markers[-1].corners_mm[:, 0].mean())
    print(f"start edge to last marker: {length_mm:.3f} mm, designed {last_centre_mm:.3f} mm")
    assert_allclose(length_mm, last_centre_mm, atol=TRUE_WITHIN_MM)
    # The bold line beyond the last marker lies one turn from the start edge.
    turn_mm = paper_circumference_mm(219.1, thickness_mm=design.thickness_mm)
    beyond_mm = turn_mm - last_centre_mm
    place = _line_x_mm(pixels, float(centres[-1, 0]) + beyond_mm, middle_y_mm)
    seen_mm = length_mm + place - float(centres[-1, 0])
    print(f"start edge to the line of one turn: {seen_mm:.3f} mm, designed {turn_mm:.3f} mm")
    assert_allclose(seen_mm, turn_mm, atol=TRUE_WITHIN_MM)


def _line_x_mm(pixels: NDArray[np.uint8], near_x_mm: float, y_mm: float) -> float:
    """Middle of the upright line near a place, in mm on the page."""
    first_mm, last_mm = _dark_span_mm(
        pixels, (near_x_mm - 1.0, y_mm - 4.0), (near_x_mm + 1.0, y_mm + 4.0), axis=0
    )
    return 0.5 * (first_mm + last_mm)


@pytest.mark.parametrize("name", DESIGNS)
def test_the_png_shows_the_markers_where_pdfium_prints_them(name: str) -> None:
    raster = _rasters(name, Paper.A4)[0]
    (content, *_) = draw_png(DESIGNS[name], Paper.A4, dpi=DPI)
    pixels = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert pixels is not None
    assert_allclose(pixels.shape, raster.shape, atol=1)
    for corners_mm in _markers(name, Paper.A4).values():
        (x0, y0), (x1, y1) = (
            np.round((corner + shift) * PX_PER_MM).astype(int)
            for corner, shift in ((corners_mm.min(axis=0), -1.0), (corners_mm.max(axis=0), 1.0))
        )
        windows = [image[y0:y1, x0:x1] for image in (pixels, raster)]
        # An edge d px elsewhere leaves 255 d / (5 sqrt(2 pi)) grey values after this blur.
        one, other = (cv2.GaussianBlur(window, (0, 0), 5.0).astype(int) for window in windows)
        assert np.abs(one - other).max() < 0.5 * 255.0 / (5.0 * np.sqrt(2.0 * np.pi))


@pytest.mark.parametrize(
    ("paper", "size_mm"), [(Paper.A4, (210.0, 297.0)), (Paper.LETTER, (215.9, 279.4))]
)
@pytest.mark.parametrize("name", DESIGNS)
def test_page_boxes_are_those_of_the_paper(
    name: str, paper: Paper, size_mm: tuple[float, float]
) -> None:
    page = pdfium.PdfDocument(draw_pdf(DESIGNS[name], paper))[0]
    size = sorted(length * 25.4 / 72.0 for length in page.get_size())
    assert_allclose(size, size_mm, atol=1e-3)


def test_a_design_for_the_largest_pipe_of_the_table_prints_on_both_papers() -> None:
    design: TargetDesign = pipe_strip(610.0)
    assert [len(pdfium.PdfDocument(draw_pdf(design, paper))) for paper in Paper] == [3, 3]
