"""Limits in the page: found by family, judged in the unit that was chosen, explained on a tap."""

from pathlib import Path

from playwright.sync_api import Page, expect

from .conftest import Visit, choose, measure, reload
from .test_page_access import too_small, violations

THUMB_PX = 44.0
"""Least height of what a thumb in a glove must hit (WCAG 2.5.5)."""


def opened(page: Page) -> None:
    page.locator("#coupon button").click()


def pick(page: Page, name: str, words: str) -> None:
    page.locator(f"#{name} input").click()
    option = page.get_by_role("option", name=words, exact=True)
    box = option.bounding_box()
    assert box is not None
    assert box["height"] >= THUMB_PX
    option.click()


def picked(page: Page, name: str) -> str:
    return page.locator(f"#{name} input").input_value()


def test_a_family_comes_first_and_then_one_of_its_few_sets_which_outlives_a_reload(
    visit: Visit,
) -> None:
    page = visit("phone", faults=True)  # a reload may cut short an answer that nobody waits for
    opened(page)
    expect(page.locator("#limits")).to_be_hidden()
    page.locator("#limits_of input").click()
    # No file of one's own was given to this page.
    assert "Our own" not in page.get_by_role("option").all_inner_texts()
    page.get_by_role("option", name="AWS", exact=True).click()
    expect(page.locator("#limits")).to_be_visible()
    page.locator("#limits input").click()
    options = page.get_by_role("option")
    expect(options.filter(has_text="AWS D1.1, welder test")).to_be_visible()
    assert 3 <= options.count() <= 10
    assert all("ISO" not in words for words in options.all_inner_texts())
    options.filter(has_text="AWS D1.1, welder test").click()
    assert picked(page, "limits") == "AWS D1.1, welder test"
    # A family of one set needs no second choice; another family forgets the set of the first.
    pick(page, "limits_of", "API")
    expect(page.locator("#limits input")).to_have_value("API 1104, pipelines")
    pick(page, "limits_of", "ISO and EN")
    expect(page.locator("#limits input")).to_have_value("Choose")
    assert page.evaluate("window.innerWidth") == 390
    pick(page, "limits_of", "AWS")
    pick(page, "limits", "AWS D1.1, welder test")
    page.get_by_label("w = 0.83 U").click()
    # What the fold says of itself shows that everything before it has arrived.
    pick(page, "process", "SMAW (stick)")
    expect(page.locator("#coupon button")).to_contain_text("SMAW", ignore_case=True)
    reload(page)
    page.locator("#coupon button", has_text="plate").wait_for()
    opened(page)
    expect(page.locator("#limits input")).to_have_value("AWS D1.1, welder test")
    expect(page.get_by_label("w = 0.83 U")).to_be_checked()


def test_why_a_finding_was_given_shows_on_a_tap_and_a_family_without_a_set_is_refused(
    visit: Visit, weld: Path
) -> None:
    page = visit("phone")
    opened(page)
    page.get_by_label("w = 0.83 U").click()
    choose(page, weld)
    measure(page)
    found = page.locator(".bc-finding", has=page.locator("details")).first
    expect(found).to_contain_text("guard band w = 0.83 U", ignore_case=True)
    expect(found).to_contain_text("likely to conform")
    source = found.get_by_text("Common practice for training coupons")
    expect(source).to_be_hidden()
    tap = found.locator("summary")
    box = tap.bounding_box()
    assert box is not None
    assert box["height"] >= THUMB_PX
    tap.click()
    expect(source).to_be_visible()
    expect(found).to_contain_text("The guard band w is")
    expect(found).to_contain_text("common practice, no published source", ignore_case=True)
    expect(found).to_contain_text("Recommended (should)")
    assert page.evaluate("window.innerWidth") == 390
    pick(page, "limits_of", "ASME")
    page.locator("#measure").click()
    expect(page.locator("#status")).to_contain_text("The limit set of ASME")
    expect(page.locator("#status")).to_contain_text("Choose one")


def test_inches_compare_with_the_printed_inches_and_mm_with_the_printed_mm(
    measured_weld: Page,
) -> None:
    page = measured_weld
    listed = page.locator(".bc-findings").first
    expect(listed).to_contain_text("at most 1.60 mm")
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(listed).to_contain_text("at most 1.59 mm (1/16 in)")
    expect(listed).not_to_contain_text("at most 1.60 mm")
    page.locator("#unit").get_by_text("mm", exact=True).click()
    expect(listed).to_contain_text("at most 1.60 mm")


def test_limits_and_arithmetic_need_no_photo(visit: Visit) -> None:
    page = visit("phone", bypass_csp=True)
    opened(page)
    pick(page, "limits_of", "API")
    pick(page, "process", "GTAW (TIG), pulsed")
    page.locator("#asked button").first.click()
    page.locator("#asked-one").click()
    told = page.locator("#asked-told")
    expect(told).to_contain_text("API 1104, pipelines")
    page.locator("#asked-every").click()
    expect(told).to_contain_text("ISO 5817, quality level C")
    page.locator("#worked button").first.click()
    page.locator("#worked_spacing textarea, #worked_spacing input").fill("3.1 mm")
    page.locator("#worked_spot textarea, #worked_spot input").fill("4 mm")
    page.locator("#settings button").click()
    page.locator("#motion").get_by_text("Stands on the peak").click()
    page.locator("#worked-out").click()
    expect(page.locator("#worked-told")).to_contain_text("22.5 ±")
    assert too_small(page) == []
    assert violations(page) == {}
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
