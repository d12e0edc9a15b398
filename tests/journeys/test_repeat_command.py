"""A repeatability study: from an empty form to the analysis, by the installed command.

The readings are those of the AIAG manual's example, whose source stands in
`tests/reference/test_against_aiag_gauge_study.py`.
"""

import csv
import shutil

import pytest

from beadcheck.cli.repeat_shown import study_words
from beadcheck.gauge_study import StudyReading, crossed, crossed_study, readings_csv
from beadcheck.trends import study_chart

A = (
    (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
    (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
    (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
)
B = (
    (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
    (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
    (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
)
C = (
    (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
    (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
    (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
)


def write_study(path, rows, heading=("part", "by", "value")) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heading, *rows])


def example_rows():
    return [
        (f"part {part + 1}", who, value)
        for who, trials in (("Tern", A), ("Gull", B), ("Moth", C))
        for trial in trials
        for part, value in enumerate(trial)
    ]


def test_a_filled_form_gives_the_manuals_figures(run, tmp_path):
    write_study(tmp_path / "study.csv", example_rows())
    done = run("repeat", "study.csv", "--tolerance", "8", "--out", "study.svg")
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    for wanted in ("10 parts, 3 people", "88.362", "0.1999", "0.2268", "0.3024", "1.042"):
        assert wanted in said, wanted
    assert "tells 4 groups of parts apart (five or more are wanted)" in said
    assert "takes 22.7 % of the tolerance" in said
    assert "--repeatability 0.1999" in said
    assert "qualified inspector" in said
    assert (tmp_path / "study.svg").read_text("utf-8").lstrip().startswith("<?xml")


def test_the_empty_form_has_a_line_for_each_reading(run, tmp_path):
    done = run("repeat", "--form", "study.csv", "--parts", "4", "--people", "Tern,Gull")
    assert done.returncode == 0, done.stderr
    with (tmp_path / "study.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 4 * 2 * 3
    assert rows[0] == {"part": "part 1", "by": "Tern", "photo": "", "value": "", "gauge": ""}
    # As it stands it is no study yet, and says on which line.
    refused = run("repeat", "study.csv")
    assert refused.returncode != 0
    assert "line 2: give either a photo or a value" in refused.stderr


def test_photos_are_measured_and_set_against_the_gauge(run, tmp_path, samples):
    names = ("plate-gtaw-pulsed.jpg", "plate-gmaw-stringer.jpg", "plate-smaw-undercut.jpg")
    rows = []
    for number, name in enumerate(names):
        shutil.copy(samples / name, tmp_path / name)
        for who in ("Tern", "Gull"):
            rows += [(f"plate {number}", who, name, 6.4 + number)] * 2
    write_study(tmp_path / "study.csv", rows, ("part", "by", "photo", "gauge"))
    done = run("repeat", "study.csv")
    assert done.returncode == 0, done.stderr
    # The same photos again are the same values: no spread but that of the parts.
    assert "Photo less hand gauge at 3 parts" in done.stdout
    assert "Traceback" not in done.stderr


def test_a_list_of_one_person_is_set_against_the_gauge_alone(run, tmp_path) -> None:
    values = ((9.02, 9.05), (8.61, 8.40), (9.27, 9.20), (8.95, 8.90))
    readings = [
        StudyReading(part=f"cap, place {k}", by="Tern", value=photo, gauge=gauge)
        for k, (photo, gauge) in enumerate(values, start=1)
    ]
    (tmp_path / "study.csv").write_text(readings_csv(readings), encoding="utf-8-sig")
    done = run("repeat", "study.csv", "--out", "agreement.svg")
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    # Differences -0.03, 0.21, 0.07 and 0.05 mm.
    assert "Photo less hand gauge at 4 parts: +0.075 ±" in said
    assert "Repeatability is not told apart: The study has 4 parts, 1 people or phones" in said
    assert "<svg" in (tmp_path / "agreement.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("rows", "heading", "said"),
    [
        (example_rows()[:-1], ("part", "by", "value"), "Moth read part 10 2 times"),
        (example_rows()[:1], ("part", "by", "value"), "1 parts, 1 people"),
        ([("p", "Tern", "wide")], ("part", "by", "value"), "line 2: value 'wide' is no number"),
        ([("p", "", "7")], ("part", "by", "value"), "line 2: by is empty"),
        ([("p", "7")], ("part", "value"), "names no column by"),
        ([("p", "Tern", "no-such.jpg")] * 2, ("part", "by", "photo"), "no-such.jpg"),
        ([], ("part", "by", "value"), "0 parts"),
    ],
)
def test_a_list_that_is_no_study_is_refused_in_one_sentence(run, tmp_path, rows, heading, said):
    write_study(tmp_path / "study.csv", rows, heading)
    done = run("repeat", "study.csv")
    assert done.returncode != 0
    assert said in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_readings_without_any_spread_are_said_without_shares() -> None:
    readings = [StudyReading(part=p, by=b, value=7.0) for p in "xy" for b in "ab" for _ in range(2)]
    block = crossed(readings)
    study = crossed_study(block.values)
    assert "nan" not in study_words(block, study, readings, unit="mm")
    assert study_chart(block, study, subject="weld width, mm").lstrip().startswith(b"<?xml")
