"""Usable with gloves, by keyboard, and by a screen reader."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from .conftest import Visit, choose, measure

LEAST_TARGET_PX = 44
"""WCAG 2.2, success criterion 2.5.5 (AAA); verified in public text."""

PRESSED = "button, a, summary, label:has(input[type=radio]), .bc-arrivals label, input[type=number]"

KNOWN: frozenset[str] = frozenset()
"""axe rules that Gradio's own markup breaks, each with its reason."""


@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("phone", "dark"), ("desktop", "light")]
)
def test_axe_finds_nothing_on_the_open_form_and_the_result(
    visit: Visit, weld: Path, size: str, scheme: str
) -> None:
    page = visit(size, color_scheme=scheme, bypass_csp=True)
    choose(page, weld)
    measure(page)
    page.locator("#before summary").click()
    page.locator("#coupon button").click()
    page.locator("#shape").get_by_text("Pipe", exact=True).click()
    page.locator("#print button").click()
    page.locator("#outside_diameter input").wait_for()
    found = Axe().run(page).response["violations"]
    broken = {each["id"]: [node["html"][:200] for node in each["nodes"]] for each in found}
    assert {rule: nodes for rule, nodes in broken.items() if rule not in KNOWN} == {}


def test_whatever_is_pressed_is_large_enough_for_a_glove(visit: Visit, weld: Path) -> None:
    page = visit()
    choose(page, weld)
    measure(page)
    page.locator("#coupon button").click()
    page.locator("#print button").click()
    page.get_by_role("link", name="Card for plate, A4").wait_for()
    small = page.evaluate(
        """([pressed, least]) => [...document.querySelectorAll(pressed)]
           .filter(each => each.checkVisibility())
           .map(each => [each.outerHTML.slice(0, 120), each.getBoundingClientRect()])
           .filter(([, box]) => box.width > 1 && Math.min(box.width, box.height) < least)
           .map(([html, box]) => `${html} ${box.width} x ${box.height}`)""",
        [PRESSED, LEAST_TARGET_PX],
    )
    assert small == []
    button = page.locator("#measure").bounding_box()
    assert button is not None
    assert button["height"] >= 64


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
