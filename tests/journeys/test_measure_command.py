"""``beadcheck measure`` on the samples: from a photo to numbers, files and exit codes."""

import csv
import io
import json

import jsonschema
import pytest
from PIL import Image

from beadcheck.result import CAUTION, result_from_json

from .conftest import run_command

PLATE = "plate-gtaw-pulsed"
PULSED = ("--process", "gtaw-pulsed", "--peak-time", "0.5", "--background-time", "0.5")
STRICT_LIMITS = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, impossible on purpose"
source = "Harrow Quay Weld Shop"
edition = "2026"

[[limit]]
quantity = "weld_width"
statistic = "max"
sense = "at most"
value_mm = 0.5
"""


def value(result, name: str, statistic: str) -> float:
    (found,) = (q for q in result.quantities if (q.name, q.statistic) == (name, statistic))
    return found.value


@pytest.fixture(scope="module")
def photo(samples):
    return samples / f"{PLATE}.jpg"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("plate")


@pytest.fixture(scope="module")
def plain(photo, folder):
    """One plain run, whose result and files several journeys look at."""
    return run_command("measure", photo, *PULSED, "--out", "out", "--json", cwd=folder)


def test_one_photo_gives_numbers_near_the_truth_and_whole_files(run, plain, folder, samples):
    assert plain.returncode == 0, plain.stderr
    document = json.loads(plain.stdout)
    schema = json.loads(run("measure", "--schema").stdout)
    jsonschema.Draft202012Validator(schema).validate(document)
    out = folder / "out"
    assert document == json.loads((out / "result.json").read_text("utf-8"))
    assert document["caution"] == CAUTION

    result = result_from_json(plain.stdout)
    truth = json.loads((samples / "truth" / f"{PLATE}.json").read_text("utf-8"))
    mean_mm = truth["weld"]["width_mm"]["body_in_view"]["mean"]
    # A quarter of a millimetre is what a steel rule read by eye is good for.
    assert value(result, "weld_width", "mean") == pytest.approx(mean_mm, abs=0.25)

    names = {path.name for path in out.iterdir()}
    tables = {"stations.csv", "findings.csv", "indications.csv", "profiles.csv", "sectors.csv"}
    tables |= {"beads.csv", "fit-up.csv"}
    assert names == {"result.json", *tables, f"{PLATE}.measured.jpg"}
    table = (out / "stations.csv").read_text("utf-8-sig")
    assert len(list(csv.DictReader(io.StringIO(table)))) == len(result.stations)
    with Image.open(out / f"{PLATE}.measured.jpg") as picture:
        picture.load()
        assert not picture.getexif()
        assert picture.height > picture.width


def test_a_finding_outside_leaves_3_and_the_table_shows_it(run, tmp_path, photo):
    (tmp_path / "shop.toml").write_text(STRICT_LIMITS, "utf-8")
    done = run("measure", photo, "--limits", "shop.toml", "--strict", "--inch", COLUMNS="100")
    assert done.returncode == 3, done.stderr
    assert done.stderr == ""
    words = ("weld width", "±", " mm (", " in)", "Findings: 1 outside", "qualified inspector")
    assert [word for word in words if word not in done.stdout] == []
    assert "passed" not in done.stdout.lower()


def test_an_unusable_photo_leaves_1_and_the_others_are_measured(run, tmp_path, photo):
    (tmp_path / "shop.toml").write_text(STRICT_LIMITS, "utf-8")
    (tmp_path / "text.jpg").write_bytes(b"no picture at all")
    flags = ("--limits", "shop.toml", "--strict", "--json", "--out", "out", "--no-picture")
    done = run("measure", "text.jpg", photo, *flags)
    assert done.returncode == 1
    assert [line.split()[0] for line in done.stderr.splitlines()] == ["text.jpg", f"{PLATE}.jpg:"]
    result = result_from_json(done.stdout)
    assert [each.usable for each in result.photos] == [False, True]
    assert {each.photo for each in result.stations} == {1}
    assert "outside" in {check.finding for check in result.checks}
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {
        "result.json",
        "stations.csv",
        "findings.csv",
        "indications.csv",
        "profiles.csv",
        "sectors.csv",
        "beads.csv",
        "fit-up.csv",
    }


def test_a_longer_check_bar_makes_every_length_longer(run, plain, photo):
    # The bar is 100 mm long as drawn: printed 1 % too large, all lengths are 1 % greater.
    done = run("measure", photo, *PULSED, "--print-scale", "101", "--json")
    larger = value(result_from_json(done.stdout), "weld_width", "mean")
    # The stations do not fall on the very same places of the weld.
    ratio = larger / value(result_from_json(plain.stdout), "weld_width", "mean")
    assert ratio == pytest.approx(1.01, abs=0.003)


def test_pointing_at_the_weld_gives_the_same_weld(run, plain, photo):
    found = result_from_json(plain.stdout)
    ends = [middle_words(each) for each in (found.stations[5], found.stations[-5])]
    done = run("measure", photo, "--along", *ends, "--json")
    assert done.returncode == 0, done.stderr
    pointed = result_from_json(done.stdout)
    # Two searches of one weld; the ends differ by a few stations.
    assert value(pointed, "weld_width", "mean") == pytest.approx(
        value(found, "weld_width", "mean"), abs=0.1
    )


def middle_words(station) -> str:
    """Middle of the weld at a station, as ``--along`` takes it."""
    both = zip(station.left_toe_px, station.right_toe_px, strict=True)
    return ",".join(f"{(left + right) / 2:.0f}" for left, right in both)
