"""What is wrong with a photo stands under it at once, before anybody presses Measure."""

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Page, expect

from .conftest import Visit, choose, reload
from .scene import sample_pixels, save_with_place

PATIENCE_MS = 30_000


@pytest.fixture(scope="module")
def blurred(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample, out of focus: a blur of 4.7 px at 13 px/mm."""
    soft = cv2.GaussianBlur(sample_pixels(), (0, 0), 4.7)
    return save_with_place(
        np.asarray(soft, dtype=np.uint8), tmp_path_factory.mktemp("soft") / "soft.jpg"
    )


def looked_at(page: Page, name: str) -> str:
    """What stands under a photo once it has been looked at."""
    row = page.locator("#tray .bc-photos > li", has_text=name)
    expect(row.locator("[data-look]:not([data-look=looking])")).to_be_visible(timeout=PATIENCE_MS)
    return row.inner_text()


def test_a_blurred_photo_is_told_before_measuring_a_good_one_praised_and_a_bad_one_told_briefly(
    visit: Visit,
    weld: Path,
    blurred: Path,
    tmp_path: Path,
    worse: Callable[[NDArray[np.uint8]], NDArray[np.uint8]],
) -> None:
    page = visit("phone")
    choose(page, blurred, weld, save_with_place(worse(sample_pixels()), tmp_path / "worse.jpg"))
    advice = looked_at(page, "soft.jpg")
    assert "blurred" in advice
    assert "focus" in advice
    assert "Good to measure" not in advice
    # A screen reader hears it, too.
    expect(page.locator("body > [role=status]")).to_contain_text("soft.jpg: ")
    expect(page.locator("body > [role=status]")).to_contain_text("blurred")
    assert "Good to measure" in looked_at(page, "cap 7.jpg")
    assert page.locator(".bc-look-good svg").count() == 1
    looked_at(page, "worse.jpg")
    several = page.locator("#tray .bc-photos > li", has_text="worse.jpg").locator(".bc-look > li")
    assert 2 <= several.count() <= 3
    expect(page.locator("[data-result]")).to_have_count(0)
    expect(page.locator("#measure")).to_be_enabled()
    # A phone widens its page rather than show a bar: the width itself tells.
    assert page.evaluate("window.innerWidth") == 390
    reload(page)
    assert "blurred" in looked_at(page, "soft.jpg")
    page.get_by_role("button", name="Remove soft.jpg").click()
    expect(page.locator("#tray .bc-photos > li")).to_have_count(2)
    expect(page.locator("#tray")).not_to_contain_text("soft.jpg")


def test_the_advice_follows_the_form(visit: Visit, weld: Path) -> None:
    page = visit()
    choose(page, weld)
    assert "Good to measure" in looked_at(page, "cap 7.jpg")
    page.locator("#coupon button").click()
    page.locator("#shape").get_by_text("Pipe", exact=True).click()
    row = page.locator("#tray .bc-photos > li")
    expect(row).to_contain_text("pipe's size")
    page.locator("#pipe_size input").click()
    page.get_by_role("option", name="NPS 8 (219.1 mm)").click()
    expect(row).to_contain_text("Cannot be measured", timeout=PATIENCE_MS)
    page.locator("#shape").get_by_text("Plate", exact=True).click()
    expect(row).to_contain_text("Good to measure", timeout=PATIENCE_MS)


@pytest.fixture
def worse() -> Callable[[NDArray[np.uint8]], NDArray[np.uint8]]:
    """Small, soft and burnt out along the weld and on the target."""

    def spoilt(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
        width = pixels.shape[1]
        burnt = pixels.copy()
        burnt[:, round(0.3 * width) : round(0.6 * width)] = 255
        small = cv2.resize(burnt, None, fx=0.375, fy=0.375, interpolation=cv2.INTER_AREA)
        return np.asarray(cv2.GaussianBlur(small, (0, 0), 1.5), dtype=np.uint8)

    return spoilt
