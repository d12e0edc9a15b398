"""``--toes``: a toe that a person placed goes before the found one, and the result says so."""

import csv
import json
from pathlib import Path

import pytest

PHOTO = "plate-gmaw-stringer.jpg"
TAPS_S_MM = (-45.0, -30.0, -15.0, 0.0, 15.0, 30.0, 45.0)


def true_toes(samples: Path) -> dict:
    return json.loads((samples / "truth" / f"{Path(PHOTO).stem}.json").read_bytes())["weld"]


def write_toes(path: Path, truth: dict, *, wide: float = 0.0, files: str = "") -> Path:
    """Points along the true left toe, moved outwards by a part of the weld width."""
    toes = truth["toes"]
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow([*(["file"] if files else []), "toe", "x_px", "y_px"])
        for wanted in TAPS_S_MM:
            at = min(range(len(toes["s_mm"])), key=lambda i: abs(toes["s_mm"][i] - wanted))
            (x, y), (x_other, y_other) = toes["hi_px"][at], toes["lo_px"][at]
            point = (x + wide * (x - x_other), y + wide * (y - y_other))
            writer.writerow(
                [*([files] if files else []), "left", *(f"{each:.1f}" for each in point)]
            )
    return path


def mean_width(result: dict) -> dict:
    return next(
        each
        for each in result["quantities"]
        if (each["name"], each["statistic"]) == ("weld_width", "mean")
    )


def test_a_wrong_toe_changes_the_width_and_the_right_one_brings_it_back(run, tmp_path, samples):
    truth = true_toes(samples)
    wrong = write_toes(tmp_path / "wrong.csv", truth, wide=0.15)
    right = write_toes(tmp_path / "right.csv", truth, wide=0.03)
    results = []
    for toes in (wrong, right):
        done = run("measure", samples / PHOTO, "--toes", toes, "--out", "out", "--json")
        assert done.returncode == 0, done.stderr
        results.append(json.loads(done.stdout))
    true_mm = truth["width_mm"]["body_in_view"]["mean"]
    off, back = (mean_width(result) for result in results)
    assert off["value"] - true_mm > 0.8
    assert abs(back["value"] - true_mm) <= back["expanded_uncertainty"]
    assert "toes placed by hand" in [each["source"] for each in back["budget"]]
    (notice,) = results[1]["photos"][0]["problems"]
    assert notice["code"] == "toes_by_hand"
    with (tmp_path / "out" / "stations.csv").open(encoding="utf-8-sig", newline="") as file:
        stations = list(csv.DictReader(file))
    by_hand = [each for each in stations if each["left_placed_by_hand"] == "yes"]
    assert 85 <= len(by_hand) <= 91  # 90 mm, on the metal's own millimetres
    assert {each["right_placed_by_hand"] for each in stations} == {"no"}
    assert (tmp_path / "out" / f"{Path(PHOTO).stem}.measured.jpg").exists()


def test_toes_go_with_the_photo_that_they_name_and_with_along(run, tmp_path, samples):
    toes = write_toes(tmp_path / "toes.csv", true_toes(samples), files=PHOTO)
    done = run(
        "measure",
        samples / PHOTO,
        samples / "plate-smaw-undercut.jpg",
        "--toes",
        toes,
        "--json",
    )
    assert done.returncode == 0, done.stderr
    result = json.loads(done.stdout)
    assert {each["photo"] for each in result["stations"] if each["left_placed_by_hand"]} == {0}
    done = run("measure", samples / PHOTO, "--toes", toes, "--along", "500,1420", "2560,1080")
    assert done.returncode == 0, done.stderr
    assert "A person placed" in done.stdout


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("toe;x;y\n", "toes.csv, line 1: the columns are"),
        ("toe,x_px,y_px\nleft,1,2\nleft,9999,4\n", "toes.csv, line 3: x_px is 9999"),
        ("toe,x_px,y_px\nleft,1,2\n", "toes.csv, line 2: this is the only point of the left toe"),
        ("file,toe,x_px,y_px\nb.jpg,left,1,2\nb.jpg,left,5,2\n", "no row is about"),
    ],
)
def test_a_broken_file_is_one_sentence_and_nothing_is_written(run, tmp_path, samples, text, words):
    (tmp_path / "toes.csv").write_text(text, "utf-8")
    done = run("measure", samples / PHOTO, "--toes", "toes.csv", "--out", "out")
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert words in done.stderr
    assert not (tmp_path / "out").exists()


def test_one_toe_where_there_is_no_weld_is_refused_in_one_sentence(run, tmp_path, samples):
    (tmp_path / "toes.csv").write_text("toe,x_px,y_px\nleft,1000,1200\nleft,1900,1290\n", "utf-8")
    done = run("measure", samples / "plate-no-weld.jpg", "--toes", "toes.csv")
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "only one toe was placed by hand" in done.stderr
