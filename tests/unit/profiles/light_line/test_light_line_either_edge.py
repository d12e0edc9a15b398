"""A stated angle, where a shadow shows both edges of the rule that throws it."""

import math

import numpy as np
import pytest

from beadcheck.beadmap import Axis
from beadcheck.profiles.light_line.either_edge import LAMP_MM, in_doubt_of_edge
from beadcheck.profiles.light_line.evidence import LightKind
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.reference import LightAngle
from beadcheck.profiles.light_line.search import RoughLine

ANGLE = LightAngle(angle_deg=52.0, u_angle_deg=0.5)


def edge(kind, at_mm, slope=0.12):
    rows = np.linspace(-20.0, 20.0, 5)
    rough = RoughLine(
        kind=kind,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
        across_mm=rows,
        s_mm=at_mm + slope * rows,
        seen=np.ones(5, dtype=bool),
        base=(at_mm, slope),
        score_mm=30.0,
    )
    return FollowedLine(
        rough=rough,
        across_mm=rows,
        s_mm=rough.s_mm,
        u_s_mm=np.full(5, 0.01),
        points_px=np.zeros((5, 2)),
        good=np.ones(5, dtype=bool),
        sigma_mm=0.1,
        lean=0.0,
    )


@pytest.mark.parametrize("width_mm", [9.0, 17.0, 31.0])
def test_the_doubt_is_what_a_lamp_sees_between_both_edges_of_the_shadow(width_mm):
    falls = edge(LightKind.EDGE_FALLING, -6.0)
    rises = edge(LightKind.EDGE_RISING, -6.0 + width_mm * math.hypot(1.0, 0.12))
    # The lamp stands beyond the rising edge; the angle is stated for the falling one.
    lean = math.radians(ANGLE.angle_deg)
    height_mm, beside_mm = LAMP_MM * math.cos(lean), LAMP_MM * math.sin(lean)
    other_deg = math.degrees(math.atan2(beside_mm - width_mm, height_mm))
    off_deg = (ANGLE.angle_deg - other_deg) / math.sqrt(2.0)
    for one in (falls, rises):
        doubted = in_doubt_of_edge(ANGLE, one, [falls, rises])
        assert doubted.angle_deg == ANGLE.angle_deg
        own_deg = math.sqrt(doubted.u_angle_deg**2 - ANGLE.u_angle_deg**2)
        assert own_deg == pytest.approx(off_deg, rel=0.1)  # over wide shadows it is no tangent


@pytest.mark.parametrize(
    "other",
    [
        edge(LightKind.EDGE_RISING, -30.0),
        edge(LightKind.EDGE_FALLING, 12.0),
        edge(LightKind.EDGE_RISING, 12.0, slope=0.5),
        edge(LightKind.EDGE_RISING, 120.0),
    ],
    ids=["light between", "another shadow", "aslant", "far away"],
)
def test_an_edge_that_is_none_of_the_same_rule_adds_no_doubt(other):
    own = edge(LightKind.EDGE_FALLING, -6.0)
    assert in_doubt_of_edge(ANGLE, own, [own, other]) is ANGLE


def test_the_doubt_stays_within_what_an_angle_may_have():
    falls, rises = edge(LightKind.EDGE_FALLING, -6.0), edge(LightKind.EDGE_RISING, 40.0)
    rough = LightAngle(angle_deg=45.0, u_angle_deg=15.0)
    assert in_doubt_of_edge(rough, falls, [falls, rises]).u_angle_deg == 15.0
