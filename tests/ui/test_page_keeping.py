"""Keeping a result in the log: once, under a name, and only when somebody says so."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from beadcheck.log import (
    Corrected,
    Selection,
    log_address,
    measurement_of,
    measurements,
    open_log,
)

from .conftest import SIZES, Visit, choose, measure, reload
from .test_page_access import too_small, violations
from .test_page_sheet import sheet, words

SLOW_MS = 60_000


@pytest.fixture
def log_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop log.sqlite3"
    monkeypatch.setenv("BEADCHECK_LOG", str(path))
    return path


def open_keeping(page: Page) -> None:
    page.locator("#keep button").click()
    page.locator("#keep-it").wait_for()


def keep(page: Page, *, written: str = "", coupon: str = "") -> None:
    page.locator("#newcomer :is(input, textarea)").fill(written)
    page.locator("#coupon_name :is(input, textarea)").fill(coupon)
    page.locator("#keep-it").click()


def told(page: Page, words: str) -> None:
    expect(page.locator("#kept")).to_contain_text(words, timeout=SLOW_MS)


def test_a_result_is_kept_once_under_a_name_and_then_stands_on_its_sheet(
    visit: Visit, weld: Path, log_file: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    choose(page, weld)
    expect(page.locator("#keep")).to_be_hidden()
    measure(page)
    open_keeping(page)
    assert not log_file.exists()
    expect(page.locator("#keep-help")).to_contain_text(str(log_file))
    expect(page.locator("#welder")).to_be_hidden()
    keep(page)
    told(page, "Not kept. It is not said who welded it.")
    assert not log_file.exists()
    keep(page, written="Tern", coupon="P8-17")
    told(page, "Kept as number 1: Tern, P8-17, pass not said. Tern is new in the log.")
    expect(page.locator("#newcomer :is(input, textarea)")).to_have_value("")
    page.locator("#keep-it").click()
    told(page, "Nothing was added: already kept as number 1: Tern, P8-17, pass not said.")
    keep(page, written="TERN", coupon="p8-17")
    told(page, "Nothing was added")
    assert violations(page) == {}
    assert too_small(page) == []
    for size in ("desktop", "phone"):
        page.set_viewport_size(SIZES[size]["viewport"])
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= SIZES[size]["viewport"]["width"]
    reload(page)
    told(page, "Kept as number 1: Tern")
    with open_log(log_address({}, str(log_file))) as log:
        (row,) = measurements(log, Selection())
        whole = measurement_of(log, row.number)
    assert (row.person, row.coupon, row.run) == ("Tern", "P8-17", "pass not said")
    assert row.limit_set
    assert whole.result.quantities
    assert [photo.copy is not None and photo.copy.is_file() for photo in whole.photos] == [True]
    said = words(sheet(page, "A4"))
    assert "Tern" in said
    assert "P8-17" in said


def test_known_people_can_be_chosen_and_what_the_log_refuses_is_said_in_its_own_words(
    visit: Visit, weld: Path, log_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = visit()
    choose(page, weld)
    measure(page)
    open_keeping(page)
    broken = tmp_path / "broken.sqlite3"
    broken.write_bytes(b"no database at all, but long enough to be looked at" * 40)
    monkeypatch.setenv("BEADCHECK_LOG", str(broken))
    keep(page, written="Tern", coupon="P8-17")
    told(page, "Not kept.")
    assert "Traceback" not in page.content()
    expect(page.locator("#newcomer :is(input, textarea)")).to_have_value("Tern")
    expect(page.locator("[data-result]")).to_be_visible()
    monkeypatch.setenv("BEADCHECK_LOG", str(log_file))
    keep(page, written="<b>Gull</b> & co", coupon="A")
    told(page, "Kept as number 1: <b>Gull</b> & co, A")
    reload(page)
    open_keeping(page)
    expect(page.locator("#welder input")).to_have_value("Choose")
    page.locator("#welder input").click()
    page.get_by_role("option", name="<b>Gull</b> & co").click()
    page.locator("#keep-it").click()
    told(page, "Nothing was added: already kept as number 1")
    expect(page.locator("#welder input")).to_have_value("Choose")
    page.locator("#welder input").click()
    page.get_by_role("option", name="<b>Gull</b> & co").click()
    keep(page, written="Tern")
    told(page, "Not kept. <b>Gull</b> & co is chosen, and Tern is written.")
    page.locator("#welder input").click()
    page.get_by_role("option", name="Choose").click()
    keep(page, written="Tern")
    told(page, "It corrects number 1, which stays in the log. Tern is new in the log.")
    keep(page, written="x" * 200)
    told(page, "Not kept.")
    with open_log(log_address({}, str(log_file))) as log:
        assert [row.person for row in measurements(log, Selection())] in (
            ["Tern", "<b>Gull</b> & co"],
            ["<b>Gull</b> & co", "Tern"],
        )
        (correction,) = measurement_of(log, 2).corrections
    assert (correction.what, correction.corrects) == (Corrected.OTHER, 1)
