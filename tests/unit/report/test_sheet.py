"""The printed sheet: whole, true to scale, its fonts in it, and nothing of a photo's metadata."""

import io
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from numpy.testing import assert_allclose
from pypdf import PdfReader

from beadcheck.report.wording import LengthUnit
from beadcheck.sheet import SheetFacts, sheet_pdf, sheet_photo
from beadcheck.sheet.weld_strip import PX_PER_MM, weld_strip
from beadcheck.target.ink import Paper

DPI = 300
EDGE_MM = 8.0
"""Hardly any printer prints further out than 6 mm; the sheet keeps clear of that."""


@pytest.fixture(name="sheet")
def _sheet(make_photo):
    def sheet(result, *, paper=Paper.A4, unit=LengthUnit.MM, facts=None) -> bytes:
        photo = make_photo()
        photos = [sheet_photo(photo, result, k, unit=unit) for k in range(len(result.photos))]
        facts = SheetFacts() if facts is None else facts
        return sheet_pdf(result, photos, facts=facts, paper=paper, unit=unit)

    return sheet


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("many", [False, True])
def test_nothing_is_clipped_and_it_fills_two_pages_at_most(
    paper, many, sheet, make_result, make_sections
) -> None:
    result = make_sections(count=9, photos=2) if many else make_result()
    pdf = sheet(result, paper=paper)
    document = pypdfium2.PdfDocument(pdf)
    assert 1 <= len(document) <= 2
    for page in document:
        size_mm = np.array(page.get_size()) * 25.4 / 72.0
        assert_allclose(size_mm, paper.size_mm, atol=0.01)
        ink = np.asarray(page.render(scale=150 / 72, grayscale=True).to_numpy()).squeeze() < 250
        edge = round(EDGE_MM * 150 / 25.4)
        inside = np.zeros_like(ink)
        inside[edge:-edge, edge:-edge] = True
        assert ink.any()
        assert not (ink & ~inside).any()


def test_what_a_person_needs_stands_on_it(sheet, make_result) -> None:
    result = make_result()
    words = text_of(sheet(result, facts=SheetFacts(coupon="Tern 3", welder="17")))
    for wanted in (
        "Tern 3",
        "17",
        "weld width",
        "9.00 ± 0.19 mm",
        "within",
        "outside",
        "undecided",
        "not measured",
        "Harrow Quay Weld Shop (first term), rule 3",
        "Brace your hand.",
        "For the inspector",
        "Accepted / rejected",
        result.not_judged,
        "The final judgement is a qualified inspector's",
        "204 mm",
    ):
        assert wanted in words, wanted


def test_inches_stand_beside_millimetres_where_they_are_wanted(sheet, make_result) -> None:
    assert "0.354 ± 0.008 in" in text_of(sheet(make_result(), unit=LengthUnit.INCH))


def test_markup_in_a_name_is_printed_and_not_obeyed(sheet, make_result) -> None:
    name = "<b>Tern</b> & <img src='x'/>"
    result = make_result(file="a<b.jpg")
    words = text_of(sheet(result, facts=SheetFacts(coupon=name, welder="</para>")))
    assert "<b>Tern</b> & <img" in words
    assert "a<b.jpg" in words


def test_every_font_is_embedded(sheet, make_result) -> None:
    for page in PdfReader(io.BytesIO(sheet(make_result()))).pages:
        written = page.get_contents().get_data().split(b"BT ")[1:]
        for name, font in page["/Resources"]["/Font"].items():
            shown = any(name.encode() + b" " in text and b"Tj" in text for text in written)
            # reportlab opens each page with a font of the viewer's, in which nothing is set.
            assert shown == ("/FontFile2" in font.get("/FontDescriptor", {}))


@pytest.mark.parametrize("paper", list(Paper))
def test_the_scale_bar_is_as_long_as_it_says(paper, sheet, make_result) -> None:
    page = pypdfium2.PdfDocument(sheet(make_result(), paper=paper))[0]
    px_per_mm = DPI / 25.4
    grey = np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()
    words = page.get_textpage().get_text_range()
    said_mm = float(words.split("the bar is ")[1].split(" mm")[0])
    # The bar is the longest solid black run that starts at the left margin and is 1 mm high.
    solid = (grey < 60).astype(np.int32)
    high = round(0.8 * px_per_mm)
    columns = np.array(
        [
            length
            for row in range(0, grey.shape[0] - high, 2)
            if (length := _run(solid[row : row + high].all(axis=0), round(13.0 * px_per_mm)))
        ]
    )
    assert_allclose(columns.max() / px_per_mm, said_mm, atol=2.0 / px_per_mm)


def _run(solid: np.ndarray, start: int) -> int:
    """Length of the solid run that starts within a pixel or two of a column."""
    at = next((k for k in range(start - 2, start + 4) if solid[k]), None)
    if at is None:
        return 0
    gaps = np.flatnonzero(~solid[at:])
    return int(gaps[0]) if gaps.size else solid.size - at


def test_the_straightened_weld_keeps_its_millimetres(make_photo, make_result) -> None:
    result = make_result()
    strip = weld_strip(make_photo(), result, 0)
    assert strip is not None
    stations = [s for s in result.stations if s.s_mm is not None]
    span_mm = stations[-1].s_mm - stations[0].s_mm
    assert_allclose(strip.length_mm, span_mm + 4.0, atol=2.0 / PX_PER_MM)
    widths = [s.weld_width_mm for s in stations]
    assert_allclose(strip.right_mm - strip.left_mm, widths)


def test_a_photo_without_scale_has_no_strip_and_still_a_sheet(
    sheet, make_photo, make_result
) -> None:
    result = make_result()
    bare = replace(result, stations=(), ripples=())
    assert weld_strip(make_photo(), bare, 0) is None
    assert "For the inspector" in text_of(sheet(bare))


def test_the_same_result_gives_the_same_bytes(sheet, make_result) -> None:
    assert sheet(make_result()) == sheet(make_result())
