"""Usable with gloves, by keyboard, and by a screen reader."""

from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from .conftest import SIZES, Visit, choose, measure
from .scene import SAMPLES

LEAST_TARGET_PX = 44
"""WCAG 2.2, success criterion 2.5.5 (AAA); verified in public text."""

PRESSED = (
    "button, a, summary, label:has(input[type=radio]), label:has(input[type=checkbox]), "
    ".bc-arrivals label, input[type=number]"
)

KNOWN: frozenset[str] = frozenset()
"""axe rules that Gradio's own markup breaks, each with its reason."""


def test_the_open_form_and_the_result_pass_axe_and_are_large_enough_for_a_glove(
    measured_weld: Page,
) -> None:
    page = measured_weld
    page.locator("#before summary").click()
    page.locator("#coupon button").click()
    page.locator("#shape").get_by_text("Pipe", exact=True).click()
    page.locator("#print button").click()
    page.locator("#outside_diameter input").wait_for()
    page.get_by_role("link", name="Card for plate, A4").wait_for()
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []
    button = page.locator("#measure").bounding_box()
    assert button is not None
    assert button["height"] >= 64
    page.set_viewport_size(SIZES["desktop"]["viewport"])
    assert violations(page) == {}
    page.set_viewport_size(SIZES["phone"]["viewport"])
    page.locator("#shape").get_by_text("Plate", exact=True).click()
    expect(page.locator("#outside_diameter")).to_be_hidden()
    for press in ("#print button", "#coupon button", "#before summary"):
        page.locator(press).click()


def test_axe_finds_nothing_in_what_a_photo_without_a_target_or_a_weld_leads_to(
    visit: Visit, bare: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    sizes = page.evaluate(
        "[...document.querySelectorAll('main p, main li, main button, main summary')]"
        ".filter(each => each.checkVisibility() && each.innerText.trim())"
        ".map(each => parseFloat(getComputedStyle(each).fontSize))"
    )
    assert min(sizes) >= 18.0  # large enough to read at arm's length
    choose(page, SAMPLES / "plate-smaw-no-target.jpg", bare)
    expect(page.locator("#tray [data-look=advice]")).to_have_count(2, timeout=30_000)
    assert violations(page) == {}
    measure(page)
    page.get_by_role("button", name="Place both toes in bare.jpg").click()
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []
    page.locator("#no_target label").click()
    expect(page.locator("#unit")).to_be_hidden()
    shown = page.locator("[data-result]").get_attribute("data-result")
    page.locator("#measure").click()
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)
    expect(page.locator("[data-result]")).to_contain_text("Look here")
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []


def violations_by_day_and_night(page: Page) -> dict[str, list[str]]:
    """What axe finds in the light colours, and in the dark ones: there all but colours is alike."""
    found = violations(page)
    page.emulate_media(color_scheme="dark")
    expect(page.locator("body.dark")).to_have_count(1)
    found |= violations(page, runOnly=["cat.color"])
    page.emulate_media(color_scheme="light")
    expect(page.locator("body.dark")).to_have_count(0)
    return found


def violations(page: Page, **options: Any) -> dict[str, list[str]]:
    found = Axe().run(page, options=options).response["violations"]
    broken = {each["id"]: [node["html"][:200] for node in each["nodes"]] for each in found}
    return {rule: nodes for rule, nodes in broken.items() if rule not in KNOWN}


def too_small(page: Page) -> list[str]:
    small: list[str] = page.evaluate(
        """([pressed, least]) => [...document.querySelectorAll(pressed)]
           .filter(each => each.checkVisibility())
           .map(each => [each.outerHTML.slice(0, 120), each.getBoundingClientRect()])
           .filter(([, box]) => box.width > 1 && Math.min(box.width, box.height) < least)
           .map(([html, box]) => `${html} ${box.width} x ${box.height}`)""",
        [PRESSED, LEAST_TARGET_PX],
    )
    return small
