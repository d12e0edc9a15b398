"""Sections across the weld in the page: chosen by slider, key or tap, drawn with the limit."""

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from .conftest import SIZES, choose, measure, visits
from .scene import FOCAL_35MM_MM, lit_pixels, save_with_place
from .test_page_access import too_small, violations

LINES_AT_MM = (-11.0, 9.0)


@pytest.fixture(scope="module")
def lit(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("photos")
    return [
        save_with_place(lit_pixels(at_mm), folder / f"line {n}.jpg", focal_mm=FOCAL_35MM_MM)
        for n, at_mm in enumerate(LINES_AT_MM, start=1)
    ]


@pytest.fixture(scope="module")
def page(browser: Browser, address: str, lit: list[Path]) -> Iterator[Page]:
    """A page on a phone that has measured two lines of light by their angle."""
    with visits(browser, address) as open_page:
        page = open_page("phone", bypass_csp=True)
        choose(page, *lit)
        for row in page.locator("#tray .bc-photos > li").all():
            row.get_by_label("How was it taken?").select_option("light-line")
            row.get_by_text("The angle of the light", exact=True).click()
            angle = row.get_by_label("Angle between the light and straight down (degrees)")
            angle.fill("45")
            angle.press("Enter")
            expect(angle).to_have_attribute("data-was", "45")
        measure(page)
        page.locator(".bc-plot > svg").wait_for()
        yield page


def shown(page: Page) -> str:
    """Where the section lies that is drawn."""
    return page.locator(".bc-section-at").inner_text()


def test_two_lines_of_one_coupon_are_two_sections_with_the_limit_drawn_in(page: Page) -> None:
    slider = page.get_by_role("slider", name="Section")
    expect(slider).to_have_attribute("max", "1")
    expect(page.locator(".bc-plot")).to_contain_text("limit 3.20 mm")
    expect(page.locator(".bc-section-says")).to_contain_text("face reinforcement")
    expect(page.locator("[data-result] .bc-word").first).to_be_visible()
    assert page.locator("[data-result] h4", has_text="line 2.jpg").count() == 1


def test_the_slider_moves_by_key_and_the_buttons_by_a_press(page: Page) -> None:
    slider = page.get_by_role("slider", name="Section")
    slider.focus()
    slider.press("Home")
    assert "line 1.jpg" in shown(page)
    slider.press("ArrowRight")
    assert "line 2.jpg" in shown(page)
    expect(slider).to_have_attribute("aria-valuetext", shown(page))
    slider.press("ArrowLeft")
    page.get_by_role("button", name="Next section").click()
    assert "line 2.jpg" in shown(page)
    expect(page.get_by_role("button", name="Next section")).to_be_disabled()
    title = page.locator(".bc-plot > svg > title").text_content()
    assert title is not None
    assert shown(page) in title


def test_a_tap_on_the_photo_keeps_to_the_sections_of_that_photo(page: Page) -> None:
    page.get_by_role("slider", name="Section").press("Home")
    picture = page.locator("#results .bc-section-photo:not([hidden])")
    expect(picture).to_have_count(1)
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    picture.tap(position={"x": 0.5 * box["width"], "y": 0.5 * box["height"]})
    assert "line 1.jpg" in shown(page)
    assert picture.locator(".bc-section-line").count() == 1


def test_the_plot_follows_the_unit_and_fits_a_phone(page: Page) -> None:
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(page.locator(".bc-plot")).to_contain_text("limit 1/8 in")
    expect(page.locator(".bc-plot")).to_contain_text("across the weld (in)")
    assert " in)" in shown(page)
    assert (
        page.evaluate("document.documentElement.scrollWidth") <= SIZES["phone"]["viewport"]["width"]
    )
    page.locator("#unit").get_by_text("mm", exact=True).click()
    expect(page.locator(".bc-plot")).to_contain_text("limit 3.20 mm")


def test_axe_finds_nothing_in_the_viewer_and_every_control_is_large_enough(page: Page) -> None:
    assert violations(page) == {}
    assert too_small(page) == []


def test_the_sections_are_for_their_own_visitor_alone(page: Page) -> None:
    address = page.locator(".bc-sections").get_attribute("data-sections")
    assert address is not None
    whole = page.evaluate("location.origin") + address
    told = page.request.get(whole)
    assert told.status == 200
    assert len(told.json()["groups"][0]["sections"]) == len(LINES_AT_MM)
    assert httpx.get(whole).status_code == 404
