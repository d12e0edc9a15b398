"""The further photo that shows the height: asked for, told apart, joined to the same coupon."""

from pathlib import Path

import httpx
from playwright.sync_api import Page, expect

from .conftest import Visit, choose, measure, reload
from .test_page_access import too_small, violations_by_day_and_night


def asked(page: Page, weld: Path) -> None:
    """Measure a photo from above, and go to where the further photo is asked for."""
    choose(page, weld)
    measure(page)
    page.locator("[data-to-heights]").click()
    expect(page.locator(".bc-ways h2")).to_be_focused()


def add(page: Page, way: str, path: Path) -> None:
    """Open a way, and send the photo that it asks for."""
    shown = page.locator(f"[data-way={way}]")
    if shown.get_attribute("open") is None:
        shown.locator("summary").first.click()
    before = page.locator("#further .bc-photos > li").count()
    shown.get_by_label("Choose this photo").set_input_files(path)
    page.locator("#further .bc-photos > li").nth(before).wait_for()


def measured_anew(page: Page, button: str) -> None:
    """Press a button that measures, and wait for the next result."""
    before = page.locator("[data-result]").get_attribute("data-result")
    page.locator(button).click()
    page.locator(f"[data-result]:not([data-result='{before}'])").wait_for(timeout=90_000)


def test_the_ways_fit_the_coupon_and_each_says_how_with_a_drawing(measured_weld: Page) -> None:
    page = measured_weld
    page.locator("[data-to-heights]").click()
    ways = page.locator(".bc-way")
    assert ways.evaluate_all("all => all.map(each => each.dataset.way)") == ["light-line", "pair"]
    expect(page.locator(".bc-ways")).to_contain_text("face reinforcement")
    for way in ("pair", "light-line"):
        shown = page.locator(f"[data-way={way}]")
        if shown.get_attribute("open") is None:
            shown.locator("summary").first.click()
        drawing = shown.get_by_role("img").first
        expect(drawing).to_be_visible()
        box = drawing.bounding_box()
        assert box is not None
        assert box["width"] > 250
        assert shown.locator("ol > li").count() == 3
    assert page.locator(".bc-way[open]").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_further_photos_are_joined_to_the_first_and_a_line_of_light_asks_for_step_or_angle(
    visit: Visit, weld: Path
) -> None:
    page = visit("phone", bypass_csp=True, faults=True)  # a reload cuts off what Gradio listens to
    asked(page, weld)
    add(page, "pair", weld)
    row = page.locator("#further .bc-photos > li")
    expect(row).to_contain_text("Second view of cap 7.jpg")
    expect(page.locator("#tray select").last).to_have_value("pair")
    measured_anew(page, "#further-measure")
    result = page.locator("[data-result]")
    expect(result.locator("figure")).to_have_count(2)
    expect(result.locator(".bc-refused")).not_to_have_count(0)
    # The way is still open: the photo can be taken once more.
    expect(page.locator(".bc-ways")).to_be_visible()

    page.locator("#further details summary").click()
    add(page, "light-line", weld)
    page.locator("#further [data-step-board]").last.click()
    page.locator("#further [data-step-middle]").last.click()
    assert violations_by_day_and_night(page) == {}
    assert too_small(page) == []

    row = page.locator("#further .bc-photos > li").last
    page.locator("#further-measure").click()
    expect(page.locator(".bc-refusal")).to_contain_text("thickness of the step in cap 7-3.jpg")
    thickness = row.get_by_label("Thickness of the step (mm)")
    thickness.fill("0.3")
    thickness.blur()
    expect(row.locator(".bc-use-told")).to_contain_text("thin")
    expect(thickness).to_have_value("")
    row.get_by_role("button", name="5 mm").click()
    expect(row.locator(".bc-use-told")).to_be_empty()
    listed = page.locator("#tray .bc-photos > li").last
    expect(listed.get_by_label("Thickness of the step (mm)")).to_have_value("5")
    row.get_by_text("The angle of the light", exact=True).click()
    angle = row.get_by_label("Angle between the light and straight down (degrees)")
    angle.fill("45")
    angle.press("Enter")
    row.get_by_label("How sure is the angle?").select_option("5")
    expect(page.locator("#tray").get_by_label("How sure is the angle?")).to_have_value("5")
    reload(page)
    expect(page.locator("#further").get_by_label("How sure is the angle?")).to_have_value("5")


def test_the_kind_is_chosen_by_key_and_the_step_shown_by_a_tap_and_entered_in_inches(
    visit: Visit, weld: Path, address: str
) -> None:
    page = visit(faults=True)  # a reload cuts off what Gradio is listening to
    choose(page, weld)
    kind = page.get_by_label("How was it taken?")
    expect(kind.get_by_role("option", name="Along the outline of the pipe")).to_have_count(0)
    kind.select_option("pair")
    expect(page.locator("#tray")).to_contain_text("a second view belongs to a first")
    page.locator("#measure").click()
    expect(page.locator(".bc-refusal")).to_contain_text("cap 7.jpg is a second view")
    kind.focus()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_text("What tells the height?")).to_be_visible()
    expect(kind).to_be_focused()
    expect(kind).to_have_value("light-line")
    page.get_by_role("button", name="5 mm").click()
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(page.get_by_label("Thickness of the step (inch)")).to_have_value("0.1969")
    page.get_by_role("button", name="3/16 inch").click()
    expect(page.get_by_label("Thickness of the step (inch)")).to_have_value("0.1875")
    # An answer still on its way draws the tray anew, and would take a press along.
    expect(page.locator("#tray [data-look=looking]")).to_have_count(0)
    opens = page.get_by_role("button", name="Show the step in the photo")
    opens.click()
    expect(opens).to_have_attribute("aria-expanded", "true")
    picture = page.locator("#tray .bc-point")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    picture.tap(position={"x": 0.3 * box["width"], "y": 0.6 * box["height"]})
    mark = picture.get_by_role("button")
    expect(mark).to_be_visible()
    at = picture.get_attribute("data-at") or ""
    x = float(at.split(",")[0])
    mark.press("ArrowRight")
    expect(picture).not_to_have_attribute("data-at", at)
    moved = float((picture.get_attribute("data-at") or "").split(",")[0])
    assert moved > x
    reload(page)
    expect(page.get_by_role("button", name="Move the mark on the step")).to_be_visible()
    _what_is_said_of_it_is_taken_from_its_own_visitor_alone(page, address)


def _what_is_said_of_it_is_taken_from_its_own_visitor_alone(page: Page, address: str) -> None:
    key = page.locator("#tray [data-remove]").get_attribute("data-remove")
    (cookie,) = page.context.cookies()
    own = {"cookie": f"{cookie['name']}={cookie['value']}"}
    ours = {"x-beadcheck": "page"}
    door = f"{address}photos/{key}/use"
    for headers in (own, ours):
        assert httpx.put(door, json={"kind": "pair"}, headers=headers).status_code == 403
    for told in ([], {"kind": 7}, {"place": "somewhere"}, {"step": {"a": 1}}, "x" * 5000):
        answer = httpx.put(door, json=told, headers={**own, **ours})
        assert answer.status_code == 200
        assert answer.json()["sentence"].endswith(".")
    reload(page)
    expect(page.get_by_label("How was it taken?")).to_have_value("light-line")
