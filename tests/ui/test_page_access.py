"""Usable with gloves, by keyboard, and by a screen reader."""

from pathlib import Path

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
    visit: Visit, weld: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    choose(page, weld)
    measure(page)
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


def test_axe_finds_nothing_in_what_a_photo_without_a_target_or_a_weld_leads_to(
    visit: Visit, bare: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    choose(page, SAMPLES / "plate-smaw-no-target.jpg", bare)
    expect(page.locator("#tray [data-look=advice]")).to_have_count(2, timeout=30_000)
    assert violations_by_day_and_night(page) == {}
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
    """What axe finds in the light colours, and in the dark ones of the same page."""
    found: dict[str, list[str]] = {}
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        expect(page.locator("body.dark")).to_have_count(int(scheme == "dark"))
        found |= violations(page)
    return found


def violations(page: Page) -> dict[str, list[str]]:
    found = Axe().run(page).response["violations"]
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


def test_the_whole_flow_works_by_keyboard(visit: Visit, weld: Path) -> None:
    page = visit("desktop")
    choose(page, weld)
    page.locator("#before summary").focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "measure":
            break
    page.keyboard.press("Enter")
    page.locator("[data-result]").wait_for(timeout=60_000)
    expect(page.locator("#bc-result")).to_be_focused()


def test_text_is_large_enough_to_read_at_arms_length(visit: Visit) -> None:
    page = visit()
    sizes = page.evaluate(
        "[...document.querySelectorAll('main p, main li, main button, main summary')]"
        ".filter(each => each.checkVisibility() && each.innerText.trim())"
        ".map(each => parseFloat(getComputedStyle(each).fontSize))"
    )
    assert min(sizes) >= 18.0
