"""A toe is put right by taps or by keys, and the numbers follow; the truth is the sample's own."""

import io
import json
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page, expect

from .conftest import Visit, choose, measure, visits
from .scene import SAMPLE_TRUTH
from .test_page_access import LEAST_TARGET_PX, PRESSED

TAPS_S_MM = (-45.0, -30.0, -15.0, 0.0, 15.0, 30.0, 45.0)
Share = tuple[float, float]


def truth() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(SAMPLE_TRUTH.read_bytes())
    return read


def left_toe_shares(outside_widths: float = 0.0) -> list[Share]:
    """Places along the true left toe, or outside it, as shares of the photo's sides."""
    toes, (width_px, height_px) = truth()["weld"]["toes"], truth()["image_size"]
    shares = []
    for wanted in TAPS_S_MM:
        at = min(range(len(toes["s_mm"])), key=lambda i: abs(toes["s_mm"][i] - wanted))
        (x, y), (x_other, y_other) = toes["hi_px"][at], toes["lo_px"][at]
        outside = (x + outside_widths * (x - x_other), y + outside_widths * (y - y_other))
        shares.append(((outside[0] + 0.5) / width_px, (outside[1] + 0.5) / height_px))
    return shares


def bring(page: Page, share: Share) -> tuple[float, float]:
    """Move the picture until a place of the photo lies in the middle; return where that is."""
    at: list[float] = page.locator(".bc-view").evaluate(
        """(view, [x, y]) => {
          const stage = view.querySelector(".bc-stage");
          view.scrollLeft = x * stage.clientWidth - view.clientWidth / 2;
          view.scrollTop = y * stage.clientHeight - view.clientHeight / 2;
          const box = stage.getBoundingClientRect();
          return [box.left + x * box.width, box.top + y * box.height];
        }""",
        list(share),
    )
    return at[0], at[1]


def tap_along(page: Page, shares: list[Share]) -> None:
    page.locator(".bc-view").scroll_into_view_if_needed()
    for number, share in enumerate(shares, start=1):
        page.touchscreen.tap(*bring(page, share))
        expect(page.locator("[data-side=left]")).to_have_count(number)


def mean_width(page: Page) -> tuple[float, float]:
    """Mean width and its U, as the page shows them."""
    row = page.locator("[data-result] table tr", has=page.get_by_role("rowheader", name="Mean"))
    value, expanded = re.findall(r"\d+\.\d+", row.first.inner_text())[:2]
    return float(value), float(expanded)


def open_panel(page: Page, name: str = "Correct a toe") -> Locator:
    page.get_by_role("button", name=name).click()
    board = page.locator(".bc-correct:not([hidden])")
    expect(board.locator("h2")).to_be_focused()
    return board


def measured_again(page: Page, button: Locator) -> None:
    shown = page.locator("[data-result]").get_attribute("data-result")
    button.click()
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)
    expect(page.locator("#correcting")).to_be_hidden()


def saved_result(page: Page) -> dict[str, Any]:
    with page.expect_download() as waited:
        page.get_by_role("link", name="Save beadcheck-results.zip").click()
    with zipfile.ZipFile(io.BytesIO(waited.value.path().read_bytes())) as archive:
        read: dict[str, Any] = json.loads(archive.read("result.json"))
    return read


@pytest.fixture(scope="module")
def corrected_page(browser: Browser, address: str, weld: Path) -> Iterator[Page]:
    """A phone's page with a measured weld, whose toes its tests may move."""
    with visits(browser, address) as open_page:
        page = open_page("phone", bypass_csp=True)
        choose(page, weld)
        measure(page)
        yield page


def test_taps_move_a_toe_and_the_width_follows_to_the_truth_and_back(corrected_page: Page) -> None:
    true_mm = truth()["weld"]["width_mm"]["body_in_view"]["mean"]
    page = corrected_page
    found = mean_width(page)

    open_panel(page)
    tap_along(page, left_toe_shares(outside_widths=0.15))
    measured_again(page, page.locator("#corrected"))
    wrong, _ = mean_width(page)
    assert wrong - true_mm > 0.8
    expect(page.locator("[data-result] figcaption")).to_contain_text("A person placed")

    board = open_panel(page)
    # What was placed before is there to be changed, not to be done again.
    expect(page.locator("[data-side=left]")).to_have_count(len(TAPS_S_MM))
    board.get_by_role("button", name="Clear this toe").tap()
    tap_along(page, left_toe_shares(outside_widths=0.03))
    board.get_by_role("button", name="Undo").tap()
    expect(page.locator("[data-side=left]")).to_have_count(len(TAPS_S_MM) - 1)
    page.touchscreen.tap(*bring(page, left_toe_shares()[-1]))
    assert page.evaluate("window.innerWidth") == 390
    measured_again(page, page.locator("#corrected"))
    value, expanded = mean_width(page)
    assert abs(value - true_mm) <= expanded
    assert expanded > found[1]
    result = saved_result(page)
    assert 80 <= sum(each["left_placed_by_hand"] for each in result["stations"]) <= 95
    assert [each["code"] for each in result["photos"][0]["problems"]].count("toes_by_hand") == 1

    # A correction stays when other settings are measured, until it is taken back.
    measured_again(page, page.locator("#measure"))
    assert mean_width(page) == (value, expanded)
    open_panel(page)
    measured_again(page, page.locator("#uncorrected"))
    assert mean_width(page) == found
    assert not any(each["left_placed_by_hand"] for each in saved_result(page)["stations"])


def test_a_weld_is_measured_and_a_toe_placed_by_keyboard_alone(visit: Visit, weld: Path) -> None:
    page = visit("desktop")
    choose(page, weld)
    page.locator("#before summary").focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "measure":
            break
    page.keyboard.press("Enter")
    page.locator("[data-result]").wait_for()
    expect(page.locator("#bc-result")).to_be_focused()
    found, _ = mean_width(page)
    page.get_by_role("button", name="Correct a toe").focus()
    page.keyboard.press("Enter")
    board = page.locator(".bc-correct:not([hidden])")
    board.get_by_label("Right toe").focus()
    page.keyboard.press("Space")
    view, cross = board.locator(".bc-view"), board.get_by_role("button", name="Point at the cross")
    for way in ("ArrowLeft", "ArrowRight"):
        view.focus()
        before = view.evaluate("view => view.scrollLeft")
        for _ in range(8):
            page.keyboard.press(way)
        page.wait_for_timeout(500)  # browsers scroll smoothly
        assert abs(view.evaluate("view => view.scrollLeft") - before) > 150
        cross.focus()
        page.keyboard.press("Enter")
        point = page.locator("[data-side=right]").last
        expect(point).to_be_focused()
        top = point.evaluate("point => parseFloat(point.style.top)")
        for _ in range(36):  # across the weld, from the left toe to the right one
            page.keyboard.press("ArrowDown")
        assert point.evaluate("point => parseFloat(point.style.top)") > top
    expect(board.locator(".bc-told")).to_contain_text("2 points on the right toe")
    page.locator("#corrected").focus()
    shown = page.locator("[data-result]").get_attribute("data-result")
    page.keyboard.press("Enter")
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)
    expect(page.locator("[data-result] figcaption")).to_contain_text("of the right toe")
    assert mean_width(page)[0] != found


@pytest.fixture
def emptied(corrected_page: Page) -> Page:
    """The same with its panel open, and no point on it."""
    if corrected_page.locator("#correcting").is_hidden():
        open_panel(corrected_page)
    board = corrected_page.locator(".bc-correct:not([hidden])")
    for toe in ("Right toe", "Left toe"):
        board.get_by_text(toe, exact=True).tap()
        clear = board.get_by_role("button", name="Clear this toe")
        if clear.is_enabled():
            clear.tap()
    expect(corrected_page.locator("[data-side]")).to_have_count(0)
    return corrected_page


def test_the_arrows_on_the_page_move_the_chosen_point_by_one_pixel_of_the_screen(
    emptied: Page,
) -> None:
    page = emptied
    board = page.locator(".bc-correct:not([hidden])")
    tap_along(page, left_toe_shares()[2:4])
    point = page.locator("[data-side=left][aria-pressed=true]")
    before = point.bounding_box()
    for _ in range(7):
        board.get_by_role("button", name="Move the point a little up").tap()
    after = point.bounding_box()
    assert before is not None
    assert after is not None
    assert before["y"] - after["y"] == pytest.approx(7.0, abs=0.6)
    assert before["x"] == pytest.approx(after["x"], abs=0.6)
    # A tap on a point takes it up again; a weld on the screen is wide enough for three per cent.
    width_px = page.locator(".bc-stage").evaluate(
        "stage => stage.clientWidth * JSON.parse(stage.closest('section').dataset.found).width"
    )
    assert 0.03 * width_px > 2.5
    first = page.locator("[data-side=left]").first
    first.scroll_into_view_if_needed()
    first.tap()
    expect(first).to_have_attribute("aria-pressed", "true")
    expect(page.locator("[data-side=left]")).to_have_count(2)


def test_the_open_panel_is_fit_for_gloves_and_screen_readers(emptied: Page) -> None:
    page = emptied
    board = page.locator(".bc-correct:not([hidden])")
    tap_along(page, left_toe_shares()[3:4])
    found = Axe().run(page).response["violations"]
    assert {each["id"]: [node["html"][:200] for node in each["nodes"]] for each in found} == {}
    boxes = (
        page.locator("#correcting")
        .locator(PRESSED)
        .evaluate_all(
            "all => all.filter(each => each.checkVisibility())"
            ".map(each => [each.outerHTML.slice(0, 120), each.getBoundingClientRect()])"
            ".map(([html, box]) => [html, Math.min(box.width, box.height)])"
        )
    )
    assert len(boxes) > 10
    assert [html for html, size in boxes if size < LEAST_TARGET_PX] == []

    expect(board.locator(".bc-told")).to_contain_text("Tap another point")
    expect(page.locator("#corrected")).to_be_disabled()
    expect(page.locator("#uncorrected")).to_be_hidden()
    page.get_by_role("button", name="Close without measuring").click()
    expect(page.locator("#correcting")).to_be_hidden()
    expect(page.get_by_role("button", name="Correct a toe")).to_be_focused()


def test_lines_that_make_no_weld_are_refused_in_view_and_can_be_mended(emptied: Page) -> None:
    page = emptied
    board = page.locator(".bc-correct:not([hidden])")
    tap_along(page, left_toe_shares()[2:4])
    board.get_by_text("Right toe").tap()
    crossing = [left_toe_shares(outside_widths=0.3)[2], left_toe_shares(outside_widths=-0.3)[3]]
    for number, share in enumerate(crossing, start=1):
        page.touchscreen.tap(*bring(page, share))
        expect(page.locator("[data-side=right]")).to_have_count(number)
    page.locator("#corrected").click()
    expect(page.locator(".bc-refusal")).to_contain_text("cross")
    # The panel stands far below the line that says so.
    expect(page.locator(".bc-refusal")).to_be_in_viewport()
    board.get_by_role("button", name="Clear this toe").tap()
    measured_again(page, page.locator("#corrected"))
    expect(page.locator("[data-result] figcaption")).to_contain_text("A person placed")
