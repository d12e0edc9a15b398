"""Limits of the pipe codes against their printed tables, worked by hand.

ASME B31.3, Table 341.3.2 (criteria H, I, L, M) and its notes: *verified in public text* (copies of
1996, 2014, 2016 and 2018). API 1104 (20th and 21st): crown height and undercut by gauge *verified
in public text*, the 6 % of the wall and the alignment of parts *from memory*. ASME VIII UW-35:
*verified in public text*.
Millimetres and inches are both as printed: the inch cases are compared as inches x 25.4.
"""

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits import (
    Judging,
    LengthSystem,
    Limit,
    Obligation,
    Verified,
    limits_for,
    load_limit_set,
)
from beadcheck.quantity import QuantityName as Name

CAP, ROOT_SIDE = WeldPass.CAP, WeldPass.ROOT_SIDE
MM, INCH = LengthSystem.MM, LengthSystem.INCH


def pipe(wall_mm: float, weld_pass: WeldPass = CAP) -> Coupon:
    return Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=219.1,
        wall_thickness_mm=wall_mm,
        weld_pass=weld_pass,
        process=Process.GTAW,
    )


def rows(name: str, quantity: Name, coupon: Coupon, system: LengthSystem = MM) -> list[Limit]:
    limit_set = load_limit_set(name, Judging(system=system))
    return [each for each in limits_for(limit_set, coupon) if each.quantity is quantity]


def value(name: str, quantity: Name, coupon: Coupon, system: LengthSystem = MM) -> float:
    (row,) = rows(name, quantity, coupon, system)
    return row.at(width_mm=0.0, thickness_mm=coupon.wall_thickness_mm or 0.0)


@pytest.mark.parametrize(
    ("wall_mm", "normal_mm", "normal_in", "twice_mm", "twice_in"),
    [
        # 6, 13 and 25 mm; 1/4, 1/2 and 1 in (6.35, 12.7 and 25.4 mm)
        (2.77, 1.5, 1 / 16, 3.0, 1 / 8),
        (6.0, 1.5, 1 / 16, 3.0, 1 / 8),
        (6.02, 3.0, 1 / 16, 6.0, 1 / 8),
        (6.4, 3.0, 1 / 8, 6.0, 1 / 4),
        (10.31, 3.0, 1 / 8, 6.0, 1 / 4),
        (12.9, 3.0, 5 / 32, 6.0, 5 / 16),
        (13.1, 4.0, 5 / 32, 8.0, 5 / 16),
        (25.0, 4.0, 5 / 32, 8.0, 5 / 16),
        (25.2, 5.0, 5 / 32, 10.0, 5 / 16),
        (25.5, 5.0, 3 / 16, 10.0, 3 / 8),
        (38.1, 5.0, 3 / 16, 10.0, 3 / 8),
    ],
)
@pytest.mark.parametrize(
    ("quantity", "weld_pass"),
    [(Name.FACE_REINFORCEMENT, CAP), (Name.ROOT_REINFORCEMENT, ROOT_SIDE)],
)
def test_reinforcement_of_b31_3_by_wall(
    quantity: Name,
    weld_pass: WeldPass,
    wall_mm: float,
    normal_mm: float,
    normal_in: float,
    twice_mm: float,
    twice_in: float,
) -> None:
    coupon = pipe(wall_mm, weld_pass)
    for name in ("asme-b31-3-normal", "asme-b31-3-severe-cyclic"):
        assert_allclose(value(name, quantity, coupon), normal_mm)
        assert_allclose(value(name, quantity, coupon, INCH), 25.4 * normal_in)
    assert_allclose(value("asme-b31-3-category-d", quantity, coupon), twice_mm)
    assert_allclose(value("asme-b31-3-category-d", quantity, coupon, INCH), 25.4 * twice_in)


@pytest.mark.parametrize(
    ("wall_mm", "normal", "normal_inch", "category_d", "category_d_inch"),
    [
        # The lesser of 1 mm (1/32 in) and T/4; for category D the lesser of 1.5 mm (1/16 in) and
        # the greater of T/4 and 1 mm (1/32 in).
        (2.0, 0.5, 0.5, 1.0, 0.79375),
        (3.4, 0.85, 0.79375, 1.0, 0.85),
        (5.0, 1.0, 0.79375, 1.25, 1.25),
        (5.54, 1.0, 0.79375, 1.385, 1.385),
        (10.31, 1.0, 0.79375, 1.5, 1.5875),
    ],
)
def test_undercut_of_b31_3(
    wall_mm: float,
    normal: float,
    normal_inch: float,
    category_d: float,
    category_d_inch: float,
) -> None:
    for weld_pass in (CAP, ROOT_SIDE):
        coupon = pipe(wall_mm, weld_pass)
        for name, system, expected in (
            ("asme-b31-3-normal", MM, normal),
            ("asme-b31-3-normal", INCH, normal_inch),
            ("asme-b31-3-category-d", MM, category_d),
            ("asme-b31-3-category-d", INCH, category_d_inch),
            ("asme-b31-3-severe-cyclic", MM, 0.0),
            ("asme-b31-3-severe-cyclic", INCH, 0.0),
        ):
            assert_allclose(value(name, Name.UNDERCUT_DEPTH, coupon, system), expected)


@pytest.mark.parametrize(("wall_mm", "expected"), [(3.2, 0.32), (10.0, 1.0), (14.3, 1.0)])
def test_a_weld_without_filler_may_be_hollow_outside(wall_mm: float, expected: float) -> None:
    """The lesser of 1 mm and a tenth of the thickness."""
    assert_allclose(value("asme-b31-3-autogenous", Name.UNDERFILL, pipe(wall_mm)), expected)


@pytest.mark.parametrize(
    ("wall_mm", "expected", "in_inches"),
    [(5.0, 0.5, 0.5), (7.98, 0.798, 0.79375), (20.0, 0.8, 0.79375)],
)
def test_thinning_of_asme_viii(wall_mm: float, expected: float, in_inches: float) -> None:
    """The lesser of 1/32 in (0.8 mm) and a tenth of the thickness."""
    found = [
        value("asme-viii-uw-35", Name.UNDERCUT_DEPTH, pipe(wall_mm), system)
        for system in (MM, INCH)
    ]
    assert_allclose(found, [expected, in_inches])


@pytest.mark.parametrize(
    ("wall_mm", "deepest", "deepest_inch", "any_length", "any_length_inch"),
    [
        # 0.8 mm (1/32 in) or 12.5 % of the wall; 0.4 mm (1/64 in) or 6 %: the smaller of each
        (3.91, 0.48875, 0.48875, 0.2346, 0.2346),
        (6.35, 0.79375, 0.79375, 0.381, 0.381),
        (6.65, 0.8, 0.79375, 0.399, 0.396875),
        (10.31, 0.8, 0.79375, 0.4, 0.396875),
    ],
)
def test_undercut_of_api_1104(
    wall_mm: float,
    deepest: float,
    deepest_inch: float,
    any_length: float,
    any_length_inch: float,
) -> None:
    for system, most, over in ((MM, deepest, any_length), (INCH, deepest_inch, any_length_inch)):
        depth, length = rows("api-1104", Name.UNDERCUT_DEPTH, pipe(wall_mm), system)
        assert depth.stretches is None
        assert length.stretches is not None
        for each in (depth, length):
            assert_allclose(each.at(width_mm=0.0, thickness_mm=wall_mm), most)
        assert_allclose(length.stretches.over_at(wall_mm), over)
    assert (depth.verified, length.verified) == (Verified.PUBLIC_TEXT, Verified.MEMORY)


@pytest.mark.parametrize(
    ("system", "weld_mm", "permitted_mm"),
    # 50 mm (2 in), and a sixth of the weld: NPS 8 has 688.3 mm of it, NPS 2 189.4 mm.
    [(MM, 688.3, 50.0), (INCH, 688.3, 50.8), (MM, 189.4, 31.5667), (INCH, 189.4, 31.5667)],
)
def test_the_length_of_an_undercut_of_api_1104(
    system: LengthSystem, weld_mm: float, permitted_mm: float
) -> None:
    *_, length = rows("api-1104", Name.UNDERCUT_DEPTH, pipe(8.2), system)
    assert length.stretches is not None
    assert_allclose(length.stretches.permitted_mm(weld_mm), permitted_mm, atol=5e-5)
    assert_allclose(length.stretches.window_mm, 300.0 if system is MM else 12 * 25.4)


def test_the_crown_of_api_1104_should_be_low_and_shall_not_be_below_the_pipe() -> None:
    (height,) = rows("api-1104", Name.FACE_REINFORCEMENT, pipe(9.5))
    (below,) = rows("api-1104", Name.UNDERFILL, pipe(9.5))
    assert (height.constant, height.obligation) == (1.6, Obligation.SHOULD)
    assert (below.constant, below.obligation) == (0.0, Obligation.SHALL)
    assert_allclose(value("api-1104", Name.FACE_REINFORCEMENT, pipe(9.5), INCH), 25.4 / 16)
    assert_allclose(value("api-1104", Name.LINEAR_MISALIGNMENT, pipe(9.5)), 3.0)
    assert_allclose(value("api-1104", Name.LINEAR_MISALIGNMENT, pipe(9.5), INCH), 25.4 / 8)
    assert not rows("api-1104", Name.ROOT_REINFORCEMENT, pipe(9.5, ROOT_SIDE))


@pytest.mark.parametrize(
    ("name", "from_memory"),
    [
        ("asme-b31-3-normal", set()),
        ("asme-b31-3-category-d", set()),
        ("asme-b31-3-severe-cyclic", set()),
        ("asme-b31-3-autogenous", set()),
        ("asme-viii-uw-35", set()),
        ("api-1104", {"undercut by gauge, length", "alignment"}),
    ],
)
def test_each_number_says_whether_it_was_read_or_remembered(
    name: str, from_memory: set[str]
) -> None:
    for limit in load_limit_set(name).limits:
        remembered = any(limit.source.endswith(clause) for clause in from_memory)
        assert limit.verified is (Verified.MEMORY if remembered else Verified.PUBLIC_TEXT)
        assert limit.obligation is (
            Obligation.SHOULD
            if (name, limit.quantity) == ("api-1104", Name.FACE_REINFORCEMENT)
            else Obligation.SHALL
        )
