"""Practice coupons against what instructors ask for, pass by pass.

*Common practice, no published source*, but for these, *verified in public text*: a face of at most
1/8 in (3 mm) on plate (a welding workbook of 2022, chapter 12, and an inspection-training page of
2019) and 1/16 in on pipe (the same page); underfill of 5 % and 1/32 in at most (the same page, a
secondary source).
"""

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits import (
    LengthSystem,
    Limit,
    Obligation,
    Sense,
    Verified,
    limits_for,
    load_limit_set,
)
from beadcheck.quantity import QuantityName as Name

PULSED_PIPE = {"shape": Shape.PIPE, "outside_diameter_mm": 219.1, "wall_thickness_mm": 10.31}


def asked(weld_pass: WeldPass, process: Process = Process.GTAW_PULSED) -> list[Limit]:
    coupon = Coupon(**PULSED_PIPE, weld_pass=weld_pass, process=process)
    return limits_for(load_limit_set("pipe-coupon"), coupon)


@pytest.mark.parametrize(
    ("weld_pass", "expected"),
    [
        (
            WeldPass.ROOT,
            [
                (Name.PULSE_OVERLAP, "mean", Sense.AT_LEAST, 0.0),
                (Name.PULSE_OVERLAP, "min", Sense.AT_LEAST, 0.0),
                (Name.CONVEXITY, "max", Sense.AT_MOST, 0.0),
                (Name.CONCAVITY, "max", Sense.AT_MOST, 1.6),
            ],
        ),
        (
            WeldPass.ROOT_SIDE,
            [
                (Name.PULSE_OVERLAP, "mean", Sense.AT_LEAST, 0.0),
                (Name.PULSE_OVERLAP, "min", Sense.AT_LEAST, 0.0),
                (Name.ROOT_REINFORCEMENT, "max", Sense.AT_MOST, 1.6),
                (Name.CONCAVITY, "max", Sense.AT_MOST, 0.0),
                (Name.UNDERCUT_DEPTH, "max", Sense.AT_MOST, 0.8),
            ],
        ),
        (
            WeldPass.SECOND,
            [
                (Name.CONCAVITY, "max", Sense.AT_MOST, 0.0),
                (Name.CONVEXITY, "max", Sense.AT_MOST, 1.6),
            ],
        ),
        (
            WeldPass.FILL,
            [
                (Name.DEPTH_BELOW_SURFACE, "max", Sense.AT_MOST, 1.6),
                (Name.DEPTH_BELOW_SURFACE, "min", Sense.AT_LEAST, 0.8),
            ],
        ),
        (
            WeldPass.CAP,
            [
                (Name.FACE_REINFORCEMENT, "max", Sense.AT_MOST, 3.2),
                (Name.UNDERFILL, "max", Sense.AT_MOST, 0.0),
                (Name.UNDERCUT_DEPTH, "max", Sense.AT_MOST, 0.0),
                (Name.WELD_WIDTH, "max - mean", Sense.AT_MOST, 1.6),
                (Name.WELD_WIDTH, "mean - min", Sense.AT_MOST, 1.6),
            ],
        ),
        (WeldPass.FIT_UP, []),
    ],
)
def test_each_pass_is_asked_for_what_instructors_ask(
    weld_pass: WeldPass, expected: list[tuple[Name, str, Sense, float]]
) -> None:
    found = [(li.quantity, li.statistic_words, li.sense, li.constant) for li in asked(weld_pass)]
    assert found == expected


def test_only_a_pulsed_pass_is_asked_for_overlapping_spots() -> None:
    found = {limit.quantity for limit in asked(WeldPass.ROOT, Process.SMAW)}
    assert found == {Name.CONVEXITY, Name.CONCAVITY}


def test_everything_is_recommended_and_marked_as_practice() -> None:
    for limit in load_limit_set("pipe-coupon").limits:
        assert limit.verified is Verified.PRACTICE
        assert limit.obligation is Obligation.SHOULD


def test_a_lower_cap_can_be_asked_for() -> None:
    usual, low = (
        {(li.quantity, li.statistic_words, li.passes): li for li in load_limit_set(name).limits}
        for name in ("pipe-coupon", "pipe-coupon-low-cap")
    )
    assert usual.keys() == low.keys()
    changed = [key for key in usual if usual[key].constant != low[key].constant]
    assert [key[0] for key in changed] == [Name.FACE_REINFORCEMENT]
    assert_allclose(low[changed[0]].constant, 25.4 / 16)
    assert low[changed[0]].verified is Verified.PUBLIC_TEXT


@pytest.mark.parametrize(("wall_mm", "underfill_mm"), [(6.0, 0.3), (25.0, 25.4 / 32)])
def test_inspection_training_lets_a_little_pass(wall_mm: float, underfill_mm: float) -> None:
    limits = limits_for(
        load_limit_set("coupon-inspection-training"),
        Coupon(wall_thickness_mm=wall_mm, weld_pass=WeldPass.CAP),
    )
    found = {li.quantity: li.at(width_mm=0.0, thickness_mm=wall_mm) for li in limits}
    assert found.keys() == {Name.FACE_REINFORCEMENT, Name.UNDERFILL, Name.UNDERCUT_DEPTH}
    assert_allclose(found[Name.FACE_REINFORCEMENT], 3.0)
    assert_allclose(found[Name.UNDERFILL], underfill_mm)
    assert_allclose(found[Name.UNDERCUT_DEPTH], 0.8)
    in_inches = {li.quantity: li.in_system(LengthSystem.INCH).constant for li in limits}
    assert_allclose(in_inches[Name.FACE_REINFORCEMENT], 25.4 / 8)
    assert_allclose(in_inches[Name.UNDERCUT_DEPTH], 25.4 / 32)
    assert {li.quantity: li.verified for li in limits} == {
        Name.FACE_REINFORCEMENT: Verified.PUBLIC_TEXT,
        Name.UNDERFILL: Verified.SECONDARY,
        Name.UNDERCUT_DEPTH: Verified.PRACTICE,
    }


def test_inspection_training_asks_for_a_low_root_on_pipe_alone() -> None:
    """1/16 in (1.6 mm): common practice, no published source."""
    limit_set = load_limit_set("coupon-inspection-training")
    on_pipe, on_plate = (
        {li.quantity: li for li in limits_for(limit_set, coupon)}
        for coupon in (
            Coupon(**PULSED_PIPE, weld_pass=WeldPass.ROOT_SIDE),
            Coupon(wall_thickness_mm=10.0, weld_pass=WeldPass.ROOT_SIDE),
        )
    )
    root = on_pipe[Name.ROOT_REINFORCEMENT]
    assert (root.constant, root.verified) == (1.6, Verified.PRACTICE)
    assert_allclose(root.in_system(LengthSystem.INCH).constant, 25.4 / 16)
    assert Name.ROOT_REINFORCEMENT not in on_plate
    assert {li.obligation for li in limit_set.limits} == {Obligation.SHOULD}
