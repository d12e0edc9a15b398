"""A pass that lies in a groove: its toes are sought at their depth, and hidden ones are told."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from beadcheck.coupon import Coupon, DepthBy, PassDepth, WeldPass
from beadcheck.coupon.pass_depth import (
    DEEPEST_MM,
    depth_by_walls,
    lies_below,
    usual_depth,
    wall_lean_deg,
)
from beadcheck.measurements.width import width_quantities
from beadcheck.photo import Photo
from beadcheck.pipeline.request import Request
from beadcheck.pipeline.weld_on_target import toes_on
from beadcheck.quantity import COVERAGE_FACTOR, Side, Statistic
from beadcheck.result import PassDepthRecord, ProblemRecord
from beadcheck.surface import SolvedSurface, SunkenSurface, sunken
from beadcheck.surface.sunken import DEPTH
from beadcheck.toes import FollowedWeld, HandToes, Toes, enough_sure
from beadcheck.toes.hidden import HiddenToes, hidden_toes

APART_HALF_MM: Final = 0.7
"""A pass may lie higher at one wall than at the other by up to this, rectangular (common practice,
no published source)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundWeld:
    """A weld's toes, and the surface on which they lie: that of the metal, or one below it.

    `depth` and `hidden` are None where the pass lies in no groove.
    """

    surface: SolvedSurface
    followed: FollowedWeld
    toes: Toes
    depth: PassDepth | None = None
    hidden: HiddenToes | None = None


def found_weld(
    photo: Photo, surface: SolvedSurface, request: Request, hand: HandToes | None
) -> FoundWeld:
    """Find the weld and its toes, at the depth at which the pass lies.

    Where the depth was not said, it is that at which the walls of the groove are as far apart as
    the pass is wide, if enough is known of the groove; else what is usual in such a wall.

    Raises
    ------
    BeadError
    """
    coupon = request.coupon
    if not lies_below(coupon):
        followed, toes = toes_on(photo, surface, request, hand)
        return FoundWeld(surface=surface, followed=followed, toes=toes)
    depth = coupon.depth or usual_depth(coupon)
    below = _at(surface, depth)
    followed, toes = toes_on(photo, below, request, hand)
    if coupon.depth is None and (by_walls := _depth_by_walls(coupon, toes)) is not None:
        depth, below = by_walls, _at(surface, by_walls)
        followed, toes = toes_on(photo, below, request, hand)
    hidden = hidden_toes(toes, below, wall_lean_deg(coupon.groove))
    return FoundWeld(
        surface=below,
        followed=followed,
        toes=replace(toes, sure=toes.sure & ~(hidden.left | hidden.right)),
        depth=depth,
        hidden=hidden,
    )


def depth_record(depth: PassDepth | None) -> PassDepthRecord | None:
    """Return the depth as the result tells it."""
    if depth is None:
        return None
    return PassDepthRecord(
        depth_mm=depth.depth_mm, U_mm=COVERAGE_FACTOR * depth.u_depth_mm, by=depth.by.value
    )


def groove_notices(found: FoundWeld, coupon: Coupon) -> list[ProblemRecord]:
    """Say which depth was taken where nobody told it, and which toes the groove may hide."""
    depth, surface = found.depth, found.surface
    if depth is None or found.hidden is None or not isinstance(surface, SunkenSurface):
        return []
    notices = []
    if depth.by in {DepthBy.WALL, DepthBy.NOTHING}:
        off_mm = COVERAGE_FACTOR * _u_width_by_depth(surface, found.toes)
        notices.append(
            ProblemRecord(
                code="pass_depth_taken", message=_depth_words(depth, coupon, off_mm=off_mm)
            )
        )
    return notices + _hidden_notices(found.hidden, found.toes)


def _depth_words(depth: PassDepth, coupon: Coupon, *, off_mm: float) -> str:
    below = f"{depth.depth_mm:.1f} ± {COVERAGE_FACTOR * depth.u_depth_mm:.1f} mm below the surface"
    name = "fill" if coupon.weld_pass is WeldPass.FILL else f"{coupon.weld_pass} pass"
    why = (
        f"as is usual for a {name} in a wall of {coupon.wall_thickness_mm:g} mm"
        if depth.by is DepthBy.WALL
        else f"anywhere in a wall of up to {DEEPEST_MM:.0f} mm"
    )
    more = "" if depth.by is DepthBy.WALL else " the thickness of the wall, or"
    return (
        f"Nobody said how deep in the groove this pass lies. It is taken to lie {below}, {why}; "
        f"the width may be off by {off_mm:.2f} mm by that alone, and U holds it. Enter{more} the "
        "depth from the surface down to the edge of the pass."
    )


def _hidden_notices(hidden: HiddenToes, toes: Toes) -> list[ProblemRecord]:
    notices = []
    for side in Side:
        there, lean_deg = hidden.of(side)
        places_mm = toes.s_mm[there]
        if places_mm.size:
            message = (
                f"The edge of the groove may hide the {side} toe between {places_mm[0]:.0f} and "
                f"{places_mm[-1]:.0f} mm along the weld: the camera looks in "
                f"{np.median(lean_deg[there]):.0f}° off the normal there, towards a wall that "
                f"leans {hidden.wall_deg:.0f}°. Nothing is measured there: hold the phone square "
                "above the groove."
            )
            notices.append(ProblemRecord(code="toe_hidden", message=message))
    return notices


def _at(surface: SolvedSurface, depth: PassDepth) -> SunkenSurface:
    return sunken(
        surface,
        below_mm=depth.depth_mm,
        u_below_mm=depth.u_depth_mm,
        u_apart_mm=APART_HALF_MM / math.sqrt(3.0),
    )


def _depth_by_walls(coupon: Coupon, toes: Toes) -> PassDepth | None:
    if not enough_sure(toes) or np.count_nonzero(toes.used) < 2:
        return None
    mean = next(q for q in width_quantities(toes) if q.statistic is Statistic.MEAN)
    return depth_by_walls(coupon, mean.value, mean.standard_uncertainty)


def _u_width_by_depth(surface: SunkenSurface, toes: Toes) -> float:
    """Standard uncertainty of the mean width by the depth alone, in mm."""
    there = toes.steady
    effects = surface.distance_components(toes.left_mm[there], toes.right_mm[there])
    return next(each.standard_uncertainty for each in effects if each.source == DEPTH)
