"""How long a depth runs is told by the sections of several photos, and decides a clause."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.limits import Finding, Judging, LengthSystem, check, load_limit_set
from beadcheck.pipeline import join
from beadcheck.pipeline.coupon_values import extreme
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.result import (
    CheckRecord,
    PhotoRecord,
    ProfileRecord,
    ReadingRecord,
    Result,
    Whose,
    check_records,
    coupon_record,
    quantity_records,
)
from beadcheck.units import Unit

THIN = Coupon(weld_pass=WeldPass.CAP, wall_thickness_mm=2.4)
LEVEL_D = "iso-5817-d"
"""At 2.4 mm: 0.48 mm deep, on 25 mm in any 100 mm and a quarter of a shorter weld."""
EVERY_MM = 2.0


def depth(value: float, side: Side) -> Quantity:
    return Quantity(
        name=QuantityName.UNDERCUT_DEPTH,
        statistic=Statistic.MAX,
        value=value,
        unit=Unit.MM,
        count=1,
        budget=(Component(source="line", standard_uncertainty=0.015, scope=Scope.STATION),),
        s_range_mm=(0.0, 0.0),
        side=side,
    )


def photo_of(
    at_mm: float, left_mm: float, right_mm: float = 0.02, *, limits: str = LEVEL_D
) -> Result:
    """One photo with a line of light across the weld, and what it alone says."""
    depths = [depth(left_mm, Side.LEFT), depth(right_mm, Side.RIGHT)]
    whose = Whose.one(0)
    return Result(
        coupon=coupon_record(THIN),
        photos=(
            PhotoRecord(
                file=f"line-{at_mm:g}.jpg",
                kind="light-line",
                usable=True,
                px_per_mm=17.3,
                tilt_deg=11.0,
                distance_mm=212.0,
                problems=(),
            ),
        ),
        profiles=(
            ProfileRecord(
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
                        name="undercut_depth",
                        side=each.side.value if each.side else None,
                        value=each.value,
                        unit="mm",
                        expanded_uncertainty=each.expanded_uncertainty,
                    )
                    for each in depths
                ),
            ),
        ),
        quantities=quantity_records(depths, whose),
        checks=check_records(
            check(depths, (), limit_set=load_limit_set(limits), coupon=THIN), whose
        ),
    )


def coupon_of(
    length_mm: float, undercut_mm: float, *, deep_mm: float = 0.3, limits: str = LEVEL_D
) -> list[Result]:
    """Photos every 2 mm from 7.5 mm on, with an undercut at the left toe from there on."""
    count = round(length_mm / EVERY_MM) + 1
    deep = round(undercut_mm / EVERY_MM)
    return [
        photo_of(7.5 + EVERY_MM * index, deep_mm if index < deep else 0.01, limits=limits)
        for index in range(count)
    ]


def at_left(result: Result) -> CheckRecord:
    """Only comparison of the left toe with a limit that has a length clause."""
    (only,) = [c for c in result.checks if c.name == "undercut_depth" and c.side == "left"]
    return only


def test_one_photo_leaves_the_clause_undecided() -> None:
    told = at_left(join([photo_of(7.5, 0.3)], coupon=THIN, limits=LEVEL_D))
    assert told.finding is Finding.UNDECIDED
    assert "length along the weld must be measured" in told.note


@pytest.mark.parametrize(
    ("length_mm", "undercut_mm", "finding", "words"),
    [
        (104.0, 12.0, Finding.WITHIN, "12 mm in all"),
        (60.0, 12.0, Finding.UNDECIDED, "60 mm of the weld were measured"),
        (60.0, 40.0, Finding.OUTSIDE, "40 mm unbroken"),
        (104.0, 24.0, Finding.UNDECIDED, "measure the lengths"),
    ],
)
def test_the_sections_of_many_photos_decide_it_once_enough_was_measured(
    length_mm: float, undercut_mm: float, finding: Finding, words: str
) -> None:
    takes = coupon_of(length_mm, undercut_mm)
    result = join(takes, coupon=THIN, limits=LEVEL_D)
    told = at_left(result)
    assert told.finding is finding
    assert words in told.note
    assert "put together by their places" in told.note
    assert told.photo is None
    assert told.photos == tuple(range(len(takes)))


def test_the_lengths_are_values_of_the_coupon() -> None:
    result = join(coupon_of(104.0, 12.0), coupon=THIN, limits=LEVEL_D)
    lengths = {(q.statistic, q.side): q for q in result.quantities if q.name == "undercut_length"}
    assert {key[0] for key in lengths} == {"max", "total"}
    for statistic in ("max", "total"):
        found = lengths[statistic, "left"]
        assert found.scope == "coupon"
        assert abs(found.value - 12.0) <= found.expanded_uncertainty
        assert_allclose(found.s_range_mm, (7.5, 111.5))
        assert lengths[statistic, "right"].value == 0.0


def test_a_place_that_two_photos_show_is_counted_once() -> None:
    takes = coupon_of(104.0, 12.0)
    again = [*takes, photo_of(9.6, 0.31), photo_of(60.2, 0.01)]
    for result in (join(takes, coupon=THIN), join(again, coupon=THIN)):
        (total,) = [
            q
            for q in result.quantities
            if (q.name, q.statistic, q.side) == ("undercut_length", "total", "left")
        ]
        assert_allclose(total.value, 12.0)


def test_the_order_of_the_photos_changes_nothing() -> None:
    takes = coupon_of(104.0, 12.0)
    mixed = [*takes[::2], *takes[1::2]]
    first, second = (at_left(join(each, coupon=THIN, limits=LEVEL_D)) for each in (takes, mixed))
    assert replace(first, photos=()) == replace(second, photos=())


def test_sections_far_apart_leave_each_photo_its_own_finding() -> None:
    far = [photo_of(20.0 * index, 0.3) for index in range(7)]
    result = join(far, coupon=THIN, limits=LEVEL_D)
    assert not any(q.name == "undercut_length" for q in result.quantities)
    own = [c for c in result.checks if c.name == "undercut_depth" and c.side == "left"]
    assert [c.photo for c in own] == list(range(7))
    assert {c.finding for c in own} == {Finding.UNDECIDED}


def test_too_deep_is_outside_whatever_its_length() -> None:
    takes = coupon_of(104.0, 4.0, deep_mm=0.9)
    assert at_left(join(takes, coupon=THIN, limits=LEVEL_D)).finding is Finding.OUTSIDE


def test_in_inches_the_clause_of_the_coupon_is_told_in_inches() -> None:
    takes = coupon_of(104.0, 12.0, deep_mm=1.2, limits="aws-d1-1-static")
    judging = Judging(system=LengthSystem.INCH)
    told = at_left(join(takes, coupon=THIN, limits="aws-d1-1-static", judging=judging))
    assert told.finding is Finding.UNDECIDED
    assert "2 in in any 12 in" in told.note


def profile_of(length_mm: float, shallow_mm: float, deep_at: int, limits: str) -> list[Result]:
    """Photos every 2 mm with a shallow undercut all along, deeper at the first so many."""
    count = round(length_mm / EVERY_MM) + 1
    return [
        photo_of(7.5 + EVERY_MM * index, 1.6 if index < deep_at else shallow_mm, limits=limits)
        for index in range(count)
    ]


@pytest.mark.parametrize(
    ("deep_at", "finding"),
    # 2 mm (1/16 in) on 50 mm (2 in) in any 300 mm (12 in); any length up to 1 mm (1/32 in).
    [(10, Finding.WITHIN), (40, Finding.OUTSIDE)],
)
def test_lengths_count_from_the_depth_that_the_clause_names(deep_at: int, finding: Finding) -> None:
    thick = replace(THIN, wall_thickness_mm=12.0)
    takes = profile_of(310.0, 0.4, deep_at, "aws-d1-1-static")
    told = at_left(join(takes, coupon=thick, limits="aws-d1-1-static"))
    assert told.finding is finding


def test_where_the_other_printed_number_decides_otherwise_the_coupon_is_told_so() -> None:
    thick = replace(THIN, wall_thickness_mm=12.0)
    # 0.9 mm deep all along: any length is permitted up to 1 mm, but not over 1/32 in (0.79 mm).
    takes = profile_of(310.0, 0.9, 0, "aws-d1-1-static")
    in_mm, in_inches = (
        at_left(join(takes, coupon=thick, limits="aws-d1-1-static", judging=Judging(system=system)))
        for system in LengthSystem
    )
    assert (in_mm.finding, in_inches.finding) == (Finding.WITHIN, Finding.OUTSIDE)
    assert "the finding is outside" in in_mm.note
    assert "the finding is within" in in_inches.note


def test_a_side_that_one_photo_alone_shows_counts_as_it_stands() -> None:
    photos = [photo_of(EVERY_MM * number, 0.6) for number in range(4)]
    hidden = [
        replace(
            photo,
            quantities=tuple(q for q in photo.quantities if q.side != Side.RIGHT or number == 0),
        )
        for number, photo in enumerate(photos)
    ]
    result = join(hidden, coupon=THIN, limits=LEVEL_D)
    assert len(result.photos) == len(photos)
    alone = depth(0.02, Side.RIGHT)
    # Nothing was picked out of several: it keeps its value and its uncertainty.
    assert extreme([alone]) == replace(alone, side=None)
