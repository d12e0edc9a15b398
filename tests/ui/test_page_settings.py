"""Settings used: asked for, asked about, remembered, and their advice shown."""

import re

from playwright.sync_api import Page, expect

from .conftest import Visit, choose, measure, reload
from .scene import SAMPLES
from .test_page_access import too_small, violations

PULSED = SAMPLES / "plate-gtaw-pulsed.jpg"
VERDICTS = re.compile(r"defect|reject|fail|accept|fault|repair", re.IGNORECASE)


def say_pulsed(page: Page) -> None:
    page.locator("#coupon button").click()
    page.locator("#settings button").click()
    page.locator("#process input").click()
    page.get_by_role("option", name="GTAW (TIG), pulsed").click()
    expect(page.locator("#peak_current")).to_be_visible()


def enter(page: Page, **numbers: str) -> None:
    for name, number in numbers.items():
        page.locator(f"#{name} input").fill(number)
        page.locator(f"#{name} input").blur()


def test_pulse_times_are_asked_about_with_the_travel_that_follows_and_answered(
    visit: Visit,
) -> None:
    page = visit(bypass_csp=True)
    choose(page, PULSED)
    say_pulsed(page)
    expect(page.locator("#current")).to_be_hidden()
    expect(page.locator("#times_are")).to_be_hidden()
    enter(page, peak_current="120", background_current="36", volts="11")
    enter(page, peak_s="0.5", background_s="0.5")
    question = page.locator("#question")
    expect(question).to_contain_text("seconds, or marks of a dial?")
    expect(page.locator("#times_are input:checked")).to_have_count(0)
    assert violations(page) == {}
    assert too_small(page) == []
    expect(page.locator("#tray [data-look=looking]")).to_have_count(0, timeout=60_000)
    measure(page)
    expect(question).to_contain_text("mm/min is usual)")
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(question).to_contain_text("in/min is usual)")
    page.locator("#unit").get_by_text("mm", exact=True).click()
    expect(question).to_contain_text("mm/min is usual)")
    expect(page.locator("#times_are")).to_be_visible()
    result = page.locator("[data-result]")
    expect(result).to_contain_text("Nobody has said that 0.5 and 0.5 are seconds")
    page.locator("#times_are").get_by_text("Seconds", exact=True).click()
    expect(page.locator("#settings button")).to_contain_text("peak 0.5 s")
    shown = result.get_attribute("data-result")
    page.locator("#measure").click()
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)
    expect(result.locator("caption").last).to_have_text("Values from the settings")
    expect(result).to_contain_text("Heat input")
    assert violations(page) == {}
    assert page.evaluate("document.documentElement.scrollWidth") <= 390  # lists and switches fit
    reload(page)
    expect(page.locator("#settings button")).to_contain_text("120 A on the peak")
    expect(page.locator("#times_are input:checked")).to_have_value("seconds")
    page.locator("#settings button").click()
    enter(page, peak_s="5")
    expect(page.locator("#times_are input:checked")).to_have_count(0)


def test_advice_and_places_to_look_at_tell_what_comes_first_and_why_on_a_tap(
    visit: Visit,
) -> None:
    page = visit()
    choose(page, SAMPLES / "plate-smaw-undercut.jpg")
    expect(page.locator("#tray [data-look=looking]")).to_have_count(0, timeout=60_000)
    measure(page)
    first = page.locator(".bc-advice > li").first
    expect(first).to_contain_text("Seen:")
    expect(first.get_by_text("Source:")).to_be_hidden()
    first.locator("summary").click()
    expect(first.get_by_text("Source:")).to_be_visible()
    listed = page.locator(".bc-look-here")
    expect(listed).to_contain_text("Look here: dark line along the left toe")
    expect(listed).to_contain_text("What it is, an inspector says.")
    numbers = [int(each) for each in listed.locator(".bc-look-number").all_inner_texts()]
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    assert not VERDICTS.search(listed.inner_text())
    expect(page.get_by_role("heading", name="Look here: candidates only")).to_be_visible()
    page.get_by_text("One file alone").click()
    expect(page.get_by_role("link", name="Save indications.csv")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
