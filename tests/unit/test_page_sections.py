"""What the viewer of sections is told, and for which heights a further photo is asked."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from numpy.testing import assert_allclose

from beadcheck.coupon import WeldPass
from beadcheck.limits import Finding
from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.result import (
    CheckRecord,
    CouponRecord,
    PhotoRecord,
    ProfileRecord,
    ReadingRecord,
    Result,
)
from beadcheck_page.asking import Way, missing_heights, ways
from beadcheck_page.orders import Outcome
from beadcheck_page.sections import Sections, sections_of, write_sections

PLATE = CouponRecord(
    shape="plate", outside_diameter_mm=None, wall_thickness_mm=None, weld_pass=WeldPass.CAP.value
)
PIPE = replace(PLATE, shape="pipe", outside_diameter_mm=168.3)


def photo(file: str, *, kind: PhotoKind = PhotoKind.FACE, usable: bool = True) -> PhotoRecord:
    return PhotoRecord(
        file=file,
        kind=kind.value,
        usable=usable,
        px_per_mm=None,
        tilt_deg=None,
        distance_mm=None,
        problems=(),
    )


def check(name: str, finding: Finding, *, limit: float | None = None) -> CheckRecord:
    return CheckRecord(
        name=name,
        finding=finding,
        value=None,
        limit=limit,
        unit="mm",
        source="a school's own",
        statistic="max",
    )


def profile(*, s_mm: float, photo: int | None, photos: tuple[int, ...] = ()) -> ProfileRecord:
    return ProfileRecord(
        photo=photo,
        photos=photos,
        method="pair" if photo is None else "light-line",
        s_mm=s_mm,
        clock_deg=None,
        across_mm=(-6.0, -1.25, 2.5, 7.0),
        height_mm=(0.0, 1.23456, None, -0.3),
        U_mm=(0.1, 0.12, None, 0.1),
        points_px=((410.0, 220.0), (430.0, 380.0), None, (470.0, 640.0)),
        left_toe_px=(412.0, 260.0),
        right_toe_px=None,
        left_toe_across_mm=-4.5,
        readings=(
            ReadingRecord(
                name="face_reinforcement",
                side=None,
                value=1.91,
                unit="mm",
                expanded_uncertainty=0.11,
                across_mm=-1.25,
            ),
            ReadingRecord(
                name="undercut_depth",
                side="right",
                value=0.05,
                unit="mm",
                expanded_uncertainty=0.09,
                across_mm=7.0,
            ),
        ),
    )


def result(*, checks: tuple[CheckRecord, ...] = (), coupon: CouponRecord = PLATE) -> Result:
    return Result(
        coupon=coupon,
        photos=(photo("cap.jpg"), photo("line.jpg", kind=PhotoKind.LIGHT_LINE)),
        profiles=(
            profile(s_mm=30.0, photo=1),
            profile(s_mm=12.0, photo=None, photos=(0, 1)),
            profile(s_mm=13.0, photo=None, photos=(0, 1)),
        ),
        checks=checks,
    )


def of_both(found: Result) -> Sections:
    """Sections of a result that is judged alike in both units."""
    return sections_of(dict.fromkeys(LengthUnit, found), {})


def outcome(found: Result) -> Outcome:
    return Outcome(
        key="k",
        measured_at=datetime(2026, 5, 17, 9, 5, tzinfo=UTC),
        result=found,
        takes=(),
        files={},
        downloads=(),
    )


def test_the_viewer_is_told_each_way_apart_with_its_photo_and_its_words(tmp_path: Path) -> None:
    written = json.loads(
        write_sections(
            dict.fromkeys(LengthUnit, result()), {}, tmp_path / "sections.json"
        ).read_bytes()
    )
    titles = [group["title"] for group in written["groups"]]
    assert titles == ["Line of light", "Pair of photos: cap.jpg, line.jpg"]
    (line,), pair = (group["sections"] for group in written["groups"])
    assert line["picture"] == 1
    assert [section["picture"] for section in pair] == [0, 0]
    assert line["line"] == [[410.0, 220.0], [470.0, 640.0]]
    assert line["height_mm"][2] is None
    # Rounded to a thousandth: a hundredth of any uncertainty that a photo has.
    assert_allclose(line["height_mm"][1], 1.23456, atol=0.0006)
    assert line["at"]["mm"] == "30.0 mm along the weld, line.jpg"
    assert (
        line["says"][0]["inch"]
        .replace("\N{NO-BREAK SPACE}", " ")
        .startswith("face reinforcement: 1.91 ± 0.11 mm (0.075")
    )
    assert line["says"][1]["mm"].startswith("undercut depth, right toe: 0.05")


def test_an_undercut_within_its_uncertainty_is_not_marked() -> None:
    section = of_both(result()).groups[0].sections[0]
    assert section.marks_mm == (-1.25,)


def test_limits_of_heights_stand_above_and_of_depths_below_the_metal() -> None:
    checks = (
        check("face_reinforcement", Finding.WITHIN, limit=3.2),
        check("undercut_depth", Finding.WITHIN, limit=0.5),
        check("undercut_depth", Finding.WITHIN, limit=0.5),
        check("weld_width", Finding.WITHIN, limit=12.0),
        replace(check("face_reinforcement", Finding.WITHIN, limit=0.0), sense="at least"),
        check("underfill", Finding.NOT_MEASURED),
    )
    lines = of_both(result(checks=checks)).limits["mm"]
    assert [(line.height_mm, line.words) for line in lines] == [
        (3.2, "limit 3.20 mm"),
        (-0.5, "undercut limit 0.50 mm"),
    ]


def test_a_height_is_missing_until_one_photo_of_the_coupon_gave_it() -> None:
    unseen = (
        check("face_reinforcement", Finding.NOT_MEASURED),
        check("undercut_depth", Finding.NOT_MEASURED),
        check("weld_width", Finding.NOT_MEASURED),
    )
    assert missing_heights(None) == ()
    asked = outcome(result(checks=unseen))
    assert missing_heights(asked) == ("face_reinforcement", "undercut_depth")
    seen = (*unseen, check("face_reinforcement", Finding.UNDECIDED))
    assert missing_heights(outcome(result(checks=seen))) == ("undercut_depth",)
    refused = replace(result(checks=unseen), photos=(photo("cap.jpg", usable=False),), profiles=())
    assert missing_heights(outcome(refused)) == ()


def test_only_the_outside_of_a_pipe_has_an_outline_to_look_along() -> None:
    assert ways(result()) == (Way.LIGHT_LINE, Way.PAIR)
    assert ways(result(coupon=PIPE)) == (Way.SIDE_ON, Way.LIGHT_LINE, Way.PAIR)
    bore = replace(PIPE, weld_pass=WeldPass.ROOT_SIDE.value)
    assert ways(result(coupon=bore)) == ()
    assert (
        missing_heights(
            outcome(result(coupon=bore, checks=(check("concavity", Finding.NOT_MEASURED),)))
        )
        == ()
    )
    for weld_pass in (WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL):
        in_groove = replace(PIPE, weld_pass=weld_pass.value)
        assert ways(result(coupon=in_groove)) == (Way.LIGHT_LINE,)
