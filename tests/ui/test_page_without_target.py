"""Photos without a target: a switch before measuring, and one tap after a refusal."""

import json
import re
from pathlib import Path

from playwright.sync_api import Page, expect

from .conftest import Visit, choose, measure, reload
from .scene import SAMPLES

OLD = SAMPLES / "plate-smaw-no-target.jpg"
LENGTH_WORDS = re.compile(r"\d mm\b|\d in\b|inch")


def switch(page: Page) -> None:
    page.locator("#no_target").get_by_text("No target in the photo").click()


def measure_again(page: Page, press: str) -> None:
    """Press something that measures anew, and wait for its result."""
    shown = page.locator("[data-result]").get_attribute("data-result")
    page.locator(press).click()
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)


def saved_result(page: Page) -> dict:
    with page.expect_download() as waited:
        page.get_by_text("One file alone").click()
        page.get_by_role("link", name="Save result.json").click()
    return json.loads(waited.value.path().read_text("utf-8"))


def test_the_switch_gives_pixels_and_one_tap_measures_what_was_refused_for_want_of_a_target(
    visit: Visit, weld: Path
) -> None:
    page = visit("phone")
    page.locator("#coupon button").click()
    expect(page.locator("#check_bar")).to_be_visible()
    choose(page, OLD, weld)
    told = page.locator("#tray [data-code=no_marker]")
    expect(told).to_contain_text("switch on “No target in the photo”")
    row = page.locator("#no_target label")
    box = row.bounding_box()
    assert box is not None
    # A target for a finger: at least 48 CSS px (a common guide of phone makers, from memory).
    assert box["height"] >= 48.0
    switch(page)
    expect(told).to_have_count(0)
    expect(page.locator("#check_bar")).to_be_hidden()
    expect(page.locator("#unit")).to_be_hidden()
    measure(page)
    _is_in_pixels_and_shares(page)
    reload(page)
    expect(page.locator("#no_target input")).to_be_checked()
    expect(page.locator("#unit")).to_be_hidden()
    switch(page)
    expect(page.locator("#unit")).to_be_visible()
    measure_again(page, "#measure")
    result = page.locator("[data-result]")
    expect(result.locator("table")).to_contain_text(" mm")
    expect(result.locator("table")).not_to_contain_text(" px")
    expect(result.locator("[data-bare]")).to_have_count(1)
    measure_again(page, "[data-bare]")
    expect(result.locator("[data-bare]")).to_have_count(0)
    document = saved_result(page)
    # The other photo shows its target, and is measured in mm as before.
    assert [each["without_target"] for each in document["photos"]] == [True, False]
    assert [each["usable"] for each in document["photos"]] == [True, True]
    units = [
        {each["unit"] for each in document["quantities"] if each["photo"] == photo}
        for photo in (0, 1)
    ]
    assert units[0] == {"px", "ratio"}
    assert "mm" in units[1]
    # Measured once more, it keeps what was chosen for it.
    measure_again(page, "#measure")
    expect(result.locator("[data-bare]")).to_have_count(0)


def _is_in_pixels_and_shares(page: Page) -> None:
    result = page.locator("[data-result]")
    mean = result.locator("tr", has=page.get_by_role("rowheader", name="Mean")).first
    expect(mean).to_contain_text(" px")
    expect(result.locator("table").first).to_contain_text("of the mean")
    expect(result).to_contain_text("without a target: pixels and percent only")
    expect(result).to_contain_text("Limits on lengths were not checked")
    assert not LENGTH_WORDS.findall(result.inner_text())
    assert page.evaluate("window.innerWidth") == 390
    document = saved_result(page)
    assert [each["without_target"] for each in document["photos"]] == [True, True]
    assert {each["unit"] for each in document["quantities"]} == {"px", "ratio"}
