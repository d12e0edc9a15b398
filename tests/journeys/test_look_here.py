"""Places to look at, by the command: shown, listed, written, and no part of any finding."""

import csv
import io
import json
import re

import jsonschema
import pytest

from .conftest import run_command

KINDS = {"spot_on_face", "line_at_toe", "spot_on_base", "rough_spot", "dip_at_end"}
VERDICTS = re.compile(r"defect|reject|fail|accept|fault|repair", re.IGNORECASE)


@pytest.fixture(scope="module")
def undercut(samples, tmp_path_factory):
    """The sample with undercut along its left toe, as rendered, measured into a folder."""
    folder = tmp_path_factory.mktemp("look")
    photo = samples / "plate-smaw-undercut.jpg"
    return folder, run_command("measure", photo, "--out", "out", cwd=folder)


def test_undercut_gives_a_dark_line_along_its_toe_to_look_at(undercut, samples):
    folder, done = undercut
    assert done.returncode == 0, done.stderr
    document = json.loads((folder / "out" / "result.json").read_text("utf-8"))
    lines = [each for each in document["indications"] if each["kind"] == "line_at_toe"]
    truth = json.loads((samples / "truth" / "plate-smaw-undercut.json").read_text("utf-8"))
    (groove,) = truth["weld"]["undercut"]
    assert len(lines) == 1
    first, last = groove["s_range_mm"]
    # It tapers to nothing over the last quarter at either end.
    assert 0.5 * (last - first) < lines[0]["length_along_mm"] < last - first + 2.0
    box = lines[0]["box_px"]
    toes = truth["weld"]["toes"]
    deepest = toes["s_mm"].index(min(toes["s_mm"], key=lambda s: abs(s - 0.5 * (first + last))))
    x, y = toes[f"{groove['side']}_px"][deepest]
    assert min(corner[0] for corner in box) < x < max(corner[0] for corner in box)
    assert min(corner[1] for corner in box) - 20 < y < max(corner[1] for corner in box) + 20


def test_they_are_numbered_alike_in_the_result_the_table_and_the_terminal(undercut, run):
    folder, done = undercut
    document = json.loads((folder / "out" / "result.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(json.loads(run("measure", "--schema").stdout)).validate(
        document
    )
    records = document["indications"]
    assert 1 <= len(records) <= 12
    assert [each["number"] for each in records] == list(range(1, len(records) + 1))
    assert {each["kind"] for each in records} <= KINDS
    strengths = [each["strength"] for each in records]
    assert strengths == sorted(strengths, reverse=True)
    text = (folder / "out" / "indications.csv").read_text("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [int(row["number"]) for row in rows] == [each["number"] for each in records]
    for each in records:
        assert re.search(rf"(?m)^ *{each['number']} +Look here: {each['words']}", done.stdout)
    told = done.stdout[done.stdout.index("Look here: candidates only") :]
    assert not VERDICTS.search(told)
    assert "an inspector says" in told


def test_they_take_no_part_in_findings_or_limits(undercut):
    folder, _ = undercut
    document = json.loads((folder / "out" / "result.json").read_text("utf-8"))
    words = json.dumps([document["checks"], document["quantities"], document["advice"]])
    assert not any(kind in words for kind in KINDS)
    assert not any(
        check["finding"] != "not measured"
        for check in document["checks"]
        if check["name"].startswith("undercut")
    )


def test_a_photo_without_a_weld_has_none(run, samples):
    done = run("measure", samples / "plate-no-weld.jpg", "--json")
    assert done.returncode == 1
    assert json.loads(done.stdout)["indications"] == []


def test_without_a_target_they_are_in_pixels(run, samples):
    done = run("measure", samples / "plate-smaw-no-target.jpg", "--no-target", "--json")
    assert done.returncode == 0, done.stderr
    records = json.loads(done.stdout)["indications"]
    assert records
    for each in records:
        assert each["length_along_mm"] is each["s_mm"] is each["length_across_U_mm"] is None
        assert each["length_along_px"] > 0.0
        assert each["length_across_U_px"] > 0.0


def test_on_a_pipe_they_lie_where_the_surface_is_seen_at_30_degrees_or_more(run, samples):
    photo = samples / "pipe-smaw-weave.jpg"
    done = run("measure", photo, "--pipe", "NPS 6", "--json")
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    # This weld's ends are out of view: what is not steady is seen too flat.
    steady = [each["s_mm"] for each in document["stations"] if each["steady"]]
    assert document["indications"]
    for each in document["indications"]:
        assert min(steady) - 1.0 <= each["s_mm"] <= max(steady) + 1.0
        assert each["clock_deg"] is not None
