"""A person's trend and a class's, from a log that holds invented welds."""

from datetime import UTC, datetime, timedelta

import pytest
from PIL import Image

from beadcheck.limits import Finding
from beadcheck.log import Entry, log_address, open_log, save
from beadcheck.result import (
    CheckRecord,
    CouponRecord,
    PhotoRecord,
    QuantityRecord,
    Result,
    SettingsRecord,
    StatedRecord,
)

START = datetime(2026, 3, 2, 12, tzinfo=UTC)
TERN = (0.92, 0.88, 0.95, 0.85, 0.52, 0.48, 0.50)
GULL = (0.61, 0.60, 0.66)


def weld(spread_mm: float, *, current: float) -> Result:
    value = QuantityRecord(
        name="weld_width",
        statistic="sd",
        value=spread_mm,
        unit="mm",
        expanded_uncertainty=0.06,
        coverage_factor=2.0,
        count=60,
        scope="photo",
        photo=0,
        side=None,
        s_range_mm=(2.0, 62.0),
    )
    limit = CheckRecord(
        name="weld_width",
        finding=Finding.WITHIN,
        value=spread_mm,
        limit=1.2,
        unit="mm",
        source="Pike Lane class card, rule 2",
        statistic="sd",
        photo=0,
    )
    return Result(
        coupon=CouponRecord(
            shape="plate",
            outside_diameter_mm=None,
            wall_thickness_mm=8.0,
            weld_pass="cap",  # noqa: S106
        ),
        settings=SettingsRecord(
            current=StatedRecord(value=current, unit="A", expanded_uncertainty=3.0)
        ),
        photos=(
            PhotoRecord(
                file="cap.jpg",
                kind="face",
                usable=True,
                px_per_mm=20.0,
                tilt_deg=4.0,
                distance_mm=210.0,
                problems=(),
            ),
        ),
        quantities=(value,),
        checks=(limit,),
        made_with="beadcheck 0.1.0",
    )


@pytest.fixture
def logged(tmp_path):
    """Fill the log that `run` opens."""
    photo = tmp_path / "cap.jpg"
    Image.new("RGB", (40, 30)).save(photo)
    with open_log(log_address({}, str(tmp_path / "log.sqlite3"))) as log:
        for person, spreads in (("Tern", TERN), ("Gull", GULL)):
            for number, spread in enumerate(spreads):
                save(
                    log,
                    Entry(
                        result=weld(spread, current=90.0 if number < 4 else 80.0),
                        photos=(photo,),
                        person=person,
                        coupon=f"plate {number + 1}",
                        run="cap",
                        measured_at=START + timedelta(days=3 * number),
                    ),
                )


@pytest.mark.usefixtures("logged")
def test_a_person_sees_what_changed_and_whether_it_is_more_than_measuring_gives(run, tmp_path):
    done = run("trend", "--person", "Tern", "--out", "tern.svg")
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "current went from 90 to 80 A" in said
    assert "weld width, spread (sd) fell from 0.90 mm to 0.50 mm" in said
    assert "more than repeat measurement alone would give" in said
    assert "7 welds, 2026-03-02 to 2026-03-20" in said
    assert "Against Pike Lane class card, rule 2: Cpk" in said
    assert (tmp_path / "tern.svg").read_text("utf-8").lstrip().startswith("<?xml")


@pytest.mark.usefixtures("logged")
def test_a_class_is_one_line_for_each_person(run):
    done = run("trend")
    assert done.returncode == 0, done.stderr
    rows = [line.split() for line in done.stdout.splitlines()]
    (tern,) = (row for row in rows if row[:1] == ["Tern"])
    (gull,) = (row for row in rows if row[:1] == ["Gull"])
    assert tern[1] == "7"
    assert tern[-2:] == ["-45", "%"]
    assert gull[1] == "3"
    assert any(row[:1] == ["2026-03-02"] for row in rows)


@pytest.mark.usefixtures("logged")
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--person", "Nobody"), "Nobody"),
        (("--out", "class.svg"), "--person"),
        (("--person", "Tern", "--out", "tern.doc"), ".svg or .png"),
        (("--person", "Tern", "--repeatability", "0"), "--repeatability"),
        (("--person", "Tern", "--out", "no-folder/tern.svg"), "cannot be written"),
    ],
)
def test_what_cannot_be_shown_is_said_in_one_sentence(run, arguments, said):
    done = run("trend", *arguments)
    assert done.returncode != 0
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_an_empty_log_has_no_trend(run):
    done = run("trend", "--person", "Tern")
    assert done.returncode != 0
    assert "Tern" in done.stderr
    done = run("trend")
    assert done.returncode == 0
    assert "Nothing was logged that fits." in done.stdout
