"""A pipe photographed all the way round, one photo twice, against the truth of the whole turn.

The truth is that of the render (`samples/README.md`, "Rings"). Rings of this kind, though not this
one alone, were looked at while photos were first joined: how far to trust the numbers on others
stands in DEVELOPERS.md.
"""

import json
import math
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from .conftest import run_command

PIPE = ("--pipe", "NPS 2 SCH 80", "--process", "gtaw-pulsed", "--position", "5G")


@pytest.fixture(scope="module")
def truth(samples):
    return json.loads((samples / "pipe-ring" / "ring.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def out(samples, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("ring")
    photos = sorted((samples / "pipe-ring").glob("*.jpg"))
    again = shutil.copy(photos[1], folder / "once-more.jpg")
    done = run_command("measure", *photos, again, *PIPE, "--out", "out", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "o'clock" in done.stdout
    return folder / "out"


@pytest.fixture(scope="module")
def result(out):
    return json.loads((out / "result.json").read_text("utf-8"))


def test_every_photo_is_placed_once_and_the_strip_closes(result, truth):
    whole = result["whole_weld"]
    assert [each["code"] for each in whole["left_out"]] == ["duplicate"]
    assert len(whole["photos"]) == len(truth["photos"])
    assert whole["closure"]["fault"] == "none"
    true_mm = math.pi * truth["outside_diameter_mm"]
    assert abs(whole["length_mm"] - true_mm) <= whole["length_U_mm"]


def test_each_sectors_mean_width_is_near_the_truth_and_within_its_uncertainty(result, truth):
    whole = result["whole_weld"]
    arc_mm, true_mm = np.array(truth["arc_mm"]), np.array(truth["width_mm"])
    seen_mm = np.array([each["arc_mm"] for each in whole["stations"]])
    turn_mm = truth["turn_mm"]
    checked = 0
    for sector in whole["sectors"]:
        off = np.mod(arc_mm / turn_mm * 360.0 - sector["middle_clock_deg"] + 180.0, 360.0) - 180.0
        apart = np.abs(arc_mm[:, None] - seen_mm * turn_mm / whole["length_mm"])
        seen = np.minimum(apart, turn_mm - apart).min(axis=1) < 1.0
        of_sector = (np.abs(off) <= 15.0) & seen
        for value in sector["values"]:
            if (value["name"], value["statistic"]) == ("weld_width", "mean"):
                error_mm = abs(value["value"] - true_mm[of_sector].mean())
                assert error_mm <= min(0.3, value["expanded_uncertainty"])
                checked += 1
    assert checked >= 10


def test_it_is_drawn_flat_round_and_along_and_told_by_sector(out, result):
    with Image.open(out / "whole.unrolled.jpg") as flat:
        assert flat.width > 1000
    for name in ("whole.round.svg", "whole.along.svg"):
        assert "<svg" in (out / name).read_text("utf-8")
    rows = (out / "sectors.csv").read_text("utf-8-sig").splitlines()
    assert len(rows) > len(result["whole_weld"]["sectors"])
