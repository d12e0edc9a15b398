"""Printed pages of the targets: what must hold on any paper and for any pipe."""

import io
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from pypdf import PdfReader

from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.target.catalogue import MARKER_MODULES, pipe_strip, plate_card, plate_strips
from beadcheck.target.design import TargetDesign, rectangle_mm
from beadcheck.target.fonts import text_width_mm, wrapped
from beadcheck.target.ink import Cells, Page, Paper, cut_line, marker_cells
from beadcheck.target.pages import draw_pdf, draw_png, pages
from beadcheck.target.read import read_target
from beadcheck.target.write import target_toml

CALIBRATION = Path(__file__).parents[2] / "calibration"
DPI = 300
PX_PER_MM = DPI / 25.4
UNPRINTABLE_MM = 6.35
"""Printers leave a rim blank, up to a quarter inch (common practice, no published source)."""

DESIGNS = [
    plate_card(),
    plate_strips(),
    *map(pipe_strip, (21.3, 60.3, 141.3, 219.1, 610.0, 1000.0)),
]


def _pixels(content: bytes) -> NDArray[np.uint8]:
    return np.asarray(Image.open(io.BytesIO(content)))


def _cells(page: Page) -> list[Cells]:
    return [mark for mark in page.ink if isinstance(mark, Cells)]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_nothing_is_printed_in_the_rim_that_printers_leave_blank(
    design: TargetDesign, paper: Paper
) -> None:
    rim = int(UNPRINTABLE_MM * 100 / 25.4)
    for content in draw_png(design, paper, dpi=100):
        dark = _pixels(content) < 250
        assert not dark[:rim].any()
        assert not dark[-rim:].any()
        assert not dark[:, :rim].any()
        assert not dark[:, -rim:].any()
        assert dark.any()


@pytest.mark.parametrize("design", DESIGNS[:6], ids=lambda design: design.name)
def test_round_each_marker_a_module_of_paper_stays_white(design: TargetDesign) -> None:
    sheets = pages(design, Paper.A4)
    seen = 0
    for page, content in zip(sheets, draw_png(design, Paper.A4, dpi=DPI), strict=True):
        pixels = _pixels(content)
        for cells in _cells(page):
            x_mm, y_mm = cells.boxes[0].x_mm, cells.boxes[0].y_mm
            side_mm = cells.boxes[0].width_mm
            module_mm = side_mm / MARKER_MODULES
            near = [round((v - 0.98 * module_mm) * PX_PER_MM) for v in (x_mm, y_mm)]
            far = [round((v + side_mm + 0.98 * module_mm) * PX_PER_MM) for v in (x_mm, y_mm)]
            ring = pixels[near[1] : far[1], near[0] : far[0]].copy()
            rim = int(0.9 * module_mm * PX_PER_MM)
            ring[rim:-rim, rim:-rim] = 255
            assert ring.min() > 200
            seen += 1
    assert seen == len(design.markers)


@pytest.mark.parametrize("design", DESIGNS[:4], ids=lambda design: design.name)
def test_the_same_design_always_gives_the_same_bytes(design: TargetDesign) -> None:
    assert draw_pdf(design, Paper.LETTER) == draw_pdf(design, Paper.LETTER)
    assert draw_png(design, Paper.LETTER, dpi=72) == draw_png(design, Paper.LETTER, dpi=72)


def test_the_resolution_is_written_into_the_png() -> None:
    (content,) = draw_png(plate_card(), Paper.LETTER, dpi=150)
    image = Image.open(io.BytesIO(content))
    assert image.size == (1275, 1650)
    # PNG counts whole pixels a metre: half of one is 0.0127 dpi.
    assert image.info["dpi"] == pytest.approx((150.0, 150.0), abs=0.0128)


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_every_page_leaves_the_judgement_to_the_inspector(design: TargetDesign) -> None:
    for page in PdfReader(io.BytesIO(draw_pdf(design, Paper.A4))).pages:
        words = " ".join(page.extract_text().split())
        assert "final judgement is a qualified inspector's" in words
        assert "100 %" in words
        assert "before the next arc" in words


def test_the_strip_says_what_stands_where() -> None:
    words = PdfReader(io.BytesIO(draw_pdf(pipe_strip(219.1), Paper.A4))).pages[0].extract_text()
    for wanted in (
        "set to the punch mark",
        "glue 2 here",
        "segment 3 of 3",
        "1 turn",
        "688.6 mm",
        "270°",
    ):
        assert wanted in words


def test_black_cells_are_merged_into_runs_that_cover_what_opencv_draws() -> None:
    (cells, *_) = marker_cells(plate_card())
    assert isinstance(cells, Cells)
    # The first row of a marker is its black border: one run as long as the side.
    assert cells.boxes[0].width_mm == pytest.approx(12.0)
    assert len(cells.boxes) < 25
    assert sum(box.width_mm * box.height_mm for box in cells.boxes) < 144.0


@pytest.mark.parametrize("length_mm", [1.0, 2.4, 5.0, 17.0, 252.0])
def test_a_cut_line_begins_and_ends_with_a_dash(length_mm: float) -> None:
    dashes = cut_line((10.0, 5.0), (10.0 + length_mm, 5.0))
    assert dashes[0].x_mm == pytest.approx(10.0)
    assert dashes[-1].x_mm + dashes[-1].width_mm == pytest.approx(10.0 + length_mm)


def test_lines_are_broken_between_words_and_none_is_too_wide() -> None:
    text = "Take target, tape, magnets and their residue away before the next arc."
    rows = wrapped(text, width_mm=40.0, size_pt=8.0)
    assert " ".join(rows) == text
    assert max(text_width_mm(row, size_pt=8.0) for row in rows) <= 40.0


def test_only_our_own_targets_are_drawn() -> None:
    design = read_target(CALIBRATION / "plate-card.toml")
    foreign = TargetDesign(
        name="another board",
        dictionary="DICT_4X4_50",
        width_mm=30.0,
        height_mm=30.0,
        thickness_mm=0.2,
        markers=tuple(
            type(marker)(id=k, corners_mm=rectangle_mm(2.0, 2.0, 12.0, 12.0))
            for k, marker in enumerate(design.markers[:1])
        ),
    )
    with pytest.raises(ValueError, match="not one of beadcheck's own"):
        draw_pdf(foreign, Paper.A4)


def _shipped() -> dict[str, TargetDesign]:
    shipped = {"plate-card": plate_card(), "plate-strips": plate_strips()}
    for nps in ("2", "6", "8"):
        diameter_mm = parse_pipe_size(f"NPS {nps}").outside_diameter_mm
        shipped[f"pipe-strip-nps-{nps}"] = pipe_strip(diameter_mm)
    return shipped


@pytest.mark.parametrize("name", _shipped())
def test_the_shipped_target_files_are_what_the_code_writes_today(name: str) -> None:
    text = (CALIBRATION / f"{name}.toml").read_text(encoding="utf-8")
    assert text == target_toml(_shipped()[name])


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", _shipped())
def test_the_shipped_pages_are_what_the_code_draws_today(name: str, paper: Paper) -> None:
    shipped = PdfReader(CALIBRATION / f"{name}-{paper}.pdf")
    today = PdfReader(io.BytesIO(draw_pdf(_shipped()[name], paper)))
    # Content, not bytes: another zlib packs the same page differently.
    assert len(shipped.pages) == len(today.pages)
    for one, other in zip(shipped.pages, today.pages, strict=True):
        assert one.mediabox == other.mediabox
        assert one.get_contents().get_data() == other.get_contents().get_data()
