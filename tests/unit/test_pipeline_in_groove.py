"""A pass in a groove, measured at its depth from a photo of a sample whose truth is known.

The sample's weld lies on the surface: taken to lie deeper, it must come out larger by the ratio of
the distances, which its truth holds, and everything that hangs on the depth must say so.
"""

import json
import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, DepthBy, PassDepth, Shape, WeldPass
from beadcheck.errors.groove import ToeHiddenError
from beadcheck.photo import read_photo
from beadcheck.pipeline import Request, Take, known_tacks
from beadcheck.pipeline.depth_seen import toe_depth
from beadcheck.pipeline.face import measure_face
from beadcheck.pipeline.face_take import face_record, face_warnings
from beadcheck.pipeline.in_groove import groove_notices
from beadcheck.pipeline.solved import designs_of
from beadcheck.pipeline.tack_notices import tack_notices
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.result import Result, TackRecord, coupon_record
from beadcheck.surface.sunken import APART, DEPTH
from beadcheck.toes.hidden import hidden_toes, require_in_view
from beadcheck.units import Unit

SAMPLES = Path(__file__).parents[2] / "samples"
STRINGER = SAMPLES / "plate-gmaw-stringer.jpg"
DEPTH_MM = 8.0
ENTERED = PassDepth(depth_mm=DEPTH_MM, u_depth_mm=0.25, by=DepthBy.ENTERED)


@pytest.fixture(scope="module")
def request_():
    coupon = Coupon(weld_pass=WeldPass.ROOT, wall_thickness_mm=12.0, depth=ENTERED)
    return Request(takes=(Take(photos=(STRINGER,)),), coupon=coupon)


@pytest.fixture(scope="module")
def face(request_):
    return measure_face(read_photo(STRINGER), request_, designs_of(request_))


@pytest.fixture(scope="module")
def truth():
    return json.loads((SAMPLES / "truth" / "plate-gmaw-stringer.json").read_text())


def of(face, name):
    return next(q for q in face.quantities if q.name is name and q.statistic is Statistic.MEAN)


def test_width_and_ripples_grow_with_the_distance(face, truth):
    width, spacing = (
        of(face, name) for name in (QuantityName.WELD_WIDTH, QuantityName.RIPPLE_SPACING)
    )
    camera = truth["camera"]
    larger = 1.0 + DEPTH_MM / (camera["distance_mm"] * math.cos(math.radians(camera["tilt_deg"])))
    true_mm = larger * truth["weld"]["width_mm"]["body_in_view"]["mean"]
    assert abs(width.value - true_mm) <= width.expanded_uncertainty
    assert 1.02 < larger < 1.1
    seen_mm = truth["weld"]["ripples"][0]["spacing_body_in_view_mm"]["mean"]
    assert abs(spacing.value - larger * seen_mm) <= spacing.expanded_uncertainty


def test_the_depth_stands_in_budget_and_record(face, request_):
    by_source = {c.source: c.standard_uncertainty for c in of(face, QuantityName.WELD_WIDTH).budget}
    width_mm = of(face, QuantityName.WELD_WIDTH).value
    # Square on, a depth that is off changes the scale alone.
    assert_allclose(by_source[DEPTH], 0.25 * width_mm / face.surface.distance_mm, rtol=0.25)
    assert by_source[APART] > 0.0
    record = face_record("a.jpg", request_.takes[0], request_, face, ())
    depth = record.pass_depth
    assert (depth.depth_mm, depth.U_mm, depth.by) == (DEPTH_MM, 0.5, "entered")
    told = face_warnings(STRINGER, face, request_)
    assert not [each for each in told if each.code in {"pass_depth_taken", "toe_hidden"}]


def test_a_depth_that_nobody_said_is_told_with_what_it_may_do(face):
    nothing = PassDepth(depth_mm=10.0, u_depth_mm=5.8, by=DepthBy.NOTHING)
    surface = replace(face.on_target.surface, u_below_mm=5.8)
    found = replace(face.on_target, surface=surface, depth=nothing)
    (notice,) = groove_notices(found, Coupon(weld_pass=WeldPass.ROOT))
    assert notice.code == "pass_depth_taken"
    off_mm = 2.0 * 5.8 * of(face, QuantityName.WELD_WIDTH).value / face.surface.distance_mm
    assert "10.0 ± 11.6 mm below the surface" in notice.message
    assert float(notice.message.split("off by ")[1].split(" mm")[0]) == pytest.approx(
        off_mm, rel=0.25
    )


def test_a_square_wall_hides_the_toe_under_it_and_a_wide_groove_does_not(face):
    toes, surface = face.toes, face.on_target.surface
    free = hidden_toes(toes, surface, 30.0)
    assert not free.left.any()
    assert not free.right.any()
    require_in_view(free, toes)
    steep = hidden_toes(toes, surface, 0.0)
    # The camera stands to one side of the weld: that side's wall hides its toe, and only that.
    leaning = Side.LEFT if np.median(steep.left_lean_deg) > 0.0 else Side.RIGHT
    there, lean_deg = steep.of(leaning)
    assert there.all()
    assert (lean_deg > 0.0).all()
    with pytest.raises(ToeHiddenError, match=f"may hide the {leaning} toe"):
        require_in_view(steep, toes)
    notices = groove_notices(replace(face.on_target, hidden=steep), Coupon(weld_pass=WeldPass.ROOT))
    assert [each.code for each in notices] == ["toe_hidden"]
    assert f"hide the {leaning} toe between" in notices[0].message


def said(name, statistic, value, u):
    return Quantity(
        name=name,
        statistic=statistic,
        value=value,
        unit=Unit.MM,
        count=3,
        budget=(Component(source="heights", standard_uncertainty=u, scope=Scope.PHOTO),),
        s_range_mm=(0.0, 10.0),
    )


def test_the_edges_of_a_hollow_pass_lie_higher_than_its_deepest_point():
    deepest = said(QuantityName.DEPTH_BELOW_SURFACE, Statistic.MEAN, 6.0, 0.06)
    hollow = said(QuantityName.CONCAVITY, Statistic.MAX, 0.8, 0.05)
    depth_mm, u_mm = toe_depth([deepest, hollow])
    # Between half and the whole of the largest hollow above the deepest point.
    for edge_mm in (6.0 - 0.8, 6.0 - 0.4):
        assert abs(depth_mm - edge_mm) <= 2.0 * u_mm
    assert u_mm < 0.5
    assert toe_depth([hollow]) is None


def tack_record(clock_deg, length_mm):
    return TackRecord(
        photo=0,
        s_range_mm=(0.0, length_mm),
        clock_deg=clock_deg,
        length_mm=length_mm,
        length_U_mm=2.0,
    )


def test_tacks_of_the_fit_up_are_named_where_a_later_pass_lies_over_them():
    # A pipe of 219.1 mm is 1.91 mm round for each degree of its clock.
    pipe = Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1, weld_pass=WeldPass.FIT_UP)
    seen_twice = [tack_record(88.0, 12.0), tack_record(89.5, 12.5), tack_record(210.0, 9.0)]
    fit_up = Result(coupon=coupon_record(pipe), photos=(), tacks=tuple(seen_twice))
    tacks = known_tacks(fit_up)
    assert [tack.clock_deg for tack in tacks] == [88.0, 210.0]
    s_mm = np.arange(0.0, 60.0)
    left = np.column_stack([s_mm, np.where(np.abs(s_mm - 20.0) < 1.5, 0.6, 0.0)])
    toes = SimpleNamespace(
        s_mm=s_mm,
        middle_mm=left,
        used=np.ones(60, dtype=bool),
        width_mm=5.0 - left[:, 1],
    )
    surface = SimpleNamespace(
        outside_diameter_mm=219.1, clock_deg=lambda points: 78.0 + points[:, 0] / 1.912
    )
    (notice,) = tack_notices(toes, surface, tacks)
    assert notice.code == "at_a_tack"
    # 10 degrees on from the first station, half the tack and 5 mm to either side.
    assert "at 88° on the clock, here between 9 and 30 mm" in notice.message
    assert notice.message.endswith("narrowest place lies at it.")
    assert (
        tack_notices(
            toes, SimpleNamespace(outside_diameter_mm=None, clock_deg=surface.clock_deg), tacks
        )
        == []
    )
