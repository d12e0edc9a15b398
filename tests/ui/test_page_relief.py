"""The relief of a pair in the page: a tap on it chooses the section there."""

from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from .conftest import choose, measure, visits
from .scene import SAMPLE_FOCAL_35MM_MM, SAMPLES, save_with_place

SMALLER = 0.6
"""Of the sample's size: 10 pixels to the millimetre measure faster than 16."""


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


def tapped(page: Page, share: float) -> tuple[int, float]:
    """Number of the section, and where on the relief its line stands, after a tap on it there."""
    relief = page.locator("[data-relief]")
    relief.scroll_into_view_if_needed()
    box = relief.bounding_box()
    assert box is not None
    relief.tap(position={"x": share * box["width"], "y": 0.5 * box["height"]})
    line = relief.locator(".bc-section-line").bounding_box()
    assert line is not None
    number = int(page.get_by_role("slider", name="Section").input_value())
    return number, (line["x"] - box["x"]) / box["width"]


def test_a_tap_on_the_relief_chooses_the_section_there(page: Page) -> None:
    last = int(page.get_by_role("slider", name="Section").get_attribute("max") or 0)
    assert last > 10
    taps = {share: tapped(page, share) for share in (0.35, 0.5, 0.65)}
    numbers = [number for number, _ in taps.values()]
    assert numbers == sorted(set(numbers))
    for share, (_, line_at) in taps.items():
        assert abs(line_at - share) < 0.05  # sections lie a fiftieth of the picture apart
    title = page.locator(".bc-plot > svg > title").text_content()
    assert title is not None
    assert page.locator(".bc-section-at").inner_text() in title


def test_a_tap_beside_the_heights_takes_the_section_at_that_end(page: Page) -> None:
    assert tapped(page, 0.002)[0] == 0
    expect(page.get_by_role("button", name="Previous section")).to_be_disabled()
