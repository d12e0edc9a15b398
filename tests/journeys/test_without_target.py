"""``beadcheck measure --no-target``: pixels and shares in every file, against rendered truth."""

import csv
import io
import json
import re

import jsonschema
import numpy as np
import pytest
from scipy.spatial import KDTree

from beadcheck.result import CAUTION, result_from_json

from .conftest import run_command

NAMES = (
    "pipe-gtaw-pulsed",
    "pipe-smaw-weave",
    "plate-gmaw-stringer",
    "plate-gtaw-pulsed",
    "plate-smaw-no-target",
    "plate-smaw-undercut",
)
LENGTH_WORDS = re.compile(r"\bmm\b|millimet|inch|\d in\b")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("bare")


@pytest.fixture(scope="module")
def done(samples, folder):
    """One run over several photos, whose result and files all journeys here look at."""
    photos = [samples / f"{name}.jpg" for name in NAMES]
    return run_command("measure", *photos, "--no-target", "--out", "out", "--inch", cwd=folder)


@pytest.fixture(scope="module")
def result(done, folder):
    assert done.returncode == 0, done.stderr
    return result_from_json((folder / "out" / "result.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def truth(samples):
    def weld(index: int):
        text = (samples / "truth" / f"{NAMES[index]}.json").read_text("utf-8")
        return json.loads(text)["weld"]

    return weld


def share(result, index: int, statistic: str):
    (found,) = (
        each
        for each in result.quantities
        if (each.photo, each.name, each.statistic, each.unit)
        == (index, "weld_width", statistic, "ratio")
    )
    return found


def test_the_printed_table_has_pixels_and_shares_only(done):
    words = done.stdout.replace(CAUTION, "")
    assert "without a target: pixels and percent only" in words
    assert " px" in words
    assert "% of the mean" in words
    assert "Limits on lengths were not checked" in words
    assert not LENGTH_WORDS.findall(words)


def test_result_and_stations_are_whole_and_say_the_same(done, result, run, folder):
    assert done.returncode == 0
    schema = json.loads(run("measure", "--schema").stdout)
    document = json.loads((folder / "out" / "result.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(document)
    table = (folder / "out" / "stations.csv").read_text("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(table)))
    assert len(rows) == len(document["stations"])
    for row, station in zip(rows, document["stations"], strict=True):
        assert station["weld_width_mm"] is None
        assert row["weld_width_mm"] == ""
        # Half a unit of the last digit that is written.
        assert float(row["weld_width_px"]) == pytest.approx(station["weld_width_px"], abs=0.005)
    assert {each.photo for each in result.stations} == set(range(len(NAMES)))
    assert {path.name for path in (folder / "out").iterdir()} >= {
        "result.json",
        "stations.csv",
        "findings.csv",
        "indications.csv",
        *(f"{name}.measured.jpg" for name in NAMES),
    }


@pytest.mark.parametrize("index", range(len(NAMES)), ids=NAMES)
def test_the_toes_lie_as_far_apart_in_the_photo_as_they_were_rendered(result, truth, index):
    toes = truth(index)["toes"]
    low, high = (np.array(toes[key], dtype=float) for key in ("lo_px", "hi_px"))
    seen = np.isfinite(low + high).all(axis=1)
    low, high = low[seen], high[seen]
    used = [s for s in result.stations if s.photo == index and s.sure and s.steady]
    middle = np.array([np.add(s.left_toe_px, s.right_toe_px) / 2.0 for s in used])
    _, nearest = KDTree((low + high) / 2.0).query(middle)
    true_px = np.hypot(*(high - low).T)[nearest]
    errors = np.array([s.weld_width_px for s in used]) - true_px
    u_px = np.array([s.weld_width_U_px for s in used])
    # U is the interval of 95 in 100; neighbours err alike, so a photo may have a poor stretch.
    assert (np.abs(errors) <= u_px).mean() >= 0.85
    (mean,) = (
        q
        for q in result.quantities
        if (q.photo, q.name, q.statistic, q.unit) == (index, "weld_width", "mean", "px")
    )
    assert abs(errors.mean()) <= mean.expanded_uncertainty


@pytest.mark.parametrize("index", range(len(NAMES)), ids=NAMES)
def test_the_shares_hold_the_true_weld_within_their_u(result, truth, index):
    """The truth is in mm on the metal; the photo is slanted, on pipe bent too, and nobody says."""
    body = truth(index)["width_mm"]["body_in_view"]
    for statistic in ("sd", "min", "max"):
        found = share(result, index, statistic)
        true = body[statistic] / body["mean"]
        assert abs(found.value - true) <= found.expanded_uncertainty, statistic


def test_a_pipe_may_be_named_and_the_ends_pointed_at(run, samples, result):
    index = NAMES.index("pipe-smaw-weave")
    used = [s for s in result.stations if s.photo == index]
    ends = [
        ",".join(f"{each:.0f}" for each in np.add(s.left_toe_px, s.right_toe_px) / 2.0)
        for s in (used[2], used[-3])
    ]
    photo = samples / "pipe-smaw-weave.jpg"
    named = run(
        "measure", photo, "--no-target", "--pipe", "NPS 6 SCH 80", "--along", *ends, "--json"
    )
    assert named.returncode == 0, named.stderr
    pointed = result_from_json(named.stdout)
    assert pointed.coupon.shape == "pipe"
    assert all(station.clock_deg is None for station in pointed.stations)
    widths = [
        q.value
        for each, photo_index in ((pointed, 0), (result, index))
        for q in each.quantities
        if (q.photo, q.name, q.statistic, q.unit) == (photo_index, "weld_width", "mean", "px")
    ]
    assert widths[0] == pytest.approx(widths[1], rel=0.03)


def test_a_photo_without_a_weld_is_refused_without_a_word_of_a_target(run, samples):
    done = run("measure", samples / "plate-no-weld.jpg", "--no-target", "--json")
    assert done.returncode == 1
    assert "No weld was found in the picture." in done.stderr
    assert "target" not in done.stderr
    assert result_from_json(done.stdout).photos[0].without_target
