"""A rule's shadow has two edges, and a stated angle of the light belongs to one of them."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from beadcheck.profiles.light_line.evidence import LightKind
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.reference import MOST_U_ANGLE_DEG, LightAngle
from beadcheck.profiles.light_line.search import MOST_FAN

LAMP_MM: Final = 300.0
"""From the metal to a lamp that throws a sharp shadow (accuracy study, 2.4)."""
WIDEST_RULE_MM: Final = 60.0
"""Further apart, two edges are not taken for those of one rule."""


def in_doubt_of_edge(
    light: LightAngle, edge: FollowedLine, edges: Sequence[FollowedLine]
) -> LightAngle:
    """The angle with what is not known of it where the shadow shows its other edge, too.

    The light falls past both edges of a rule from one lamp, so their angles differ by what the lamp
    sees between them. The photo does not tell at which of them the angle was taken: either is as
    likely, so the mean square of what it is off by is half the square of that difference.
    """
    apart_mm = min((_across_shadow_mm(edge, other) for other in edges), default=math.inf)
    if apart_mm > WIDEST_RULE_MM:
        return light
    apart_rad = math.atan2(apart_mm * math.cos(math.radians(light.angle_deg)), LAMP_MM)
    u_deg = math.hypot(light.u_angle_deg, math.degrees(apart_rad) / math.sqrt(2.0))
    return replace(light, u_angle_deg=min(u_deg, MOST_U_ANGLE_DEG))


def _across_shadow_mm(edge: FollowedLine, other: FollowedLine) -> float:
    """Width of the shadow between its two edges on the metal; infinite where it is none."""
    (at_mm, slope), (other_mm, other_slope) = edge.rough.base, other.rough.base
    if edge.rough.kind is other.rough.kind or abs(slope - other_slope) > MOST_FAN:
        return math.inf
    rises = edge.rough.kind is LightKind.EDGE_RISING
    apart_mm = (at_mm - other_mm if rises else other_mm - at_mm) / math.hypot(1.0, slope)
    return apart_mm if apart_mm > 0.0 else math.inf
