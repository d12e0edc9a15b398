"""A whole job by one person: measured, put right, gauged, kept, looked up and printed."""

import csv
import io
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from beadcheck.gauge_study import read_study

from .conftest import SIZES, Visit, choose, measure
from .scene import SAMPLES
from .test_page_access import too_small, violations
from .test_page_correcting import (
    bring,
    left_toe_shares,
    mean_width,
    measured_again,
    open_panel,
)
from .test_page_keeping import keep, open_keeping, told

SLOW_MS = 120_000


def test_a_weld_is_measured_put_right_gauged_kept_followed_and_printed(
    visit: Visit, weld: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The visit itself fails where anything is asked of another computer, or an error is logged.
    monkeypatch.setenv("BEADCHECK_LOG", str(tmp_path / "log.sqlite3"))
    page = visit("phone", bypass_csp=True)
    choose(page, weld)
    measure(page)
    _put_a_toe_right(page)
    _gauge(page, tmp_path)
    open_keeping(page)
    keep(page, written="Tern", coupon="P1")
    told(page, "Kept as number 1: Tern, P1")
    _look(page)

    page.locator("#clear").click()
    expect(page.locator("[data-result]")).to_have_count(0)
    choose(page, SAMPLES / "plate-gtaw-pulsed.jpg")
    measure(page)
    keep(page, written="Tern", coupon="P2")
    told(page, "Kept as number 2: Tern, P2")

    page.locator("#steady button").first.click()
    drawn = page.locator("#steady-drawn")
    expect(drawn.get_by_role("rowheader")).to_have_text(["Tern"], timeout=SLOW_MS)
    page.locator("#steady_person input").click()
    page.get_by_role("option", name="Tern", exact=True).click()
    expect(drawn.locator("img.bc-chart").first).to_be_visible(timeout=SLOW_MS)
    expect(drawn).to_contain_text("2 welds")
    expect(drawn).to_contain_text("too few to tell steady from unsteady")

    page.locator("#log button").first.click()
    lines = page.locator(".bc-kept-line")
    expect(lines).to_have_count(2, timeout=SLOW_MS)
    lines.last.click()
    chosen = page.locator("[data-kept='1']")
    expect(chosen).to_contain_text("Corrected")
    with page.expect_download(timeout=SLOW_MS) as waited:
        chosen.get_by_role("link", name="Print this again, A4").click()
    sheet = PdfReader(io.BytesIO(waited.value.path().read_bytes()))
    said = " ".join(each.extract_text() for each in sheet.pages)
    for words in ("Tern", "P1", "cap 7.jpg", "qualified inspector"):
        assert words in said
    _look(page)


def _put_a_toe_right(page: Page) -> None:
    open_panel(page)
    page.locator(".bc-view").scroll_into_view_if_needed()
    shares = left_toe_shares()[2:5]
    for number, share in enumerate(shares, start=1):
        at = bring(page, share)
        page.touchscreen.tap(*at)
        expect(page.locator("[data-side=left]")).to_have_count(number)
    measured_again(page, page.locator("#corrected"))
    expect(page.locator("[data-result] figcaption")).to_contain_text("A person placed")


def _gauge(page: Page, folder: Path) -> None:
    """Enter readings 0.1 mm above the mean width, one of them with a comma; four of six places."""
    page.locator("#gauge button").first.click()
    fields = page.locator("[data-place]")
    expect(fields).to_have_count(6)
    value, _ = mean_width(page)
    found = page.locator("#gauge-found")
    fields.first.fill("wide")
    page.locator("#gauge-compare").click()
    expect(found).to_contain_text("What stands for the gauge at cap 7.jpg, place 1 is no length.")
    fields.first.fill(f"{value + 0.1:.2f}".replace(".", ","))
    page.locator("#gauge-compare").click()
    expect(found).to_contain_text("1 of at least 3 places")
    for number in range(1, 4):
        fields.nth(number).fill(f"{value + 0.1:.2f}")
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(fields.first).to_have_value(f"{round((value + 0.1) / 25.4, 4):g}", timeout=SLOW_MS)
    expect(fields.nth(5)).to_have_value("")
    page.locator("#unit").get_by_text("mm", exact=True).click()
    # Four digits of an inch are three thousandths of a millimetre.
    expect(fields.nth(3)).to_have_value(re.compile(r"^\d+\.\d{2,3}$"), timeout=SLOW_MS)
    assert float(fields.nth(3).input_value()) == pytest.approx(value + 0.1, abs=0.006)
    page.locator("#gauge-compare").click()
    expect(found).to_contain_text("limits of agreement", timeout=SLOW_MS)
    chart = found.locator("img.bc-chart")
    assert chart.evaluate("image => image.naturalWidth") > 200
    expect(found.get_by_role("row")).to_have_count(5)
    with page.expect_download() as waited:
        found.get_by_role("link", name="Save gauge-study.csv").click()
    path = folder / waited.value.suggested_filename
    path.write_bytes(waited.value.path().read_bytes())
    assert len(read_study(path)) == 4
    rows = list(csv.DictReader(io.StringIO(path.read_text("utf-8-sig"))))
    assert [row["part"] for row in rows] == [f"cap 7.jpg, place {k}" for k in (1, 2, 3, 4)]
    for row in rows:
        assert float(row["gauge"]) == pytest.approx(value + 0.1, abs=0.006)


def _look(page: Page) -> None:
    """Fit for the screens, for gloves and for screen readers."""
    assert violations(page) == {}
    for size in ("desktop", "phone"):
        page.set_viewport_size(SIZES[size]["viewport"])
        assert too_small(page) == []
        width: int = page.evaluate("document.documentElement.scrollWidth")
        assert width <= SIZES[size]["viewport"]["width"]
