"""Advice of a coupon follows from its findings as they stand at the end, not from earlier ones."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from beadcheck.arc import ArcSettings, TravelOfRun
from beadcheck.arc.stated import ARC_TIME, RUN_LENGTH
from beadcheck.coupon import Coupon, Process, WeldPass
from beadcheck.limits import Finding, Judging, LengthSystem
from beadcheck.pipeline import all_judged_again, join, judge_of
from beadcheck.pipeline.judged import judged
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.result import (
    PhotoRecord,
    ProfileRecord,
    ReadingRecord,
    Result,
    Whose,
    coupon_record,
    quantity_records,
)
from beadcheck.units import Unit

CAP = Coupon(weld_pass=WeldPass.CAP, wall_thickness_mm=9.5, process=Process.SMAW)
LEVEL_C = "iso-5817-c"
"""1 mm and 0.15 of the width for the cap's height."""
THIN = Coupon(weld_pass=WeldPass.CAP, wall_thickness_mm=3.0)
LEVEL_D = "iso-5817-d"
"""At 3 mm an undercut of 0.6 mm, on 25 mm in any 100 mm."""
INCHES = Judging(system=LengthSystem.INCH)


def quantity(
    name: QuantityName, statistic: Statistic, value: float, *, side: Side | None = None
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=Unit.MM,
        count=1,
        budget=(Component(source="line", standard_uncertainty=0.015, scope=Scope.STATION),),
        s_range_mm=(12.5, 12.5),
        side=side,
    )


def take(
    kind: str,
    quantities: Sequence[Quantity],
    *,
    coupon: Coupon = CAP,
    limits: str | None = None,
    at_mm: float = 12.5,
) -> Result:
    """One take as it is measured, with the findings and the advice that it has alone."""
    profile = ProfileRecord(
        photo=0,
        method="light-line",
        s_mm=at_mm,
        clock_deg=None,
        across_mm=(-1.5, 1.5),
        height_mm=(0.01, 0.02),
        U_mm=(0.1, 0.1),
        points_px=(None, None),
        left_toe_px=None,
        right_toe_px=None,
        readings=tuple(
            ReadingRecord(
                name=each.name.value,
                side=None if each.side is None else each.side.value,
                value=each.value,
                unit="mm",
                expanded_uncertainty=each.expanded_uncertainty,
            )
            for each in quantities
        ),
    )
    measured = Result(
        coupon=coupon_record(coupon),
        photos=(
            PhotoRecord(
                file=f"{kind}-{at_mm:g}.jpg",
                kind=kind,
                usable=True,
                px_per_mm=17.3,
                tilt_deg=11.0,
                distance_mm=212.0,
                problems=(),
            ),
        ),
        profiles=() if kind == "face" else (profile,),
        quantities=quantity_records(quantities, Whose.one(0)),
    )
    return judged(measured, judge_of(coupon, limits=limits))


def crown(height_mm: float) -> list[Quantity]:
    return [quantity(QuantityName.FACE_REINFORCEMENT, Statistic.MAX, height_mm)]


def width(mean_mm: float) -> list[Quantity]:
    return [quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, mean_mm)]


def test_a_cap_that_a_wide_weld_may_have_gets_no_advice() -> None:
    line = take("light-line", crown(3.5), limits=LEVEL_C)
    # Alone it is compared with no limit, and stands higher than is usual.
    (alone,) = line.advice
    assert "3.5 mm above the base metal" in alone.symptom
    wide = join([take("face", width(20.0), limits=LEVEL_C), line], coupon=CAP, limits=LEVEL_C)
    (finding,) = [c.finding for c in wide.checks if c.name == "face_reinforcement"]
    assert finding is Finding.WITHIN
    assert wide.advice == ()


def test_a_cap_that_a_narrow_weld_may_not_have_is_told_with_the_limit_it_breaks() -> None:
    line = take("light-line", crown(3.5), limits=LEVEL_C)
    narrow = join([take("face", width(10.0), limits=LEVEL_C), line], coupon=CAP, limits=LEVEL_C)
    (finding,) = [c.finding for c in narrow.checks if c.name == "face_reinforcement"]
    assert finding is Finding.OUTSIDE
    (told,) = narrow.advice
    assert "(limit 2.5 mm)" in told.symptom
    assert told.urgency == "outside"


def test_the_amount_still_follows_from_the_settings() -> None:
    settings = ArcSettings(
        travel=TravelOfRun(length=RUN_LENGTH.reading(150.0), arc_time=ARC_TIME.reading(60.0))
    )
    takes = [
        take("face", width(10.0), limits=LEVEL_C),
        take("light-line", crown(3.5), limits=LEVEL_C),
    ]
    bare, told = (
        join(takes, coupon=CAP, limits=LEVEL_C, settings=each).advice[0]
        for each in (None, settings)
    )
    assert bare.needs
    assert "instead of 150 mm/min" in told.change


@pytest.mark.parametrize(
    ("height_mm", "in_mm", "in_inches"),
    [
        # U is 0.03; the cap may stand 3.2 mm or 1/8 in (3.175 mm) high.
        (3.22, "undecided", "outside"),
        (3.12, None, None),
        (3.60, "outside", "outside"),
    ],
)
def test_in_the_other_unit_the_advice_is_that_of_the_other_printed_number(
    height_mm: float, in_mm: str | None, in_inches: str | None
) -> None:
    line = take("light-line", crown(height_mm))
    metric = join([line], coupon=CAP)
    again = all_judged_again([line], judge_of(CAP, judging=INCHES))
    imperial = join(again, coupon=CAP, judging=INCHES)
    for result, urgency, limit in ((metric, in_mm, "3.2 mm"), (imperial, in_inches, "3.18 mm")):
        told = [(a.urgency, limit in a.symptom) for a in result.advice]
        assert told == ([] if urgency is None else [(urgency, True)])
        (finding,) = {c.finding for c in result.checks if c.name == "face_reinforcement"}
        assert finding == (urgency or Finding.WITHIN)


def undercut_photos(undercut_mm: float) -> list[Result]:
    """Photos every 2 mm over 104 mm; the left toe has 0.56 mm of undercut from the first on."""
    return [
        take(
            "light-line",
            [
                quantity(
                    QuantityName.UNDERCUT_DEPTH,
                    Statistic.MAX,
                    0.56 if 2.0 * index < undercut_mm else 0.01,
                    side=Side.LEFT,
                ),
                quantity(QuantityName.UNDERCUT_DEPTH, Statistic.MAX, 0.01, side=Side.RIGHT),
            ],
            coupon=THIN,
            limits=LEVEL_D,
            at_mm=7.5 + 2.0 * index,
        )
        for index in range(53)
    ]


@pytest.mark.parametrize(
    ("undercut_mm", "finding", "told"), [(12.0, Finding.WITHIN, 0), (40.0, Finding.OUTSIDE, 1)]
)
def test_advice_on_an_undercut_follows_from_how_long_it_runs_through_all_photos(
    undercut_mm: float, finding: Finding, told: int
) -> None:
    result = join(undercut_photos(undercut_mm), coupon=THIN, limits=LEVEL_D)
    (found,) = [c for c in result.checks if c.name == "undercut_depth" and c.side == "left"]
    assert found.finding is finding
    assert len(result.advice) == told
    for advice in result.advice:
        assert "at the left edge" in advice.symptom
        # It is no deeper than the 0.6 mm that short stretches may have.
        assert "(allowed on short stretches only)" in advice.symptom
        assert "limit 0.6" not in advice.symptom


@pytest.mark.parametrize(
    ("low_mm", "finding", "told"), [(12.0, Finding.WITHIN, 0), (40.0, Finding.OUTSIDE, 1)]
)
def test_an_underfill_through_all_photos_gets_one_finding_and_its_advice(
    low_mm: float, finding: Finding, told: int
) -> None:
    # Level C at 9.5 mm: 0.95 mm deep at most, on 25 mm in any 100 mm.
    photos = [
        take(
            "light-line",
            [quantity(QuantityName.UNDERFILL, Statistic.MAX, 0.6 if 2.0 * index < low_mm else 0.0)],
            limits=LEVEL_C,
            at_mm=7.5 + 2.0 * index,
        )
        for index in range(53)
    ]
    result = join(photos, coupon=CAP, limits=LEVEL_C)
    (found,) = [c for c in result.checks if c.name == "underfill"]
    assert found.finding is finding
    assert found.photos == tuple(range(53))
    (total,) = [
        q for q in result.quantities if (q.name, q.statistic) == ("underfill_length", "total")
    ]
    assert total.scope == "coupon"
    assert abs(total.value - low_mm) <= total.expanded_uncertainty
    # More than 0.2 mm below flush would get advice of its own where no limit speaks.
    assert len(result.advice) == told
    assert all("(allowed on short stretches only)" in each.symptom for each in result.advice)


def test_a_take_that_nothing_changes_keeps_its_advice() -> None:
    line = take("light-line", crown(3.6))
    assert join([line], coupon=CAP) == line
    assert judged(replace(line, advice=(), checks=()), judge_of(CAP)) == line
