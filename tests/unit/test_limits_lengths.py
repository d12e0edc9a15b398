"""Limits that permit a depth on short stretches only: what decides is how much was measured."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.limits import (
    Check,
    Finding,
    Judging,
    LengthSystem,
    Limit,
    check,
    limit_sets,
    load_limit_set,
)
from beadcheck.quantity import LENGTH_OF, Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.units import Unit

THIN_PLATE = Coupon(wall_thickness_mm=2.4, weld_pass=WeldPass.CAP)
NPS_2 = Coupon(
    shape=Shape.PIPE, outside_diameter_mm=60.3, wall_thickness_mm=5.54, weld_pass=WeldPass.CAP
)


def measured(
    name: QuantityName,
    statistic: Statistic,
    value: float,
    own: float,
    *,
    s_range_mm: tuple[float, float],
    side: Side = Side.LEFT,
) -> Quantity:
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=Unit.MM,
        count=40,
        budget=(Component(source="heights", standard_uncertainty=own, scope=Scope.STATION),),
        s_range_mm=s_range_mm,
        side=side,
    )


def undercut(
    depth: float,
    *,
    longest: float,
    total: float,
    s_range_mm: tuple[float, float],
    own: float = 0.02,
    own_length: float = 0.6,
) -> list[Quantity]:
    name = QuantityName.UNDERCUT_LENGTH
    return [
        measured(QuantityName.UNDERCUT_DEPTH, Statistic.MAX, depth, own, s_range_mm=s_range_mm),
        measured(name, Statistic.MAX, longest, own_length, s_range_mm=s_range_mm),
        measured(name, Statistic.TOTAL, total, own_length, s_range_mm=s_range_mm),
    ]


def last_undercut(
    quantities: list[Quantity], limits: str, coupon: Coupon, judging: Judging | None = None
) -> Check:
    checks = check(quantities, (), limit_set=load_limit_set(limits, judging), coupon=coupon)
    return [c for c in checks if c.limit.quantity is QuantityName.UNDERCUT_DEPTH][-1]


@pytest.mark.parametrize(
    ("depth", "longest", "total", "end_mm", "finding", "words"),
    [
        # Level D, 2.4 mm: 0.48 mm deep, on 25 mm in any 100 mm.
        (0.2, 9.0, 14.0, 112.0, Finding.WITHIN, "14 mm in all"),
        (0.2, 9.0, 14.0, 70.0, Finding.UNDECIDED, "63 mm of the weld were measured"),
        (0.2, 9.0, 31.0, 112.0, Finding.UNDECIDED, "measure the lengths"),
        (0.2, 38.0, 38.0, 70.0, Finding.OUTSIDE, "38 mm unbroken"),
        (0.2, 24.8, 24.8, 112.0, Finding.UNDECIDED, "measure the lengths"),
        (0.9, 4.0, 4.0, 112.0, Finding.OUTSIDE, ""),
        # The depth is undecided: only too great a length still decides.
        (0.47, 4.0, 4.0, 112.0, Finding.UNDECIDED, ""),
        (0.47, 38.0, 38.0, 112.0, Finding.OUTSIDE, "38 mm unbroken"),
    ],
)
def test_a_short_imperfection_of_a_plate(
    depth: float, longest: float, total: float, end_mm: float, finding: Finding, words: str
) -> None:
    quantities = undercut(depth, longest=longest, total=total, s_range_mm=(7.0, end_mm))
    told = last_undercut(quantities, "iso-5817-d", THIN_PLATE)
    assert told.finding is finding
    assert words in told.note


def test_the_length_of_the_other_toe_decides_nothing() -> None:
    depth, *_ = undercut(0.2, longest=0.0, total=0.0, s_range_mm=(7.0, 112.0))
    right = measured(
        QuantityName.UNDERCUT_LENGTH,
        Statistic.MAX,
        60.0,
        0.6,
        s_range_mm=(7.0, 112.0),
        side=Side.RIGHT,
    )
    told = last_undercut([depth, right], "iso-5817-d", THIN_PLATE)
    assert told.finding is Finding.UNDECIDED
    assert "length along the weld must be measured" in told.note


@pytest.mark.parametrize(
    ("depth", "total", "finding"),
    [
        # Deeper than 0.332 mm (6 % of 5.54) on a sixth of 189.4 mm: 31.6 mm; never over 0.6925 mm.
        (0.25, 150.0, Finding.WITHIN),
        (0.5, 22.0, Finding.WITHIN),
        (0.5, 31.5, Finding.UNDECIDED),
        # Lengths are taken from 0.1 mm of depth on: too much of that proves nothing here.
        (0.5, 45.0, Finding.UNDECIDED),
        (0.9, 5.0, Finding.OUTSIDE),
    ],
)
def test_the_length_clause_of_api_1104_on_a_whole_pipe(
    depth: float, total: float, finding: Finding
) -> None:
    whole = (0.0, math.pi * 60.3)
    quantities = undercut(depth, longest=total, total=total, s_range_mm=whole)
    assert last_undercut(quantities, "api-1104", NPS_2).finding is finding


def test_photos_that_overlap_are_counted_once_towards_the_length_that_was_measured() -> None:
    first = undercut(0.2, longest=4.0, total=6.0, s_range_mm=(0.0, 60.0))
    for start_mm, finding in ((30.0, Finding.UNDECIDED), (55.0, Finding.WITHIN)):
        _, *lengths = undercut(0.2, longest=2.0, total=2.0, s_range_mm=(start_mm, start_mm + 50.0))
        told = last_undercut([*first, *lengths], "iso-5817-d", THIN_PLATE)
        assert told.finding is finding


def test_in_inches_the_clause_is_told_in_inches() -> None:
    quantities = undercut(1.2, longest=9.0, total=9.0, s_range_mm=(0.0, 80.0))
    coupon = Coupon(wall_thickness_mm=12.0, weld_pass=WeldPass.CAP)
    told = last_undercut(quantities, "aws-d1-1-static", coupon, Judging(system=LengthSystem.INCH))
    assert told.finding is Finding.UNDECIDED
    assert "2 in in any 12 in: 3.15 in of the weld were measured" in told.note


BY_LENGTH = [
    limit
    for name in limit_sets()
    for limit in load_limit_set(name).limits
    if limit.stretches is not None
]


@st.composite
def stretched(draw: st.DrawFn) -> tuple[Limit, Coupon, tuple[float, float, float, float]]:
    """A shipped limit with a length clause, a joint, and depth, longest, total and measured, mm."""
    limit = draw(st.sampled_from(BY_LENGTH))
    sizes = limit.thicknesses
    wall_mm = draw(
        st.floats(max(1.0, (sizes.over_mm or 0.0) + 0.01), min(24.0, sizes.to_mm or 24.0))
    )
    coupon = Coupon(wall_thickness_mm=wall_mm, weld_pass=draw(st.sampled_from(limit.passes)))
    longest = draw(st.floats(0.0, 80.0))
    total = longest + draw(st.floats(0.0, 40.0))
    # What runs along the weld is as deep somewhere as it must be to count.
    depth = draw(st.floats(0.1 if total > 0.0 else 0.0, 3.0))
    return limit, coupon, (depth, longest, total, draw(st.floats(20.0, 400.0)))


def found(
    limit: Limit,
    coupon: Coupon,
    sizes_mm: tuple[float, float, float, float],
    u_depth: float,
    u_length: float,
) -> Finding:
    depth, longest, total, measured_mm = sizes_mm
    side = Side.LEFT if limit.quantity is QuantityName.UNDERCUT_DEPTH else None
    quantities = [
        replace(measured(name, statistic, value, u, s_range_mm=(0.0, measured_mm)), side=side)
        for name, statistic, value, u in (
            (limit.quantity, Statistic.MAX, depth, u_depth),
            (LENGTH_OF[limit.quantity], Statistic.MAX, longest, u_length),
            (LENGTH_OF[limit.quantity], Statistic.TOTAL, total, u_length),
        )
    ]
    alone = replace(load_limit_set("iso-5817-c"), limits=(limit,))
    (only,) = check(quantities, (), limit_set=alone, coupon=coupon)
    return only.finding


@settings(max_examples=80, deadline=None)
@given(
    case=stretched(),
    u=st.tuples(st.floats(0.001, 0.5), st.floats(0.01, 5.0)),
    more=st.tuples(st.floats(0.0, 0.5), st.floats(0.0, 20.0)),
)
def test_with_lengths_too_growing_uncertainty_only_moves_a_finding_towards_undecided(
    case: tuple[Limit, Coupon, tuple[float, float, float, float]],
    u: tuple[float, float],
    more: tuple[float, float],
) -> None:
    sure = found(*case, *u)
    for more_depth, more_length in ((more[0], 0.0), (0.0, more[1]), more):
        unsure = found(*case, u[0] + more_depth, u[1] + more_length)
        assert unsure in {sure, Finding.UNDECIDED}


@settings(max_examples=80, deadline=None)
@given(
    case=stretched(),
    u=st.tuples(st.floats(0.001, 0.5), st.floats(0.01, 5.0)),
    share=st.floats(0.0, 1.0),
)
def test_shorter_stretches_never_turn_outside_into_within(
    case: tuple[Limit, Coupon, tuple[float, float, float, float]],
    u: tuple[float, float],
    share: float,
) -> None:
    limit, coupon, sizes_mm = case
    assert limit.stretches is not None
    shorter = replace(limit.stretches, total_mm=share * limit.stretches.total_mm)
    tight = replace(
        limit,
        stretches=shorter,
        other=None if limit.other is None else replace(limit.other, stretches=shorter),
    )
    loose_finding, tight_finding = (found(each, coupon, sizes_mm, *u) for each in (limit, tight))
    if loose_finding is Finding.OUTSIDE:
        assert tight_finding is Finding.OUTSIDE
    if tight_finding is Finding.WITHIN:
        assert loose_finding is Finding.WITHIN
