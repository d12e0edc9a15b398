"""The log on the page: found again, printed again, saved as a table, and a wrong name put right."""

import csv
import io
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from beadcheck.limits import Finding
from beadcheck.log import Selection, log_address, measurements, open_log
from beadcheck.quantity import Statistic
from beadcheck.result import CheckRecord

from .conftest import SIZES, Visit
from .kept import fill_log, width_result
from .test_page_access import too_small, violations, violations_by_day_and_night
from .test_page_guards import ask

SLOW_MS = 90_000
KEPT: Final = (*["Tern"] * 9, *["<i>Gull</i> & co"] * 5)
"""More than one page of the list holds; the newest is Gull's."""


LIMIT: Final = CheckRecord(
    name="weld_width",
    statistic="max",
    finding=Finding.UNDECIDED,
    value=12.6,
    expanded_uncertainty=0.3,
    limit=12.7,
    unit="mm",
    source="shop rule, 2026",
    rule="w = U",
)


@pytest.fixture
def filled_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "log.sqlite3"
    monkeypatch.setenv("BEADCHECK_LOG", str(path))
    welds = [
        (person, day, width_result(Statistic.MEAN, 9.0 + 0.1 * day, 0.21, LIMIT))
        for day, person in enumerate(KEPT)
    ]
    return fill_log(path, welds)


def open_log_part(page: Page) -> None:
    page.locator("#log button").first.click()
    page.locator("#log-list .bc-kept-line").first.wait_for(timeout=SLOW_MS)


def fits(page: Page, size: str) -> bool:
    width: int = page.evaluate("document.documentElement.scrollWidth")
    return width <= SIZES[size]["viewport"]["width"]


def test_what_was_kept_is_found_again_opened_printed_and_saved_as_a_table(
    visit: Visit, filled_log: Path
) -> None:
    assert filled_log.exists()
    page = visit("phone", bypass_csp=True)
    open_log_part(page)
    lines = page.locator(".bc-kept-line")
    expect(page.locator("[data-lines]")).to_have_text("1 to 12 of 14 measurements, newest first.")
    expect(lines).to_have_count(12)
    expect(lines.first).to_contain_text("<i>Gull</i> & co: P14, cap")
    expect(lines.first).to_contain_text("Findings: 1 undecided")
    expect(lines.first).to_contain_text("Weld width, mean 10.30 ± 0.21 mm")
    assert violations(page) == {}
    page.get_by_role("button", name="Older").click()
    expect(lines).to_have_count(2, timeout=SLOW_MS)
    expect(page.locator("[data-lines]")).to_be_focused()
    expect(lines.last).to_contain_text("Tern: P1, cap")
    lines.last.click()
    chosen = page.locator("[data-kept='1']")
    expect(chosen.locator("h3").first).to_be_focused(timeout=SLOW_MS)
    expect(lines.last).to_have_attribute("aria-current", "true")
    expect(chosen).to_contain_text("9.00 ± 0.21 mm", timeout=SLOW_MS)
    expect(chosen).to_contain_text("Undecided")
    expect(chosen).to_contain_text("qualified inspector")
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []
    for size in ("desktop", "phone"):
        page.set_viewport_size(SIZES[size]["viewport"])
        assert fits(page, size)
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(chosen).to_contain_text("(0.354 ± 0.009 in)", timeout=SLOW_MS)
    expect(lines).to_have_count(2)
    with page.expect_download(timeout=SLOW_MS) as waited:
        chosen.get_by_role("link", name="Print this again, Letter").click()
    assert waited.value.suggested_filename == "beadcheck-sheet-1-letter.pdf"
    sheet = PdfReader(io.BytesIO(waited.value.path().read_bytes()))
    said = " ".join(each.extract_text() for each in sheet.pages)
    assert "P1, cap" in said
    assert " in)" in said
    page.locator("#log_person input").click()
    page.get_by_role("option", name="Tern", exact=True).click()
    expect(page.locator("[data-lines]")).to_contain_text("9 measurements of Tern", timeout=SLOW_MS)
    expect(page.locator("[data-kept]")).to_have_count(0)
    with page.expect_download() as waited:
        page.get_by_role("link", name="Save every value of Tern").click()
    table = waited.value.path().read_text("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(table)))
    assert [row["person"] for row in rows if row["quantity"]] == ["Tern"] * 9
    assert "qualified inspector" in table


def test_a_wrong_name_is_put_right_and_the_first_measurement_says_so(
    visit: Visit, filled_log: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    open_log_part(page)
    expect(page.locator("#log-names")).to_be_hidden()
    page.locator("[data-number='14']").click()
    page.locator("#names-right").click()
    told = page.locator("#log-told")
    expect(told).to_contain_text("Not put right. It is not said what is right.", timeout=SLOW_MS)
    page.locator("#right_welder input").click()
    page.get_by_role("option", name="<i>Gull</i> & co").click()
    page.locator("#names-right").click()
    expect(told).to_contain_text("Number 14 is kept under these names already.", timeout=SLOW_MS)
    page.locator("#right_welder input").click()
    page.get_by_role("option", name="Tern").click()
    page.locator("#right_coupon :is(input, textarea)").fill("P8-17")
    page.locator("#names-right").click()
    expect(told).to_contain_text(
        "Kept as number 15: Tern, P8-17, cap. It takes the place of", timeout=SLOW_MS
    )
    expect(page.locator("[data-kept='15']")).to_contain_text("in place of number 14")
    assert violations(page) == {}
    assert too_small(page) == []
    page.locator("[data-number='14']").click()
    old = page.locator("[data-kept='14']")
    expect(old).to_contain_text("Number 15 took the place of this one.", timeout=SLOW_MS)
    expect(page.locator("#log-names")).to_be_hidden()
    expect(page.locator("[data-number='14']")).to_contain_text("Corrected: number 15")
    with open_log(log_address({}, str(filled_log))) as log:
        rows = measurements(log, Selection())
        latest = measurements(log, Selection(latest_only=True))
    assert [row.person for row in rows][-2:] == ["<i>Gull</i> & co", "Tern"]
    assert 14 not in [row.number for row in latest]


def test_without_a_log_the_part_says_so_and_makes_none(
    visit: Visit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BEADCHECK_LOG", str(tmp_path / "none.sqlite3"))
    page = visit()
    page.locator("#log button").first.click()
    expect(page.locator("#log-list")).to_contain_text("Nothing was kept", timeout=SLOW_MS)
    page.locator("#steady button").click()
    expect(page.locator("#steady-drawn")).to_contain_text("Nothing was kept", timeout=SLOW_MS)
    assert page.request.get(page.url + "log/values.csv").status == 422
    assert not (tmp_path / "none.sqlite3").exists()


def test_a_program_without_a_visit_reads_nothing_of_the_log_and_puts_no_name_right(
    visit: Visit, address: str, filled_log: Path
) -> None:
    before = filled_log.read_bytes()
    look = ('{"number": 3}', "-", "mm")
    for handler, given in (
        ("log_opened", look),
        ("log_asked", look),
        ("log_of", look[1:]),
        ("names_right", (*look, "-", "Moth", "P1")),
    ):
        answer = ask(address, handler, *given)
        assert "process_completed" in answer
        assert "Gull" not in answer
        assert "9.20" not in answer
    page = visit()
    for path in ("log/values.csv", "log/3/sheet/a4?unit=mm"):
        assert page.request.get(page.url + path, timeout=SLOW_MS).status == 200
    page.context.clear_cookies()
    for path in ("log/values.csv", "log/3/sheet/a4?unit=mm"):
        assert page.request.get(page.url + path).status == 404
    assert filled_log.read_bytes() == before
