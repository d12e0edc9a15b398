"""The page on the shop's network: a code first, then as much as that code opens.

What is asked with a forwarding header is another device's: the same way a request reaches the
page through a program on this computer that hands it on.
"""

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import cv2
import httpx
import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from beadcheck.log import (
    NewPerson,
    Selection,
    add_people,
    log_address,
    measurements,
    open_log,
)
from beadcheck_page.codes import Codes
from beadcheck_page.patience import OF_ONE
from beadcheck_page.serving import RunningPage, running_page

from .conftest import SIZES, choose, measure, unused_port, visits
from .test_page_access import too_small, violations
from .test_page_guards import addresses, ask
from .test_page_limits import pick

SLOW_MS = 90_000
CODES: Final = Codes(of_class="483 920", of_instructor="5127 8843")

OWN_LIMITS: Final = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, first term"
source = "Harrow Quay Weld Shop"
edition = "2026"

[[limit]]
quantity = "weld_width"
statistic = "max"
sense = "at most"
value_mm = 1.0
"""

Device = Callable[..., Page]


@pytest.fixture(scope="module")
def shop_log(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        path = tmp_path_factory.mktemp("shop") / "log.sqlite3"
        patch.setenv("BEADCHECK_LOG", str(path))
        with open_log(log_address({}, str(path))) as log:
            people = [NewPerson(name="Tern", number="0071"), NewPerson(name="Gull")]
            add_people(log, people, at=datetime.now(UTC))
        yield path


@pytest.fixture(scope="module")
def own_limits(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("rules") / "first-term.toml"
    path.write_text(OWN_LIMITS, "utf-8")
    return path


@pytest.fixture(scope="module")
def shop(browser: Browser, shop_log: Path, own_limits: Path) -> Iterator[RunningPage]:  # noqa: ARG001
    """The page in the network, with limits of the shop's own; the browser as in `address`."""
    with pytest.MonkeyPatch.context() as patch:
        # The page of these tests sets its own, which is gone at their end.
        patch.setenv("GRADIO_TEMP_DIR", os.environ.get("GRADIO_TEMP_DIR", ""))
        with running_page(unused_port(), codes=CODES, limits=[str(own_limits)]) as served:
            yield served


@pytest.fixture
def device(browser: Browser, shop: RunningPage) -> Iterator[Device]:
    """Open the page as another device in the network, with a code or with none."""
    with visits(browser, shop.address) as open_page:

        def opened(number: int, code: str, size: str = "phone", **more: Any) -> Page:
            seen_as = {"x-forwarded-for": f"192.168.4.{number}"}
            return open_page(size, code=code, extra_http_headers=seen_as, **more)

        yield opened


def open_form(browser: Browser, shop: RunningPage, number: int, **more: Any) -> Page:
    seen_as = {"x-forwarded-for": f"192.168.4.{number}"}
    page = browser.new_context(**more, extra_http_headers=seen_as).new_page()
    page.goto(shop.address)
    return page


@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("phone", "dark"), ("desktop", "light")]
)
def test_the_form_is_large_plain_and_works_by_keyboard_without_scripts(
    browser: Browser, shop: RunningPage, size: str, scheme: str
) -> None:
    page = open_form(browser, shop, 1, **SIZES[size], color_scheme=scheme, bypass_csp=True)
    assert violations(page) == {}
    assert too_small(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["viewport"]["width"]
    button = page.get_by_role("button", name="Open the page").bounding_box()
    assert button is not None
    assert button["height"] >= 64
    assert button["y"] + button["height"] < SIZES[size]["viewport"]["height"]
    page.context.close()
    page = open_form(browser, shop, 1, **SIZES[size], java_script_enabled=False)
    expect(page.locator("input:focus")).to_have_count(1)  # nobody has to reach for the field
    page.keyboard.type("483920")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert {each["name"] for each in page.context.cookies()} == {
        "beadcheck_admission",
        "beadcheck_visit",
    }
    for cookie in page.context.cookies():
        assert cookie["httpOnly"]
        assert cookie["sameSite"] == "Strict"
    page.context.close()


def test_a_wrong_code_is_told_and_after_a_few_the_wait_too(
    browser: Browser, shop: RunningPage
) -> None:
    page = open_form(browser, shop, 2, **SIZES["phone"], bypass_csp=True)
    for _ in range(OF_ONE.free + 1):
        page.get_by_label("Class code").fill("000000")
        page.get_by_role("button", name="Open the page").click()
        expect(page.get_by_role("alert")).to_contain_text("That is not the code.")
    expect(page.get_by_role("alert")).to_contain_text("Please wait 10 seconds")
    assert violations(page) == {}
    page.get_by_label("Class code").fill("483920")
    page.get_by_role("button", name="Open the page").click()
    expect(page.get_by_role("alert")).to_contain_text("Too many wrong codes from this device.")
    page.context.close()


def test_the_scanned_address_fills_the_form_until_its_time_is_over_and_leaves_no_code_in_it(
    browser: Browser, shop: RunningPage
) -> None:
    seen_as = {"x-forwarded-for": "192.168.4.3"}
    page = browser.new_context(**SIZES["phone"], extra_http_headers=seen_as).new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{shop.address}#code=483+920")
    expect(page.get_by_label("Class code")).to_have_value("483 920")
    assert page.url == shop.address
    page.keyboard.press("Enter")  # the button has the focus
    page.locator("#coupon button", has_text="plate").wait_for()
    assert not [each for each in asked if "483" in each]
    if shop.lan_addresses:  # a machine without a network shows nothing to scan
        page.get_by_text("Open this page on a phone").click()
        seen = np.frombuffer(page.locator("#foot svg").screenshot(), dtype=np.uint8)
        # OpenCV's own reader of QR codes (ISO/IEC 18004), which had no hand in drawing it.
        read, *_ = cv2.QRCodeDetector().detectAndDecode(cv2.imdecode(seen, cv2.IMREAD_COLOR))
        assert read == f"{shop.lan_addresses[0]}#code=483+920"
    inch = page.locator("#unit").get_by_text("inch", exact=True)
    inch.scroll_into_view_if_needed()
    box = inch.bounding_box()
    assert box is not None
    page.context.clear_cookies(name="beadcheck_admission")
    page.mouse.click(box["x"] + 5.0, box["y"] + 5.0)  # the page may have noticed by itself
    expect(page.get_by_label("Class code")).to_be_visible()
    page.context.close()


def test_two_people_at_once_do_not_see_each_others_photos(device: Device, weld: Path) -> None:
    first, second = device(11, "483920"), device(12, "483920")
    choose(first, weld)
    expect(second.locator("#tray .bc-photos > li")).to_have_count(0)
    measure(first)
    key = first.locator("[data-result]").get_attribute("data-result")
    found = addresses(first)
    assert len(found) >= 4
    for each in found:
        assert first.request.get(each).status == 200
        assert second.request.get(each).status == 404
    second.reload()
    second.locator("#coupon button", has_text="plate").wait_for()
    expect(second.locator("#tray .bc-photos > li")).to_have_count(0)
    assert key is not None
    assert key not in second.content()
    seen_as = {"x-forwarded-for": "192.168.4.13"}
    for each in found:
        assert httpx.get(each, headers=seen_as).status_code == 403


def test_a_trainee_keeps_under_a_name_of_the_class_and_sees_one_persons_welds(
    device: Device, weld: Path, shop: RunningPage, shop_log: Path
) -> None:
    page = device(21, "483920", bypass_csp=True)
    choose(page, weld)
    measure(page)
    page.locator("#keep button").click()
    expect(page.locator("#keep-help")).to_contain_text("The log is the class’s")
    expect(page.locator("#keep-help")).not_to_contain_text(str(shop_log.parent))
    page.locator("#newcomer :is(input, textarea)").fill("0071")
    page.locator("#keep-it").click()
    expect(page.locator("#kept")).to_contain_text("Kept as number 1: 0071,", timeout=SLOW_MS)
    page.locator("#steady button").click()
    expect(page.locator("#steady-drawn")).to_contain_text(
        "Choose whose welds to show.", timeout=SLOW_MS
    )
    expect(page.locator("#steady-help")).to_contain_text("names have no password")
    page.locator("#steady_person input").click()
    listed = page.locator("#steady_person [role=listbox] [role=option]")
    expect(listed).to_contain_text(["Choose", "Gull", "Tern"])
    page.get_by_role("option", name="Tern").click()
    expect(page.locator("#steady-drawn")).to_contain_text("Tern: ", timeout=SLOW_MS)
    assert violations(page) == {}
    assert too_small(page) == []
    cookie = "; ".join(f"{each['name']}={each['value']}" for each in page.context.cookies())
    answer = ask(
        shop.address, "chosen", "-", "width_spread", "mm", cookie=cookie, of="192.168.4.21"
    )
    assert "<table" not in answer
    assert "Choose whose welds" in answer
    _prints_an_old_sheet_of_one_person_alone(page, shop)
    first = '{"number": 1}'
    for handler, given in (
        ("log_asked", (first, "-", "mm")),
        ("log_of", ("-", "mm")),
        ("names_right", (first, "-", "mm", "-", "Gull", "")),
    ):
        assert "Tern" not in ask(shop.address, handler, *given, cookie=cookie, of="192.168.4.21")
    with open_log(log_address({}, str(shop_log))) as log:
        assert [row.person for row in measurements(log, Selection())] == ["Tern"]
    # The same device with the instructor's code shows the class, until it leaves.
    page.locator("#steady-help").get_by_role("link", name="Enter the instructor’s code").click()
    page.get_by_label("Instructor’s code").fill("51278843")
    page.get_by_role("button", name="Open the page").click()
    page.locator("[data-result]").wait_for()
    page.locator("#steady button").click()
    expect(page.locator("#steady-drawn").get_by_role("rowheader")).to_have_text(
        ["Tern"], timeout=SLOW_MS
    )
    assert page.request.get(f"{shop.address}log/values.csv").status == 200
    page.locator("#log button").click()
    expect(page.locator("#log-list")).to_contain_text("Tern", timeout=SLOW_MS)
    page.locator("#steady-help").get_by_role("link").click()
    expect(page.get_by_text("This device has the instructor’s code")).to_be_visible()
    assert violations(page) == {}
    assert too_small(page) == []
    page.get_by_role("button", name="Leave").click()
    expect(page.get_by_label("Class code")).to_be_visible()
    page.goto(shop.address)
    expect(page.get_by_label("Class code")).to_be_visible()


def _prints_an_old_sheet_of_one_person_alone(page: Page, shop: RunningPage) -> None:
    page.locator("#log button").first.click()
    listed = page.locator("#log-list")
    expect(listed).to_contain_text("Choose whose welds to show.", timeout=SLOW_MS)
    page.locator("#log_person input").click()
    page.get_by_role("option", name="Gull").click()
    expect(listed).to_contain_text("Nothing was kept of Gull yet.", timeout=SLOW_MS)
    page.locator("#log_person input").click()
    page.get_by_role("option", name="Tern").click()
    listed.locator(".bc-kept-line").click()
    chosen = page.locator("[data-kept='1']")
    expect(chosen).to_contain_text("Tern", timeout=SLOW_MS)
    expect(page.locator("#log-names")).to_be_hidden()
    with page.expect_download(timeout=SLOW_MS) as waited:
        chosen.get_by_role("link", name="Print this again, A4").click()
    assert waited.value.path().read_bytes().startswith(b"%PDF")
    assert violations(page) == {}
    assert too_small(page) == []
    for path, status in (
        ("log/values.csv", 404),
        ("log/values.csv?person=Tern", 404),
        ("log/1/sheet/a4?unit=mm", 404),
        ("log/1/sheet/a4?unit=mm&person=Gull", 422),
        ("log/1/sheet/a4?unit=mm&person=0071", 422),
    ):
        assert page.request.get(shop.address + path).status == status


def test_at_this_computer_no_code_is_asked_the_class_is_seen_and_judged_by_the_shops_own_limits(
    browser: Browser, shop: RunningPage, weld: Path, own_limits: Path
) -> None:
    with visits(browser, shop.address) as open_page:
        page = open_page("desktop")
        page.locator("#steady button").click()
        expect(page.locator("#steady-help")).to_contain_text("Whoever sits at this computer")
        expect(page.locator("#steady_person input")).to_have_value("Everybody, side by side")
        page.locator("#coupon button").click()
        pick(page, "limits_of", "Our own")
        # It is the only one of its family, and chosen with it.
        expect(page.locator("#limits input")).to_have_value("Harrow Quay, first term")
        choose(page, weld)
        measure(page)
        expect(page.locator("#results")).to_contain_text("Limits: Harrow Quay, first term")
        found = page.locator(".bc-finding", has_text="at most 1.00 mm")
        expect(found).to_contain_text("outside", ignore_case=True)
        expect(found.locator("details")).to_contain_text("Harrow Quay Weld Shop (2026)")
        assert str(own_limits.parent) not in page.content()
