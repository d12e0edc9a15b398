"""The relief of a pair in the page: a tap on it chooses the section there."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from .conftest import choose, measure, visits
from .scene import SAMPLE_FOCAL_35MM_MM, SAMPLES, save_with_place

SMALLER = 0.45
"""Of the sample's size: 7 pixels to the millimetre measure faster than 16."""


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("photos")
    paths = []
    for view in "ab":
        with Image.open(SAMPLES / f"plate-gmaw-pair-{view}.jpg") as photo:
            pixels = np.asarray(photo.convert("RGB"))
        smaller = cv2.resize(pixels, None, fx=SMALLER, fy=SMALLER, interpolation=cv2.INTER_AREA)
        path = folder / f"view {view}.jpg"
        paths.append(save_with_place(smaller, path, focal_mm=SAMPLE_FOCAL_35MM_MM))
    return paths


@pytest.fixture(scope="module")
def page(browser: Browser, address: str, pair: list[Path]) -> Iterator[Page]:
    """A page on a phone that has measured a pair."""
    with visits(browser, address) as open_page:
        page = open_page("phone")
        choose(page, *pair)
        for row in page.locator("#tray .bc-photos > li").all():
            row.get_by_label("How was it taken?").select_option("pair")
        measure(page)
        page.locator("[data-relief] img").wait_for()
        yield page


def told(page: Page) -> dict[str, Any]:
    """What the page knows of the pair's sections and its relief."""
    address = page.locator(".bc-sections").get_attribute("data-sections")
    reply = page.request.get(page.evaluate("location.origin") + address)
    group: dict[str, Any] = reply.json()["groups"][0]
    return group


def tap(page: Page, share: float) -> int:
    """Tap so far along the relief's width, and return the number of the section that is shown."""
    relief = page.locator("[data-relief]")
    relief.scroll_into_view_if_needed()
    box = relief.bounding_box()
    assert box is not None
    relief.tap(position={"x": share * box["width"], "y": 0.5 * box["height"]})
    return int(page.get_by_role("slider", name="Section").input_value())


@pytest.mark.parametrize("share", [0.3, 0.47, 0.71])
def test_a_tap_on_the_relief_chooses_the_nearest_section(page: Page, share: float) -> None:
    group = told(page)
    left, _, right, _ = group["relief"]["box_px"]
    first, last = group["relief"]["s_range_mm"]
    tapped_px = share * group["relief"]["width_px"]
    s_mm = first + (last - first) * (tapped_px - left) / (right - left)
    away_mm = [abs(section["s_mm"] - s_mm) for section in group["sections"]]
    assert len(away_mm) > 10
    # A finger's pixel is worth 0.1 mm: half-way between two sections either may be shown.
    assert away_mm[tap(page, share)] == pytest.approx(min(away_mm), abs=0.2)
    line = page.locator("[data-relief] line.bc-section-line")
    drawn_mm = first + (last - first) * (float(line.get_attribute("x1") or 0) - left) / (
        right - left
    )
    assert abs(drawn_mm - s_mm) == pytest.approx(min(away_mm), abs=0.2)
    title = page.locator(".bc-plot > svg > title").text_content()
    assert title is not None
    assert page.locator(".bc-section-at").inner_text() in title


def test_a_tap_beside_the_heights_takes_the_section_at_that_end(page: Page) -> None:
    assert tap(page, 0.002) == 0
    expect(page.get_by_role("button", name="Section before")).to_be_disabled()
