"""From a photo to findings and files, with a finger on a phone and a mouse on a desktop."""

import io
import json
import shutil
import zipfile
from pathlib import Path

import numpy as np
import pillow_heif
import pypdfium2
from PIL import Image
from playwright.sync_api import Download, Page, expect

from .conftest import Visit, choose, measure
from .scene import SAMPLE_TRUTH, SAMPLES, sample_pixels
from .test_page_correcting import open_panel

FINDINGS = {"within", "outside", "undecided", "not measured"}


def saved(download: Download) -> bytes:
    return download.path().read_bytes()


def test_three_presses_lead_from_a_photo_to_findings_and_values_and_one_forgets_them_all(
    visit: Visit, weld: Path, tmp_path: Path
) -> None:
    page = visit("desktop")
    _nothing_that_is_no_photo_is_taken(page, tmp_path)
    page.locator("#coupon button").click()
    page.locator("#wall_thickness input").fill("9")
    choose(page, weld)
    measure(page)
    result = page.locator("[data-result]")
    words = [word.lower().rstrip(":") for word in result.locator(".bc-word").all_inner_texts()]
    assert words
    assert set(words) <= FINDINGS
    expect(result.locator("table caption")).to_contain_text("Values")
    expect(result.locator("tr", has=page.get_by_role("rowheader", name="Mean"))).not_to_have_count(
        0
    )
    expect(result).to_contain_text("qualified inspector")
    assert result.locator("figure img").evaluate("image => image.naturalWidth") > 500
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280
    picture = result.locator("figure img").get_attribute("src")
    page.locator("#clear").click()
    expect(page.locator("[data-result]")).to_have_count(0)
    expect(page.locator("#tray .bc-photos > li")).to_have_count(0)
    expect(page.locator("#wall_thickness input")).to_have_value("")
    expect(page.locator("#measure")).to_be_disabled()
    assert picture is not None
    assert page.request.get(page.url + picture.lstrip("/")).status == 404


def _nothing_that_is_no_photo_is_taken(page: Page, folder: Path) -> None:
    sent = {
        "empty.jpg": b"",
        "notes.jpg": b"bead 3, second try",
        "cut.jpg": b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01",
        "<img src=x onerror=alert(1)>.jpg": b"<svg onload=alert(1)>",
        "${alert(1)}{{this}}.jpg": b"GIF89a",
    }
    for name, contents in sent.items():
        (folder / name).write_bytes(contents)
    page.get_by_label("Choose photos").set_input_files([folder / name for name in sent])
    refusals = page.locator(".bc-unsent li")
    expect(refusals).to_have_count(len(sent))
    assert all(said.endswith(".") for said in refusals.all_inner_texts())
    assert "Traceback" not in page.content()
    expect(page.locator("#measure")).to_be_disabled()


def test_what_is_saved_holds_the_width_that_was_rendered(measured_weld: Page) -> None:
    page = measured_weld
    with page.expect_download() as waited:
        page.get_by_role("link", name="Save beadcheck-results.zip").click()
    with zipfile.ZipFile(io.BytesIO(saved(waited.value))) as archive:
        names = archive.namelist()
        result = json.loads(archive.read("result.json"))
        stations = archive.read("stations.csv").decode("utf-8-sig").splitlines()
    assert [name for name in names if name.endswith(".jpg")]
    (width,) = (
        quantity
        for quantity in result["quantities"]
        if (quantity["name"], quantity["statistic"]) == ("weld_width", "mean")
    )
    truth = json.loads(SAMPLE_TRUTH.read_bytes())["weld"]["width_mm"]["body_in_view"]["mean"]
    assert abs(width["value"] - truth) <= width["expanded_uncertainty"]
    assert len(stations) == len(result["stations"]) + 1
    shown = page.locator("table").inner_text()
    assert f"{width['value']:.2f}" in shown


def test_the_unit_switch_shows_inches_and_converts_what_was_entered(measured_weld: Page) -> None:
    page = measured_weld
    page.locator("#coupon button").click()
    page.locator("#wall_thickness input").fill("12.7")
    page.locator("#wall_thickness input").blur()
    expect(page.locator("#coupon button")).to_contain_text("12.7 mm")
    page.locator("#unit").get_by_text("inch", exact=True).click()
    expect(page.locator("table")).to_contain_text("in)")
    # A phone widens its page rather than show a bar: the width itself tells.
    assert page.evaluate("window.innerWidth") == 390
    expect(page.locator("#wall_thickness input")).to_have_value("0.5")
    page.locator("#unit").get_by_text("mm", exact=True).click()
    expect(page.locator("#wall_thickness input")).to_have_value("12.7")
    page.locator("#wall_thickness input").fill("")
    page.locator("#wall_thickness input").blur()
    page.locator("#coupon button").click()


def test_an_open_form_stays_open_and_a_pipe_needs_its_size_and_gets_its_strip(
    visit: Visit, weld: Path
) -> None:
    page = visit()
    fold = page.locator("#coupon button")
    fold.click()
    expect(fold).to_have_attribute("aria-expanded", "true")
    page.locator("#weld_pass input").click()
    page.get_by_role("option", name="Cap").click()
    expect(fold).to_contain_text("cap")
    expect(page.locator("#shape")).to_be_visible()
    expect(fold).to_have_attribute("aria-expanded", "true")
    fold.click()
    expect(page.locator("#shape")).to_be_hidden()
    expect(fold).to_have_attribute("aria-expanded", "false")
    choose(page, weld)
    fold.click()
    page.locator("#shape").get_by_text("Pipe", exact=True).click()
    expect(page.locator("#outside_diameter input")).to_have_value("")
    page.locator("#measure").click()
    expect(page.locator(".bc-refusal")).to_contain_text("outside diameter of the pipe is missing")
    page.locator("#pipe_size input").click()
    page.get_by_role("option", name="NPS 8 (219.1 mm)").click()
    page.locator("#print button").click()
    with page.expect_download() as waited:
        page.get_by_role("link", name="Strip for 219.1 mm pipe, A4").click()
    sheet = pypdfium2.PdfDocument(saved(waited.value))
    # ISO 216 A4, in points of 25.4 / 72 mm.
    np.testing.assert_allclose(sorted(sheet[0].get_size()), [595.276, 841.890], atol=0.01)
    assert "219.1" in sheet[0].get_textpage().get_text_range()


def test_refusals_are_said_once_joined_photos_come_first_and_a_name_of_markup_is_plain_words(
    visit: Visit, bare: Path, tmp_path: Path
) -> None:
    marked = Path(shutil.copy(bare, tmp_path / "<b>${7*7}{{value}}&amp;.jpg"))
    page = visit()
    choose(page, marked, *(SAMPLES / f"plate-gmaw-pair-{view}.jpg" for view in "ab"))
    measure(page)
    assert page.locator("#tray b, [data-result] figcaption b").count() == 0
    assert "49" not in page.locator("#tray").inner_text()
    result = page.locator("[data-result]")
    assert result.inner_text().count("No weld was found beside the target") == 1
    assert result.inner_text().count("A photo from above does not show height") == 1
    # The marks are large on a small screen: the words stand beside the photo, not in it.
    height, width = result.locator("figure img").last.evaluate(
        "image => [image.naturalHeight, image.naturalWidth]"
    )
    assert height < 1.4 * width
    # Two photos that show one lie of the card are one weld: laid flat, and along it, on plate.
    whole = result.locator(".bc-whole")
    expect(whole.locator("h3").first).to_have_text("The weld from end to end, from 2 photos")
    drawn = whole.locator("img")
    expect(drawn).to_have_count(2)
    for picture in drawn.all():
        picture.scroll_into_view_if_needed()
        assert picture.evaluate("image => image.decode().then(() => image.naturalWidth)") > 250
    assert result.locator("img").first.get_attribute("class") == "bc-flat"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    whole.locator("summary").click()
    expect(whole.get_by_role("rowheader").first).to_contain_text("100 % seen")


def test_a_weld_that_is_not_found_gets_its_toes_by_hand_or_is_pointed_at_by_taps_or_keys(
    visit: Visit, bare: Path
) -> None:
    page = visit()
    expect(page.locator("#pointing")).to_be_hidden()
    choose(page, bare)
    measure(page)
    expect(page.locator("[data-result]")).to_contain_text("No weld")
    # Nor is it offered to do without the target, which is there, or to look at what is nowhere.
    expect(page.locator("[data-bare]")).to_have_count(0)
    expect(page.locator(".bc-look-here")).to_have_count(0)
    board = open_panel(page, "Place both toes")
    expect(board.get_by_label("One toe")).to_be_checked()
    board.get_by_text("Other toe", exact=True).click()
    board.get_by_role("button", name="Point at the cross").click()
    expect(page.locator("[data-side=right]")).to_have_count(1)
    expect(board.locator(".bc-told")).to_contain_text("1 point on the other toe")
    expect(page.locator("#corrected")).to_be_disabled()
    picture = page.locator(".bc-point")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    for share in (0.25, 0.75):
        picture.tap(position={"x": share * box["width"], "y": 0.38 * box["height"]})
    expect(page.locator("[data-end=start]")).to_be_visible()
    page.locator("[data-end=end]").press("ArrowRight")
    shown = page.locator("[data-result]").get_attribute("data-result")
    page.locator("#along").click()
    page.locator(f"[data-result]:not([data-result='{shown}'])").wait_for(timeout=60_000)
    # Nothing is there to be found, pointed at or not: no weld is invented.
    expect(page.locator("[data-result] table")).to_have_count(0)


def test_several_photos_are_listed_removed_and_told_apart_and_a_heic_is_one_of_them(
    visit: Visit, weld: Path, bare: Path, tmp_path: Path
) -> None:
    path = tmp_path / "IMG_0042.HEIC"
    pillow_heif.from_pillow(Image.fromarray(sample_pixels())).save(path, quality=60)
    page = visit()
    choose(page, weld, weld, bare, path)
    expect(page.locator("#tray")).to_contain_text("cap 7-2.jpg")
    expect(page.locator("#tray img").last).to_have_js_property("complete", value=True)
    for left, name in ((3, "cap 7-2.jpg"), (2, "cap 7.jpg")):
        page.get_by_role("button", name=f"Remove {name}", exact=True).click()
        expect(page.locator("#tray .bc-photos > li")).to_have_count(left)
    measure(page)
    result = page.locator("[data-result]")
    expect(result.locator("figure")).to_have_count(2)
    expect(result.locator(".bc-counts")).to_contain_text("bare.jpg: could not be measured")
    expect(result.locator("caption")).to_have_text("Values of IMG_0042.HEIC")
