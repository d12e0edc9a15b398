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
    StationRecord,
)

START = datetime(2026, 3, 2, 12, tzinfo=UTC)
TERN = (0.92, 0.88, 0.95, 0.85, 0.52, 0.48, 0.50)
GULL = (0.61, 0.60, 0.66)


def stations(spread_mm: float) -> tuple[StationRecord, ...]:
    """All round a pipe; the width strays at five o'clock alone."""
    return tuple(
        StationRecord(
            photo=0,
            s_mm=float(clock),
            clock_deg=float(clock),
            left_toe_px=(900.0 + clock, 801.0),
            right_toe_px=(902.0 + clock, 1003.5),
            weld_width_mm=9.5 + (2.0 * spread_mm * (-1) ** k if 135 <= clock < 165 else 0.0),
            weld_width_U_mm=0.1,
            sure=True,
            steady=True,
        )
        for k, clock in enumerate(range(0, 360, 5))
    )


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
            shape="pipe",
            outside_diameter_mm=219.1,
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
        stations=stations(spread_mm),
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
def test_where_round_the_clock_it_is_lost_is_told_and_drawn_for_one_and_for_all(run, tmp_path):
    done = run("trend", "--person", "Tern", "--where", "tern.svg")
    assert done.returncode == 0, done.stderr
    assert "Round the clock the width strays most near 5:00 (150°): " in done.stdout
    assert (
        "It is the worst place in 7 of 7 welds, more often than chance would make it" in done.stdout
    )
    assert "There it fell from" in done.stdout
    assert "Since Tern's last cap (plate 6, cap, 2026-03-17):" in done.stdout
    everybody = run("trend", "--where", "all.png")
    assert everybody.returncode == 0, everybody.stderr
    assert "Gull: near 5:00 (150°)" in everybody.stdout
    assert "Tern: near 5:00 (150°)" in everybody.stdout
    assert (tmp_path / "tern.svg").read_text("utf-8").lstrip().startswith("<?xml")
    assert (tmp_path / "all.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.usefixtures("logged")
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--person", "Nobody"), "Nobody"),
        (("--out", "class.svg"), "--person"),
        (("--person", "Tern", "--out", "tern.doc"), ".svg or .png"),
        (("--person", "Tern", "--repeatability", "0"), "--repeatability"),
        (("--where", "all.doc"), ".svg or .png"),
        (("--where", "all.svg", "--of", "ripple_spacing"), "weld width alone"),
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
