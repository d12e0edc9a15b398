"""What a device remembers between visits, and how it is made to forget."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from .conftest import SIZES, Visit, choose, measure
from .test_page_access import too_small, violations

SLOW_MS = 60_000


def keep_as(page: Page, name: str) -> None:
    page.locator("#newcomer :is(input, textarea)").fill(name)
    page.locator("#keep-it").click()
    expect(page.locator("#kept")).to_contain_text(name, timeout=SLOW_MS)


def come_again(page: Page) -> None:
    """Come back as the same device once the visit is forgotten.

    Leaving a page cuts what it is listening to, which Gradio tells as an error.
    """
    page.context.clear_cookies()
    page.reload()
    page.locator("#coupon button", has_text="plate").wait_for()


def test_unit_and_limit_set_are_there_again_on_this_device_alone(visit: Visit) -> None:
    page = visit(faults=True)
    expect(page.locator("#device")).to_be_hidden()
    page.locator("#unit").get_by_text("inch", exact=True).click()
    line = page.locator("#device-line")
    expect(line).to_contain_text("This device remembers: lengths in inch.")
    page.locator("#coupon button").click()
    page.locator("#limits_of input").click()
    page.get_by_role("option", name="ISO and EN").click()
    page.locator("#limits input").click()
    page.get_by_role("option").nth(2).click()
    chosen = page.locator("#limits input").input_value()
    expect(line).to_contain_text(chosen)
    come_again(page)
    expect(line).to_contain_text(chosen)
    expect(page.locator("#unit input[value=inch]")).to_be_checked()
    page.locator("#coupon button").click()
    expect(page.locator("#limits input")).to_have_value(chosen)
    expect(page.locator("#wall_thickness")).to_contain_text("Wall thickness (inch)")
    expect(page.locator("#check_bar")).to_contain_text("(inch)")
    other = visit()
    expect(other.locator("#device")).to_be_hidden()
    expect(other.locator("#unit input[value=mm]")).to_be_checked()
    page.locator("#forget").click()
    expect(page.locator("#device")).to_be_hidden()
    come_again(page)
    expect(page.locator("#device")).to_be_hidden()
    expect(page.locator("#unit input[value=mm]")).to_be_checked()
    # What is pressed as soon as it can be is not undone by the page's first answer.
    page.reload(wait_until="commit")
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(page.locator("#coupon button")).to_contain_text("Coupon and pass: plate")
    page.locator("#coupon button").click()
    expect(page.locator("#wall_thickness")).to_contain_text("Wall thickness (inch)")
    expect(page.locator("#unit input[value=inch]")).to_be_checked()


def test_a_person_is_remembered_only_when_asked_and_stands_at_the_top_until_forgotten(
    visit: Visit, weld: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BEADCHECK_LOG", str(tmp_path / "log.sqlite3"))
    page = visit("phone", bypass_csp=True, faults=True)
    choose(page, weld)
    measure(page)
    page.locator("#keep button").click()
    page.locator("#keep-it").wait_for()
    keep_as(page, "Gull")
    expect(page.locator("#device")).to_be_hidden()
    expect(page.locator("#welder input")).to_have_value("Choose")
    page.locator("#own label").click()
    keep_as(page, "Tern")
    line = page.locator("#device-line")
    expect(line).to_contain_text("This device remembers: Tern.")
    expect(page.locator("#welder input")).to_have_value("Tern")
    assert violations(page) == {}
    assert too_small(page) == []
    assert (
        page.evaluate("document.documentElement.scrollWidth") <= SIZES["phone"]["viewport"]["width"]
    )
    page.locator("#clear").click()
    expect(page.locator("[data-result]")).to_have_count(0)
    expect(line).to_contain_text("Tern")
    come_again(page)
    expect(line).to_contain_text("Tern")
    choose(page, weld)
    measure(page)
    page.locator("#keep button").click()
    expect(page.locator("#welder input")).to_have_value("Tern")
    expect(page.locator("#own input")).to_be_checked()
    page.locator("#keep-it").click()
    expect(page.locator("#kept")).to_contain_text(": Tern,", timeout=SLOW_MS)
    expect(page.locator("#welder input")).to_have_value("Tern")
    page.locator("#forget").click()
    expect(page.locator("#device")).to_be_hidden()
    expect(page.locator("#welder input")).to_have_value("Choose")
    expect(page.locator("#own input")).not_to_be_checked()
    come_again(page)
    expect(page.locator("#device")).to_be_hidden()
