"""Several kinds of photos of one coupon become one result."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.limits import Finding, check, load_limit_set
from beadcheck.pipeline import join
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
)
from beadcheck.result import (
    PhotoRecord,
    ProfileRecord,
    Result,
    Whose,
    check_records,
    concerns,
    coupon_record,
    not_measured_records,
    quantity_records,
    result_from_json,
    result_to_json,
)
from beadcheck.units import Unit

CAP = Coupon(weld_pass=WeldPass.CAP, wall_thickness_mm=9.5)
STRICT = "iso-5817-c"
HEIGHT = QuantityName.FACE_REINFORCEMENT


def quantity(
    name: QuantityName,
    statistic: Statistic,
    value: float,
    *,
    station: float = 0.03,
    photo: float = 0.02,
    side: Side | None = None,
    count: int = 1,
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=Unit.DEG if name is QuantityName.TOE_ANGLE else Unit.MM,
        count=count,
        budget=(
            Component(source="line", standard_uncertainty=station, scope=Scope.STATION),
            Component(source="known step", standard_uncertainty=photo, scope=Scope.PHOTO),
        ),
        s_range_mm=(12.5, 12.5),
        side=side,
    )


def heights(least: float, mean: float, greatest: float, *, station: float = 0.03) -> list[Quantity]:
    return [
        quantity(HEIGHT, statistic, value, station=station)
        for statistic, value in (
            (Statistic.MEAN, mean),
            (Statistic.MIN, least),
            (Statistic.MAX, greatest),
        )
    ]


def section(at_mm: float, whose: Whose) -> ProfileRecord:
    return ProfileRecord(
        photo=whose.photo,
        photos=whose.photos,
        method="light-line",
        s_mm=at_mm,
        clock_deg=None,
        across_mm=(-1.5, 0.0, 1.5),
        height_mm=(0.01, None, 0.02),
        U_mm=(0.1, None, 0.1),
        points_px=((10.0, 20.5), None, (11.0, 80.25)),
        left_toe_px=None,
        right_toe_px=(11.0, 80.25),
    )


def take(
    kind: str,
    quantities: Sequence[Quantity],
    missing: Sequence[NotMeasured] = (),
    *,
    photos: int = 1,
    limits: str = "pipe-coupon",
) -> Result:
    whose = Whose.one(0) if photos == 1 else Whose.together(range(photos))
    checks = check(quantities, missing, limit_set=load_limit_set(limits), coupon=CAP)
    return Result(
        coupon=coupon_record(CAP),
        photos=tuple(
            PhotoRecord(
                file=f"{kind}-{index}.jpg",
                kind=kind,
                usable=True,
                px_per_mm=17.3,
                tilt_deg=11.0,
                distance_mm=212.0,
                problems=(),
            )
            for index in range(photos)
        ),
        profiles=() if kind == "face" else (section(12.5, whose),),
        quantities=quantity_records(quantities, whose),
        not_measured=not_measured_records(missing, whose),
        checks=check_records(checks, whose),
    )


WIDTHS = (
    quantity(QuantityName.WELD_WIDTH, Statistic.MEAN, 10.0, count=40),
    quantity(QuantityName.WELD_WIDTH, Statistic.MIN, 9.6, count=40),
    quantity(QuantityName.WELD_WIDTH, Statistic.MAX, 10.4, count=40),
)
UNSHOWN = (
    NotMeasured(name=HEIGHT, reason="Not from above.", how_to="Take another."),
    NotMeasured(name=QuantityName.UNDERCUT_DEPTH, reason="Not from above.", how_to="Take another."),
)
FACE = take("face", WIDTHS, UNSHOWN)
LINE = take("light-line", heights(1.9, 2.0, 2.1))


def test_indices_count_on_by_the_photos_of_each_take() -> None:
    joined = join([take("pair", heights(1.9, 2.0, 2.1), photos=3), FACE, LINE], coupon=CAP)
    assert [p.kind for p in joined.photos] == ["pair"] * 3 + ["face", "light-line"]
    assert [(p.photo, p.photos) for p in joined.profiles] == [(None, (0, 1, 2)), (4, ())]
    assert {q.photo for q in joined.quantities if q.name == "weld_width"} == {3}
    assert all(concerns(q, 1) for q in joined.quantities if q.photos == (0, 1, 2))
    assert result_from_json(result_to_json(joined)) == joined


def test_what_a_face_photo_cannot_show_is_left_out_where_another_take_measured_it() -> None:
    alone = {n.name for n in join([FACE], coupon=CAP).not_measured}
    assert alone == {"face_reinforcement", "undercut_depth"}
    joined = join([FACE, LINE], coupon=CAP)
    assert [n.name for n in joined.not_measured] == ["undercut_depth"]
    of_height = [c for c in joined.checks if c.name == "face_reinforcement"]
    assert {c.finding for c in of_height} == {Finding.WITHIN}
    assert {c.photo for c in of_height} == {1}
    widths = [c for c in joined.checks if c.name == "weld_width"]
    assert {(c.photo, str(c.finding)) for c in widths} == {(0, "within")}


def test_the_reason_of_a_refused_take_comes_before_that_of_the_face_photo() -> None:
    refused = NotMeasured(name=HEIGHT, reason="No line.", how_to="Retake it.")
    joined = join([FACE, take("light-line", (), (refused,))], coupon=CAP)
    reasons = {n.name: n.reason for n in joined.not_measured}
    assert reasons == {"face_reinforcement": "No line.", "undercut_depth": "Not from above."}


def test_a_limit_that_depends_on_the_width_takes_that_of_the_photo_from_above() -> None:
    line = take("light-line", heights(1.9, 2.0, 2.1), limits=STRICT)
    face = take("face", WIDTHS, UNSHOWN, limits=STRICT)

    def limit_of(*takes: Result) -> float | None:
        checks = join(takes, coupon=CAP, limits=STRICT).checks
        (found,) = [c.limit for c in checks if c.name == "face_reinforcement"]
        return found

    assert limit_of(line) is None
    # ISO 5817 level C allows 1 mm and 0.15 b: b is 10 mm.
    assert_allclose(limit_of(face, line), 2.5, rtol=1e-12)


def test_two_takes_give_values_of_the_coupon_with_the_photos_behind_them() -> None:
    joined = join([FACE, LINE, take("light-line", heights(2.3, 2.4, 2.5))], coupon=CAP)
    of_coupon = {q.statistic: q for q in joined.quantities if q.scope == "coupon"}
    assert {q.name for q in of_coupon.values()} == {"face_reinforcement"}
    assert of_coupon["max"].value == 2.5
    assert of_coupon["min"].value == 1.9
    assert_allclose(of_coupon["mean"].value, 2.2, rtol=1e-12)
    assert all((q.photo, q.photos) == (None, (1, 2)) for q in of_coupon.values())
    assert not any(concerns(q, 1) for q in of_coupon.values())
    # By hand: the step errs alike in both, 0.02; the lines do not, 0.03 / sqrt 2; and two places
    # 0.4 apart have a standard deviation of 0.283, of their mean 0.2.
    assert_allclose(
        of_coupon["mean"].expanded_uncertainty,
        2.0 * (0.02**2 + 0.03**2 / 2.0 + 0.2**2) ** 0.5,
        rtol=1e-9,
    )


def test_one_take_alone_gives_no_value_of_the_coupon() -> None:
    assert all(q.scope == "photo" for q in join([FACE, LINE], coupon=CAP).quantities)


def test_left_and_right_are_taken_together_for_the_coupon() -> None:
    name = QuantityName.UNDERCUT_DEPTH
    depths = [
        [
            quantity(name, Statistic.MAX, depth, side=side)
            for side, depth in ((Side.LEFT, left), (Side.RIGHT, right))
        ]
        for left, right in ((0.1, 0.4), (0.6, 0.2))
    ]
    joined = join([take("light-line", each) for each in depths], coupon=CAP)
    (deepest,) = [q for q in joined.quantities if q.scope == "coupon"]
    assert (deepest.value, deepest.side, deepest.count) == (0.6, None, 4)


def test_ways_that_contradict_each_other_are_told_of_once() -> None:
    pair = take("pair", heights(1.4, 1.5, 1.6), photos=2)
    # U of an extreme is 2 hypot(0.03, 0.02) = 0.072: between 1.6 and 1.9 lie 0.3, and U is 0.10.
    joined = join([LINE, pair], coupon=CAP)
    told = [(index, p) for index, photo in enumerate(joined.photos) for p in photo.problems]
    ((index, problem),) = told
    assert (index, problem.code) == (1, "ways_disagree")
    assert "1.90 ± 0.07 mm by light-line" in problem.message
    assert "1.60 ± 0.07 mm by pair" in problem.message


@pytest.mark.parametrize("station", [0.03, 0.2])
def test_ways_that_agree_within_their_uncertainty_are_not_told_of(station) -> None:
    greatest = 1.85 if station < 0.1 else 1.6
    pair = take("pair", heights(1.4, 1.5, greatest, station=station), photos=2)
    joined = join([LINE, pair], coupon=CAP)
    assert not any(photo.problems for photo in joined.photos)


def test_two_photos_of_one_way_may_differ_as_the_weld_does() -> None:
    joined = join([LINE, take("light-line", heights(0.9, 1.0, 1.1))], coupon=CAP)
    assert not any(photo.problems for photo in joined.photos)


def test_a_result_without_profiles_stays_as_it_is() -> None:
    assert join([FACE], coupon=CAP) == replace(FACE)
