"""Depth of a pass in its groove: what wall, walls and pass say of it.

Geometry is worked by hand; ranges are common practice, no published source.
"""

import math

import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, DepthBy, Groove, GrooveForm, PassDepth, WeldPass
from beadcheck.coupon.pass_depth import depth_by_walls, lies_below, usual_depth, wall_lean_deg
from beadcheck.errors.groove import (
    DepthBeyondReachError,
    DepthBeyondWallError,
    DepthOfNoGrooveError,
)

V_60 = Groove(form=GrooveForm.SINGLE_V, angle_deg=60.0, root_gap_mm=3.0, root_face_mm=1.6)


def coupon(weld_pass=WeldPass.ROOT, wall_mm=10.0, groove=V_60, **more):
    return Coupon(weld_pass=weld_pass, wall_thickness_mm=wall_mm, groove=groove, **more)


def entered(depth_mm, u_mm=0.5):
    return PassDepth(depth_mm=depth_mm, u_depth_mm=u_mm, by=DepthBy.ENTERED)


def test_the_walls_of_a_v_tell_the_depth_of_a_pass_that_fills_it_so_far():
    # 2.8 mm up from the lands a 60 degree V is wider by 2 × 2.8 tan 30° than its gap.
    width_mm = 3.0 + 2.0 * 2.8 * math.tan(math.radians(30.0))
    found = depth_by_walls(coupon(), width_mm, 0.05)
    assert_allclose(found.depth_mm, 10.0 - 1.6 - 2.8)
    assert found.by is DepthBy.GROOVE
    # Half a millimetre of gap is 0.43 mm of depth: the doubt cannot be smaller than such things.
    assert 0.5 < found.u_depth_mm < 1.5


def test_one_slanting_wall_opens_half_as_fast():
    bevel = Groove(form=GrooveForm.SINGLE_BEVEL, angle_deg=45.0, root_gap_mm=4.0)
    assert_allclose(depth_by_walls(coupon(groove=bevel), 7.0, 0.05).depth_mm, 10.0 - 3.0)


@pytest.mark.parametrize(
    "groove",
    [
        None,
        Groove(form=GrooveForm.SINGLE_V, root_gap_mm=3.0),
        Groove(form=GrooveForm.SINGLE_V, angle_deg=60.0),
        Groove(form=GrooveForm.SINGLE_U, angle_deg=20.0, root_gap_mm=3.0),
    ],
)
def test_walls_that_are_not_known_tell_nothing(groove):
    assert depth_by_walls(coupon(groove=groove), 6.0, 0.05) is None


def test_a_pass_narrower_than_the_gap_or_wider_than_the_groove_is_not_believed():
    assert depth_by_walls(coupon(), 2.9, 0.05) is None
    assert depth_by_walls(coupon(), 19.0, 0.05) is None


@pytest.mark.parametrize(
    ("weld_pass", "least_mm", "most_mm"),
    [(WeldPass.ROOT, 5.5, 8.5), (WeldPass.SECOND, 2.0, 7.0), (WeldPass.FILL, 0.0, 7.0)],
)
def test_what_is_usual_covers_the_whole_range(weld_pass, least_mm, most_mm):
    found = usual_depth(coupon(weld_pass, groove=None))
    assert found.by is DepthBy.WALL
    for end_mm in (least_mm, most_mm):
        assert abs(end_mm - found.depth_mm) <= 2.0 * found.u_depth_mm + 1e-9


def test_without_a_wall_anything_up_to_20_mm_is_covered():
    found = usual_depth(coupon(wall_mm=None, groove=None))
    assert found.by is DepthBy.NOTHING
    assert found.depth_mm - 2.0 * found.u_depth_mm < 0.0
    assert found.depth_mm + 2.0 * found.u_depth_mm > 20.0


def test_only_a_pass_between_walls_lies_below():
    no_groove = Groove(form=GrooveForm.NONE)
    assert lies_below(coupon(WeldPass.FILL))
    for other in (WeldPass.CAP, WeldPass.ROOT_SIDE, None):
        assert not lies_below(coupon(other))
    assert not lies_below(coupon(groove=no_groove))


@pytest.mark.parametrize(
    ("groove", "lean_deg"),
    [
        (V_60, 30.0),
        (Groove(form=GrooveForm.SINGLE_BEVEL, angle_deg=45.0), 0.0),
        (Groove(form=GrooveForm.SQUARE), 0.0),
        (Groove(form=GrooveForm.SINGLE_U), 10.0),
        (Groove(form=GrooveForm.DOUBLE_V), 30.0),
    ],
)
def test_the_steeper_wall_counts(groove, lean_deg):
    assert wall_lean_deg(groove) == lean_deg


def test_depths_that_cannot_be_are_refused():
    with pytest.raises(DepthBeyondReachError, match=r"-1 mm below"):
        entered(-1.0)
    with pytest.raises(DepthBeyondWallError, match=r"12 mm below the surface is not in a wall"):
        coupon(depth=entered(12.0))
    with pytest.raises(DepthOfNoGrooveError):
        coupon(WeldPass.CAP, depth=entered(2.0))
