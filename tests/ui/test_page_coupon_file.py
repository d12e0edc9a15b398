"""A coupon file: written by the page and measured by the command, and read back into the form."""

import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from .conftest import SIZES, Visit, choose, measure
from .scene import SAMPLES
from .test_page_access import too_small, violations
from .test_page_correcting import saved_result

SLOW_MS = 60_000
TILTED = """\
format = "beadcheck-coupon/1"
coupon = "P8-18"
pipe_size = "NPS 8 SCH 60"
position = "6G"
strip_side = "low"
sectors = 8

[[pass]]
pass = "fill"
layer = 3
process = "gtaw"
polarity = "dcen"
"""


def open_joint(page: Page) -> None:
    page.locator("#joint button").first.click()
    page.locator("#joint-write").wait_for()


def load(page: Page, path: Path) -> None:
    page.get_by_label("Fill the form in from a file").set_input_files(path)


def value_of(found: dict[str, Any], name: str, statistic: str) -> tuple[float, float]:
    (each,) = (
        each
        for each in found["quantities"]
        if (each["name"], each["statistic"]) == (name, statistic)
    )
    return each["value"], each["expanded_uncertainty"]


def test_what_the_page_writes_the_command_measures_to_the_same_numbers(
    visit: Visit, weld: Path, tmp_path: Path
) -> None:
    page = visit("phone", bypass_csp=True)
    page.locator("#coupon button").click()
    page.locator("#wall_thickness input").fill("10")
    page.locator("#weld_pass input").click()
    page.get_by_role("option", name="Cap").click()
    page.locator("#layer input").fill("4")
    page.locator("#bead input").fill("2")
    page.locator("#process input").click()
    page.get_by_role("option", name="SMAW (stick)").click()
    page.locator("#polarity").get_by_text("DCEP").click()
    page.locator("#groove input").click()
    page.get_by_role("option", name="Single V").click()
    page.locator("#root_gap :is(input, textarea)").fill("1/8 in")
    choose(page, weld)
    measure(page)
    open_joint(page)
    page.locator("#joint_name :is(input, textarea)").fill("P8-17 <b>")
    page.locator("#joint_person :is(input, textarea)").fill("Tern")
    page.locator("#joint_filler :is(input, textarea)").fill("E7018")
    page.locator("#joint-write").click()
    link = page.get_by_role("link", name=re.compile("^Save P8-17"))
    with page.expect_download() as waited:
        link.click()
    assert violations(page) == {}
    assert too_small(page) == []
    assert page.evaluate("window.innerWidth") == SIZES["phone"]["viewport"]["width"]
    file = tmp_path / waited.value.suggested_filename
    file.write_bytes(waited.value.path().read_bytes())
    written = tomllib.loads(file.read_text("utf-8"))
    assert written["groove"] == {"form": "single-v", "root_gap_mm": 3.175}
    (cap,) = written["pass"]
    said = [cap[key] for key in ("name", "layer", "bead", "process", "polarity", "filler")]
    assert said == ["cap, layer 4, bead 2", 4, 2, "smaw", "dcep", "E7018"]
    (tmp_path / weld.name).write_bytes(weld.read_bytes())

    command = [sys.executable, "-m", "beadcheck", "measure", str(file), "--json"]
    done = subprocess.run(command, capture_output=True, check=True, text=True)
    (measured,) = json.loads(done.stdout)
    shown = saved_result(page)
    assert measured["coupon"] == shown["coupon"]
    assert measured["limits"] == shown["limits"]
    for name, statistic in (("weld_width", "mean"), ("ripple_spacing", "mean")):
        # The page keeps the photo's pixels, so nothing differs but the order of sums.
        assert value_of(measured, name, statistic) == pytest.approx(
            value_of(shown, name, statistic), rel=1e-6
        )


def test_a_coupon_file_and_a_card_fill_the_form_in_and_a_broken_one_leaves_it(
    visit: Visit, tmp_path: Path
) -> None:
    page = visit("desktop", bypass_csp=True)
    page.locator("#coupon button").click()
    open_joint(page)
    load(page, SAMPLES / "pike-pipe.toml")
    told = page.locator("#joint-told")
    expect(told).to_contain_text("NPS 8 stick, November, pass root", timeout=SLOW_MS)
    expect(page.locator("#pipe_size input")).to_have_value("NPS 8 (219.1 mm)")
    expect(page.locator("#schedule input")).to_have_value("60 (10.31 mm)")
    expect(page.locator("#process input")).to_have_value("GTAW (TIG)")
    expect(page.locator("#joint_person :is(input, textarea)")).to_have_value("Pike")
    page.locator("#joint_pass input").click()
    page.get_by_role("option", name="cap", exact=True).click()
    expect(told).to_contain_text("pass cap", timeout=SLOW_MS)
    expect(page.locator("#groove input")).to_have_value("Single V")
    expect(page.locator("#joint_filler :is(input, textarea)")).to_have_value("3.2 mm low-hydrogen")
    expect(told).to_contain_text("pipe-smaw-light-line.jpg (light-line, step 5 mm)")
    page.locator("#settings button").click()
    expect(page.locator("#current input")).to_have_value("112")
    load(page, SAMPLES / "stick-on-pipe.toml")
    expect(told).to_contain_text("Stick on 8 inch pipe", timeout=SLOW_MS)
    expect(page.locator("#joint_pass input")).to_have_value("cap")
    expect(page.locator("#lowest_current input")).to_have_value("90")
    expect(page.locator("#current input")).to_have_value("112")
    expect(page.locator("#limits input")).to_have_value(re.compile(".+"))
    assert violations(page) == {}
    tilted = tmp_path / "tilted.toml"
    tilted.write_text(TILTED, encoding="utf-8")
    load(page, tilted)
    expect(page.locator("#sectors input")).to_have_value("8", timeout=SLOW_MS)
    expect(page.get_by_role("radio", name="Low side")).to_be_checked()
    expect(page.get_by_role("radio", name="DCEN")).to_be_checked()
    expect(page.locator("#layer input")).to_have_value("3")
    expect(page.locator("#bead input")).to_have_value("")
    load(page, SAMPLES / "stick-on-pipe.toml")
    expect(told).to_contain_text("Stick on 8 inch pipe", timeout=SLOW_MS)
    page.set_viewport_size({"width": 390, "height": 844})
    page.locator("#joint-write").click()
    expect(page.locator("#joint-written pre")).to_contain_text("format =", timeout=SLOW_MS)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    broken = tmp_path / "broken.toml"
    broken.write_text('format = "beadcheck-coupon/1"\ncoupon = "A"\nposition = "9G"\n')
    load(page, broken)
    expect(told).to_contain_text("Not filled in. Broken.toml, line 3", timeout=SLOW_MS)
    expect(page.locator("#pipe_size input")).to_have_value("NPS 8 (219.1 mm)")
    page.reload()
    page.locator("#coupon button").click()
    expect(page.locator("#pipe_size input")).to_have_value("NPS 8 (219.1 mm)")
