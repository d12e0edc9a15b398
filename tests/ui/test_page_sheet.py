"""The sheet to print: its own paper and unit, for its own visitor, from photos that are here."""

import io
from pathlib import Path

import httpx
import numpy as np
import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from .conftest import Visit, choose, measure

SLOW_MS = 180_000

# ISO 216 A4 and ANSI/ASME Y14.1 size A (8.5 by 11 in), in points of 1/72 in; from memory.
SIZES_PT = {"A4": (595.276, 841.890), "Letter": (612.0, 792.0)}


def sheet(page: Page, paper: str) -> PdfReader:
    with page.expect_download(timeout=SLOW_MS) as waited:
        page.get_by_role("link", name=f"Sheet to print, {paper}").click()
    assert waited.value.suggested_filename == f"beadcheck-sheet-{paper.lower()}.pdf"
    return PdfReader(io.BytesIO(waited.value.path().read_bytes()))


def words(read: PdfReader) -> str:
    return " ".join(page.extract_text() for page in read.pages)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_holds_result_picture_and_inspectors_lines_on_the_paper_that_was_chosen(
    measured_weld: Page, paper: str
) -> None:
    page = measured_weld
    if paper == "Letter":
        page.locator("#unit").get_by_text("inch", exact=True).click()
        page.locator("#results a[href*='unit=inch']").first.wait_for()
    read = sheet(page, paper)
    page.locator("#unit").get_by_text("mm", exact=True).click()
    page.locator("#results a[href*='unit=mm']").first.wait_for()
    for each in read.pages:
        np.testing.assert_allclose(each.mediabox[2:], SIZES_PT[paper], atol=0.01)
    said = words(read)
    assert "cap 7.jpg" in said
    assert "qualified inspector" in said
    assert (" in)" in said) == (paper == "Letter")
    assert any(picture.image.width > 300 for picture in read.pages[0].images)


def test_a_sheet_opens_for_its_own_visitor_alone_and_a_wrong_address_gets_one_sentence(
    visit: Visit, weld: Path
) -> None:
    page, other = visit(faults=True), visit()
    choose(page, weld)
    measure(page)
    address = page.get_by_role("link", name="Sheet to print, A4").evaluate("link => link.href")
    assert httpx.get(address).status_code == 404
    assert other.request.get(address).status == 404
    for wrong in (address.replace("/a4", "/a0"), address.replace("=mm", "=ell")):
        answer = page.request.get(wrong)
        assert answer.status == 422
        assert answer.text().count(".") == 2
    page.get_by_role("button", name="Remove cap 7.jpg").click()
    page.locator("#tray .bc-photos > li").wait_for(state="detached")
    answer = page.request.get(address, timeout=SLOW_MS)
    assert answer.status == 422
    assert "cap 7.jpg belongs to this result and was removed" in answer.text()
    page.get_by_role("link", name="Sheet to print, A4").click()
    expect(page.locator("#results .bc-refusal")).to_contain_text("was removed", timeout=SLOW_MS)
    assert page.url == other.url
