"""``beadcheck measure`` with photos for height: kinds, refusals and one result for the coupon."""

import json
import re
import shutil

import jsonschema
import pytest

LINES = ("plate-gmaw-light-line", "plate-gmaw-light-line-2")
LARGEST_ERROR_MM = 0.1
"""What a height is wanted to: a third of what a weld gauge is good for."""


def highest_mm(document: dict, scope: str) -> list[float]:
    return [
        q["value"]
        for q in document["quantities"]
        if (q["name"], q["statistic"], q["scope"]) == ("face_reinforcement", "max", scope)
    ]


def truth_of(samples, name: str) -> dict:
    return json.loads((samples / "truth" / f"{name}.json").read_text("utf-8"))


def test_two_lines_of_light_make_one_coupon_with_heights_near_the_truth(run, samples, tmp_path):
    photos = [argument for name in LINES for argument in ("--light-line", samples / f"{name}.jpg")]
    done = run("measure", *photos, "--step", "5,0.04", "--json", "--out", "o")
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    truth = [truth_of(samples, name)["laser"]["max_height_mm"] for name in LINES]
    assert highest_mm(document, "photo") == pytest.approx(truth, abs=LARGEST_ERROR_MM)
    assert highest_mm(document, "coupon") == [max(highest_mm(document, "photo"))]
    assert [p["photo"] for p in document["profiles"]] == [0, 1]
    assert [s["photo"] for s in document["stations"]] == sorted(
        s["photo"] for s in document["stations"]
    )
    # Lists of numbers stand on one line each: a profile has hundreds.
    text = (tmp_path / "o" / "result.json").read_text("utf-8")
    assert max(len(profile["height_mm"]) for profile in document["profiles"]) > 100
    assert not any(re.fullmatch(r"\s*-?[0-9.]+,?", line) for line in text.splitlines())


def test_a_cap_on_pipe_is_measured_on_its_outline(run, samples):
    name = "pipe-smaw-side-on"
    done = run("measure", samples / f"{name}.jpg", "--kind", "side-on", "--pipe", "NPS 8", "--json")
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    limb = truth_of(samples, name)["limb"]
    # The outline shows the largest height near the section, which is what its truth says.
    assert highest_mm(document, "photo") == pytest.approx(
        [limb["max_z_at_silhouette_mm"]], abs=LARGEST_ERROR_MM
    )
    (profile,) = document["profiles"]
    assert profile["method"] == "side-on"
    assert profile["left_toe_across_mm"] == pytest.approx(-profile["right_toe_across_mm"], abs=0.01)


@pytest.fixture
def photos(tmp_path, samples):
    """A face photo of a bead on plate, and its twin from the very same place."""
    for name in ("a.jpg", "b.jpg", "face.jpg"):
        shutil.copy(samples / "plate-gmaw-stringer.jpg", tmp_path / name)
    return tmp_path


def test_a_pair_from_one_place_is_refused_while_the_face_photo_is_measured(run, photos):
    done = run("measure", "face.jpg", "--pair", "a.jpg", "--pair", "b.jpg", "--json", "--out", "o")
    assert done.returncode == 1
    assert "apart" in done.stderr
    document = json.loads(done.stdout)
    schema = json.loads(run("measure", "--schema").stdout)
    jsonschema.Draft202012Validator(schema).validate(document)
    assert [p["kind"] for p in document["photos"]] == ["face", "pair", "pair"]
    assert [p["usable"] for p in document["photos"]] == [True, True, False]
    # The reason why the pair gives none comes before what no photo from above can give.
    missing = [n for n in document["not_measured"] if n["name"] == "face_reinforcement"]
    assert [n["photos"] for n in missing] == [[1, 2]]
    assert {q["photo"] for q in document["quantities"] if q["name"] == "weld_width"} == {0, 1}
    names = {path.name for path in (photos / "o").iterdir()}
    assert {"a.measured.jpg", "b.measured.jpg", "face.measured.jpg"} <= names
    assert not any(name.endswith(".heights.csv") for name in names)


def test_a_photo_without_a_line_of_light_gives_no_height(run, samples):
    done = run(
        "measure", "--light-line", samples / "plate-no-weld.jpg", "--light-angle", "45,1", "--json"
    )
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    document = json.loads(done.stdout)
    assert document["profiles"] == []
    assert document["quantities"] == []
    assert "line of light" in document["photos"][0]["problems"][0]["message"]
