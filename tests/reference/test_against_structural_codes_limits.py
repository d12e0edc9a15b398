"""Limits of the structural codes, and of tests that combine levels, against printed tables.

AWS D1.1: undercut under static load *verified in public text* (Table 6.1 of 2000 and 2004); under
cyclic load in primary members, and convexity of beads up to 1 in, *verified in public text* (a
study guide); flush welds *verified in public text* (2010, 2015); welder test *verified in public
text*, its open root in a secondary page only; reinforcement by thickness, other cyclic members and
convexity of wider beads *from memory*. AWS D1.6:2017 Table 8.1: *verified in public text*.
ISO 15614-1 level 2: levels C *verified in public text*, "otherwise B" *from memory*. ISO 9606-1 and
EN 1090-2: *from memory*. The levels themselves are tested against ISO 5817.
"""

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.limits import (
    Judging,
    LengthSystem,
    Limit,
    Verified,
    limits_for,
    load_limit_set,
)
from beadcheck.quantity import QuantityName as Name

CAP, ROOT_SIDE = WeldPass.CAP, WeldPass.ROOT_SIDE
MM, INCH = LengthSystem.MM, LengthSystem.INCH


def row(
    name: str, quantity: Name, coupon: Coupon, *, width_mm: float = 0.0, system: LengthSystem = MM
) -> Limit:
    limit_set = load_limit_set(name, Judging(system=system))
    (only,) = [
        each
        for each in limits_for(limit_set, coupon)
        if each.quantity is quantity and width_mm in each.widths
    ]
    return only


def plate(wall_mm: float, weld_pass: WeldPass = CAP) -> Coupon:
    return Coupon(wall_thickness_mm=wall_mm, weld_pass=weld_pass)


@pytest.mark.parametrize(
    ("wall_mm", "deepest_mm", "any_length_mm"),
    [(9.5, 2.0, 1.0), (24.9, 2.0, 1.0), (25.0, 2.0, None)],
)
def test_undercut_of_d1_1_under_static_load(
    wall_mm: float, deepest_mm: float, any_length_mm: float | None
) -> None:
    """1 mm (1/32 in), up to 2 mm (1/16 in) on 50 mm (2 in) in any 300 mm (12 in)."""
    for name in ("aws-d1-1-static", "aws-d1-1-static-older"):
        limit = row(name, Name.UNDERCUT_DEPTH, plate(wall_mm))
        assert limit.constant == deepest_mm
        assert (limit.stretches is None) is (any_length_mm is None)
    inches = row("aws-d1-1-static", Name.UNDERCUT_DEPTH, plate(wall_mm), system=INCH)
    assert_allclose(inches.constant, 25.4 / 16)
    if any_length_mm is not None:
        metric = row("aws-d1-1-static", Name.UNDERCUT_DEPTH, plate(wall_mm)).stretches
        imperial = inches.stretches
        assert metric is not None
        assert imperial is not None
        assert (metric.over_at(wall_mm), metric.total_mm, metric.window_mm) == (1.0, 50.0, 300.0)
        assert_allclose(
            [imperial.over_at(wall_mm), imperial.total_mm, imperial.window_mm],
            [25.4 / 32, 2 * 25.4, 12 * 25.4],
        )
        assert metric.share_of_weld is None


def test_undercut_of_d1_1_under_cyclic_load() -> None:
    primary = row("aws-d1-1-cyclic-primary", Name.UNDERCUT_DEPTH, plate(12.0))
    assert (primary.constant, primary.verified) == (0.25, Verified.PUBLIC_TEXT)
    inches = row("aws-d1-1-cyclic-primary", Name.UNDERCUT_DEPTH, plate(12.0), system=INCH)
    assert_allclose(inches.constant, 0.01 * 25.4)
    other = row("aws-d1-1-cyclic-other", Name.UNDERCUT_DEPTH, plate(12.0))
    assert (other.constant, other.verified) == (1.0, Verified.MEMORY)


@pytest.mark.parametrize(
    ("wall_mm", "inches"), [(25.4, 1 / 8), (25.5, 3 / 16), (50.8, 3 / 16), (51.0, 1 / 4)]
)
def test_reinforcement_of_d1_1_by_thickness(wall_mm: float, inches: float) -> None:
    for name in ("aws-d1-1-static", "aws-d1-1-cyclic-primary", "aws-d1-1-cyclic-other"):
        for system in LengthSystem:
            limit = row(name, Name.FACE_REINFORCEMENT, plate(wall_mm), system=system)
            assert_allclose(limit.constant, 25.4 * inches)
            assert limit.verified is Verified.MEMORY
    older = [
        row("aws-d1-1-static-older", Name.FACE_REINFORCEMENT, plate(wall_mm), system=system)
        for system in LengthSystem
    ]
    assert_allclose([each.constant for each in older], [3.0, 25.4 / 8])
    assert {each.verified for each in older} == {Verified.MEMORY}


@pytest.mark.parametrize(
    ("width_mm", "allowed_mm", "allowed_in", "verified"),
    [
        (7.9, 2.0, 1 / 16, Verified.PUBLIC_TEXT),
        (8.1, 3.0, 1 / 8, Verified.PUBLIC_TEXT),
        (25.3, 3.0, 1 / 8, Verified.PUBLIC_TEXT),
        (25.4, 5.0, 3 / 16, Verified.MEMORY),
    ],
)
def test_convexity_of_d1_1_by_bead_width(
    width_mm: float, allowed_mm: float, allowed_in: float, verified: Verified
) -> None:
    for system, expected in ((MM, allowed_mm), (INCH, 25.4 * allowed_in)):
        limit = row(
            "aws-d1-1-convexity",
            Name.FACE_REINFORCEMENT,
            plate(10.0),
            width_mm=width_mm,
            system=system,
        )
        assert_allclose(limit.constant, expected)
        assert limit.verified is verified


@pytest.mark.parametrize(
    ("quantity", "weld_pass", "in_mm", "in_inches", "verified"),
    [
        (Name.FACE_REINFORCEMENT, CAP, 3.0, 1 / 8, Verified.PUBLIC_TEXT),
        (Name.UNDERFILL, CAP, 0.0, 0.0, Verified.PUBLIC_TEXT),
        (Name.UNDERCUT_DEPTH, CAP, 1.0, 1 / 32, Verified.PUBLIC_TEXT),
        (Name.CONCAVITY, ROOT_SIDE, 1.6, 1 / 16, Verified.SECONDARY),
        (Name.ROOT_REINFORCEMENT, ROOT_SIDE, 3.0, 1 / 8, Verified.SECONDARY),
    ],
)
def test_the_welder_test_of_d1_1(
    quantity: Name, weld_pass: WeldPass, in_mm: float, in_inches: float, verified: Verified
) -> None:
    coupon = plate(9.5, weld_pass)
    limit = row("aws-d1-1-welder-test", quantity, coupon)
    assert (limit.constant, limit.verified) == (in_mm, verified)
    imperial = row("aws-d1-1-welder-test", quantity, coupon, system=INCH)
    assert_allclose(imperial.constant, 25.4 * in_inches)


def test_welds_of_d1_1_that_are_finished_flush() -> None:
    assert row("aws-d1-1-flush", Name.FACE_REINFORCEMENT, plate(12.0)).constant == 1.0
    for quantity in (Name.FACE_REINFORCEMENT, Name.UNDERFILL):
        limit = row("aws-d1-1-flush", quantity, plate(12.0), system=INCH)
        assert_allclose(limit.constant, 25.4 / 32)


@pytest.mark.parametrize(("wall_mm", "allowed"), [(4.9, 0.25), (5.0, 1.0), (24.9, 1.0)])
def test_undercut_of_d1_6(wall_mm: float, allowed: float) -> None:
    assert row("aws-d1-6-static", Name.UNDERCUT_DEPTH, plate(wall_mm)).constant == allowed
    limit_set = load_limit_set("aws-d1-6-static")
    assert limits_for(limit_set, plate(25.0)) == []


@pytest.mark.parametrize(
    ("name", "cap", "root", "undercut", "groove_at_root", "underfill", "toe"),
    [
        # t 10.31, cap 19.8, root bead 6 mm: 502 C 3.97, 504 C 4, 5011 C 0.5 and D 1,
        # 5013 B 0.5 and C 1, 511 B 0.5 and C 1, 505 B 150 and C 110 degrees
        ("iso-15614-1-level-2", 3.97, 4.0, 0.5, 0.5, 0.5, 110.0),
        ("iso-9606-1", 3.97, 4.0, 0.5, 1.0, 0.5, 150.0),
        ("en-1090-2-exc2", 3.97, 4.0, 1.0, 1.0, 1.0, 110.0),
    ],
)
def test_sets_that_combine_levels_of_iso_5817(
    name: str,
    cap: float,
    root: float,
    undercut: float,
    groove_at_root: float,
    underfill: float,
    toe: float,
) -> None:
    for quantity, weld_pass, width_mm, expected in (
        (Name.FACE_REINFORCEMENT, CAP, 19.8, cap),
        (Name.ROOT_REINFORCEMENT, ROOT_SIDE, 6.0, root),
        (Name.UNDERCUT_DEPTH, CAP, 19.8, undercut),
        (Name.UNDERCUT_DEPTH, ROOT_SIDE, 6.0, groove_at_root),
        (Name.UNDERFILL, CAP, 19.8, underfill),
        (Name.TOE_ANGLE, CAP, 19.8, toe),
    ):
        limit = row(name, quantity, plate(10.31, weld_pass))
        assert_allclose(limit.at(width_mm=width_mm, thickness_mm=10.31), expected)
        assert "ISO 5817 level" in limit.source


def test_a_combined_set_is_no_surer_than_the_statement_that_combines() -> None:
    for limit in load_limit_set("iso-15614-1-level-2").limits:
        level_c = "ISO 5817 level C" in limit.source
        assert limit.verified is (Verified.PUBLIC_TEXT if level_c else Verified.MEMORY)
    for name in ("iso-9606-1", "en-1090-2-exc2"):
        assert {each.verified for each in load_limit_set(name).limits} == {Verified.MEMORY}


@pytest.mark.parametrize(
    ("name", "quantity", "verified"),
    [
        ("aws-d1-1-static", Name.UNDERCUT_DEPTH, Verified.PUBLIC_TEXT),
        ("aws-d1-1-static-older", Name.UNDERCUT_DEPTH, Verified.PUBLIC_TEXT),
        ("aws-d1-1-flush", Name.FACE_REINFORCEMENT, Verified.PUBLIC_TEXT),
        ("aws-d1-1-flush", Name.UNDERFILL, Verified.PUBLIC_TEXT),
        ("aws-d1-6-static", Name.UNDERCUT_DEPTH, Verified.PUBLIC_TEXT),
    ],
)
def test_each_number_says_whether_it_was_read_or_remembered(
    name: str, quantity: Name, verified: Verified
) -> None:
    limits = [each for each in load_limit_set(name).limits if each.quantity is quantity]
    assert {each.verified for each in limits} == {verified}
