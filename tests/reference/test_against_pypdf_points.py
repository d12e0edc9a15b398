"""The numbers written into the PDF, read by pypdf and compared with the design in points.

A point is 1/72 inch (ISO 32000-1, 8.3.2.3, *from memory*), so mm = pt x 25.4 / 72, exactly.
"""

import io
from collections.abc import Iterator

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from pypdf import PdfReader
from pypdf.generic import ContentStream

from beadcheck.target.catalogue import pipe_strip, plate_card, plate_strips
from beadcheck.target.design import TargetDesign
from beadcheck.target.ink import Paper
from beadcheck.target.pages import draw_pdf

MM_PER_POINT = 25.4 / 72.0
WRITTEN_TO_MM = 4e-5
"""Numbers are written to seven figures: 1.8e-5 mm for each of the two that make a length."""
DESIGNS = [plate_card(), plate_strips(), pipe_strip(33.4), pipe_strip(168.3), pipe_strip(610.0)]


def _reader(design: TargetDesign, paper: Paper) -> PdfReader:
    return PdfReader(io.BytesIO(draw_pdf(design, paper)))


def _filled_paths_mm(reader: PdfReader) -> Iterator[NDArray[np.float64]]:
    """Rectangles of each filled path, (N, 4): x, y, width, height; y down from the page's top."""
    for page in reader.pages:
        height_mm = float(page.mediabox.height) * MM_PER_POINT
        boxes: list[list[float]] = []
        for operands, operator in ContentStream(page.get_contents(), reader).operations:
            if operator == b"re":
                x, y, width, height = (float(number) * MM_PER_POINT for number in operands)
                boxes.append([x, height_mm - y - height, width, height])
            elif operator in {b"f", b"f*"}:
                if boxes:
                    yield np.array(boxes)
                boxes = []


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_every_marker_is_written_at_its_size_and_pitch(design: TargetDesign, paper: Paper) -> None:
    paths = [path for path in _filled_paths_mm(_reader(design, paper)) if len(path) > 7]
    assert len(paths) == len(design.markers)
    shifts = []
    for marker, path in zip(design.markers, paths, strict=True):
        low, high = path[:, :2].min(axis=0), (path[:, :2] + path[:, 2:]).max(axis=0)
        assert_allclose(high - low, np.ptp(marker.corners_mm, axis=0), atol=WRITTEN_TO_MM)
        shifts.append(low - marker.corners_mm[0])
    # Within one piece of paper one shift holds for all markers.
    ends = (*design.joints_mm, np.inf)
    segment = [int(np.searchsorted(ends, m.corners_mm[0, 0], side="right")) for m in design.markers]
    for k in set(segment):
        of_segment = np.array([s for s, place in zip(shifts, segment, strict=True) if place == k])
        assert_allclose(
            of_segment, of_segment[:1].repeat(len(of_segment), axis=0), atol=WRITTEN_TO_MM
        )


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_each_page_carries_a_check_bar_each_way_of_exactly_100_mm(
    design: TargetDesign, paper: Paper
) -> None:
    reader = _reader(design, paper)
    boxes = np.vstack(list(_filled_paths_mm(reader)))
    for length, thickness in ((2, 3), (3, 2)):
        bars = boxes[(boxes[:, length] > 60.0) & (boxes[:, thickness] > 0.5)]
        assert len(bars) == len(reader.pages)
        assert_allclose(bars[:, length], 100.0, atol=WRITTEN_TO_MM)


@pytest.mark.parametrize(
    ("paper", "size_pt"), [(Paper.A4, (595.2756, 841.8898)), (Paper.LETTER, (612.0, 792.0))]
)
@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_pages_have_the_size_of_the_paper_and_viewers_are_told_not_to_scale(
    design: TargetDesign, paper: Paper, size_pt: tuple[float, float]
) -> None:
    reader = _reader(design, paper)
    for page in reader.pages:
        size = sorted([float(page.mediabox.width), float(page.mediabox.height)])
        assert_allclose(size, size_pt, atol=1e-4)
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_every_font_is_embedded(design: TargetDesign) -> None:
    for page in _reader(design, Paper.A4).pages:
        fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
        used = [font for font in fonts if "/FontDescriptor" in font]
        assert len(used) >= 2
        assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in used)
