"""Steadiness: a person's welds as a chart with its sentences, or everybody side by side."""

from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Page, Route, expect

from beadcheck.quantity import Statistic

from .conftest import SIZES, Visit
from .kept import fill_log, width_result
from .test_page_access import too_small, violations, violations_by_day_and_night
from .test_page_guards import ask

SLOW_MS = 90_000
SPREADS_MM: Final = {
    "Tern": (0.42, 0.47, 0.40, 0.44, 0.38, 0.45, 0.41, 0.22, 0.19, 0.21),
    "<i>Gull</i> & co": (0.30, 0.33),
}


@pytest.fixture
def filled_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "log.sqlite3"
    monkeypatch.setenv("BEADCHECK_LOG", str(path))
    welds = [
        (person, day, width_result(Statistic.SD, spread_mm, 0.03))
        for person, spreads_mm in SPREADS_MM.items()
        for day, spread_mm in enumerate(spreads_mm)
    ]
    return fill_log(path, welds)


def open_steadiness(page: Page) -> None:
    page.locator("#steady button").click()


def choose_in(page: Page, name: str, option: str) -> None:
    page.locator(f"#{name} input").click()
    page.get_by_role("option", name=option, exact=True).click()


def test_a_persons_welds_are_shown_once_chosen_and_everybody_before_that(
    visit: Visit, filled_log: Path
) -> None:
    assert filled_log.exists()
    page = visit("phone", bypass_csp=True)
    held: list[Route] = []
    letting: list[bool] = []

    def hold(route: Route) -> None:
        if letting:
            route.continue_()
        else:
            held.append(route)

    page.route("**/queue/join*", hold)
    open_steadiness(page)
    drawn = page.locator("#steady-drawn")
    expect(drawn).to_contain_text("Reading the log")
    letting.append(True)  # first: what comes meanwhile is held no more
    for route in held:
        route.continue_()
    expect(page.locator("#steady-help")).to_contain_text("can read the whole log here")
    expect(page.locator("#steady_person input")).to_have_value("Everybody, side by side")
    table = drawn.get_by_role("table")
    expect(table).to_be_visible(timeout=SLOW_MS)
    expect(table.get_by_role("rowheader")).to_have_text(["<i>Gull</i> & co", "Tern"])
    # Means of the first five and of the last five: 0.422 and 0.296 mm.
    expect(table.get_by_role("row", name="Tern")).to_contain_text("-30 %")
    assert violations(page) == {}
    choose_in(page, "steady_person", "Tern")
    chart = drawn.locator("img.bc-chart")
    expect(chart).to_be_visible(timeout=SLOW_MS)
    assert "10 welds" in (chart.get_attribute("alt") or "")
    assert chart.evaluate("image => image.naturalWidth") > 200
    expect(drawn).to_contain_text("10 welds, 2026-03-02 to 2026-03-11")
    drawn.locator("summary").click()
    expect(drawn.get_by_role("row")).to_have_count(11)
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []
    for size in ("desktop", "phone"):
        page.set_viewport_size(SIZES[size]["viewport"])
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= SIZES[size]["viewport"]["width"]
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(drawn).to_contain_text(" in)", timeout=SLOW_MS)
    choose_in(page, "steady_value", "Ripple spacing")
    expect(drawn).to_contain_text("Nothing was logged that fits", timeout=SLOW_MS)


def test_a_program_without_a_visit_reads_nothing_of_the_log_and_adds_nothing(
    address: str, filled_log: Path
) -> None:
    before = filled_log.read_bytes()
    asked = ("-", "width_spread", "mm")
    for handler, given in (
        ("opened", ()),
        ("opened_1", asked),
        ("chosen", asked),
        ("keep", ("-", "-", "Tern", "P8-17", False)),
    ):
        answer = ask(address, handler, *given)
        assert "process_completed" in answer
        assert "Gull" not in answer
        assert "<table" not in answer
        assert str(filled_log) not in answer
    assert filled_log.read_bytes() == before
