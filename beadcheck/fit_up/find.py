"""From a photo of an open joint to its root opening and its tacks."""

import math
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import bead_map
from beadcheck.coupon import Coupon
from beadcheck.coupon.pass_depth import DEEPEST_MM, FACE_TOLERANCE_MM, WALL_TOLERANCE
from beadcheck.errors.fit_up import NoOpeningFoundError, OpeningUnclearError
from beadcheck.fit_up.edges import SlitEdges, slit_edges
from beadcheck.fit_up.opening import JointDepths, Opening, Tack
from beadcheck.photo import Photo
from beadcheck.surface import Points, SolvedSurface, SunkenSurface, sunken
from beadcheck.toes.locate import LocatedWeld
from beadcheck.toes.stations import LEAST_SEEN_DEG

Floats = NDArray[np.float64]

USUAL_FACE_MM: Final = 1.6
"""Root face where none was entered, between nothing and twice that (common practice, no published
source)."""
HIGH_LOW_HALF_MM: Final = 1.0
"""One part may lie lower than the other by up to this, rectangular (common practice, no published
source)."""
AROUND_MM: Final = 12.0
OPEN_FILLED: Final = 0.35
CLOSED_FILLED: Final = 0.5
"""Light between the edges, of that beside them, up to which a joint is open, and from which metal
fills it."""
LEAST_TACK_MM: Final = 3.0
RUN_OUT_MM: Final = 2.0
"""A tack runs out on the lands over so much beyond its ends: what is narrow there is the tack."""
LEAST_OPEN_MM: Final = 15.0
LEAST_SURE_SHARE: Final = 0.5
U_TACK_END_MM: Final = 0.75
"""Standard uncertainty of either end of a tack: it runs out on both lands over about its own
thickness, and stations lie 1 mm apart (checked on drawn joints)."""


def joint_depths(coupon: Coupon) -> JointDepths:
    """Depths of the lands' edges, by wall and root face, or by what is usual."""
    wall_mm, groove = coupon.wall_thickness_mm, coupon.groove
    entered = None if groove is None else groove.root_face_mm
    face_mm = USUAL_FACE_MM if entered is None else entered
    half_mm = USUAL_FACE_MM if entered is None else min(FACE_TOLERANCE_MM, entered)
    if wall_mm is None:
        wall_mm, u_wall_mm = 0.5 * DEEPEST_MM, 0.5 * DEEPEST_MM / math.sqrt(3.0)
    else:
        u_wall_mm = WALL_TOLERANCE * wall_mm / math.sqrt(3.0)
    face_mm = min(face_mm, wall_mm)
    return JointDepths(
        top_mm=wall_mm - face_mm,
        u_top_mm=math.hypot(u_wall_mm, half_mm / math.sqrt(3.0)),
        bottom_mm=wall_mm,
        u_bottom_mm=u_wall_mm,
    )


def found_opening(
    photo: Photo, surface: SolvedSurface, depths: JointDepths, weld: LocatedWeld
) -> tuple[SunkenSurface, Opening]:
    """Measure the opening along its rough line, on the surface at the foot of the lands.

    Where the camera looks in askew, the upper edge of one land bounds what it sees; of the other
    land it sees the face, which may look like metal or like the opening: that edge is taken half
    way down the land.

    Parameters
    ----------
    weld
        Where the opening runs roughly, on that surface.

    Raises
    ------
    NoOpeningFoundError, OpeningUnclearError
    """
    below = at_foot(surface, depths)
    bead = bead_map(
        photo,
        below,
        weld.axis,
        s_range_mm=weld.reach_mm,
        across_range_mm=(-AROUND_MM, AROUND_MM),
        px_per_mm=surface.px_per_mm,
    )
    edges = slit_edges(bead, blur_mm=surface.blur_px / surface.px_per_mm)
    is_open = edges.clear & (edges.filled <= OPEN_FILLED)
    if np.count_nonzero(is_open) < LEAST_OPEN_MM:
        raise NoOpeningFoundError
    opening = _on_their_depths(edges, is_open, below, weld, depths)
    closed = _runs(edges.filled >= CLOSED_FILLED)
    total = int(np.count_nonzero(_between_ends(is_open))) - sum(b - a for a, b in closed)
    if np.count_nonzero(is_open) < LEAST_SURE_SHARE * total:
        raise OpeningUnclearError(int(np.count_nonzero(is_open)), total)
    return below, opening


def at_foot(surface: SolvedSurface, depths: JointDepths) -> SunkenSurface:
    """Surface on which the feet of the lands lie."""
    return sunken(
        surface,
        below_mm=depths.bottom_mm,
        u_below_mm=depths.u_bottom_mm,
        u_apart_mm=HIGH_LOW_HALF_MM / math.sqrt(3.0),
    )


def _on_their_depths(
    edges: SlitEdges,
    is_open: NDArray[np.bool_],
    below: SunkenSurface,
    weld: LocatedWeld,
    depths: JointDepths,
) -> Opening:
    there = _between_ends(is_open)
    s_mm = edges.s_mm[there]
    places, pixels, leans = [], [], []
    for side, across in ((-1.0, edges.left_mm[there]), (1.0, edges.right_mm[there])):
        outward = side * np.asarray(weld.axis.across)
        at_foot_mm = weld.axis.to_surface(s_mm, across)
        lean = below.toward(at_foot_mm, outward)
        px = below.to_px(at_foot_mm)
        top, half_way = (
            replace(below, below_mm=depth_mm).to_mm(px)
            for depth_mm in (depths.top_mm, 0.5 * (depths.top_mm + depths.bottom_mm))
        )
        places.append(np.where((lean > 0.0)[:, None], top, half_way))
        pixels.append(px)
        leans.append(np.maximum(lean, 0.0))
    tacks = _tacks(edges, is_open)
    land_mm = depths.bottom_mm - depths.top_mm
    u_land_mm = math.sqrt(max(depths.u_top_mm**2 - depths.u_bottom_mm**2, 0.0))
    # How high the land stands is not known well either.
    askew = float(np.nanmedian(np.maximum(*leans)))
    return Opening(
        s_mm=s_mm,
        left_mm=places[0],
        right_mm=places[1],
        # Edges at different depths lie apart along the joint too, where it is seen askew.
        opening_mm=(places[1] - places[0]) @ np.asarray(weld.axis.across),
        left_px=pixels[0],
        right_px=pixels[1],
        u_left_mm=edges.u_left_mm[there],
        u_right_mm=edges.u_right_mm[there],
        sure=is_open[there] & _square_on(below, places) & ~_beside(s_mm, tacks),
        tacks=tacks,
        u_lands_mm=askew * math.hypot(0.5 * land_mm / math.sqrt(3.0), u_land_mm),
    )


def _beside(s_mm: Floats, tacks: tuple[Tack, ...]) -> NDArray[np.bool_]:
    """(N,) which stations lie at a tack, or where it runs out on the lands."""
    beside = np.zeros(s_mm.size, dtype=bool)
    for first, last in (tack.s_range_mm for tack in tacks):
        beside |= (s_mm >= first - RUN_OUT_MM) & (s_mm <= last + RUN_OUT_MM)
    return beside


def _square_on(below: SunkenSurface, places: list[Points]) -> NDArray[np.bool_]:
    """(N,) where the surface is seen squarely enough, and both edges have a place."""
    middle = 0.5 * (places[0] + places[1])
    seen = np.isfinite(middle).all(axis=1)
    return np.asarray(seen & (below.seen_at_deg(middle) >= LEAST_SEEN_DEG))


def _between_ends(is_open: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(N,) from the first open station to the last."""
    places = np.flatnonzero(is_open)
    between = np.zeros(is_open.size, dtype=bool)
    between[places[0] : places[-1] + 1] = True
    return between


def _tacks(edges: SlitEdges, is_open: NDArray[np.bool_]) -> tuple[Tack, ...]:
    """Stretches that metal fills, between open ones."""
    first, last = np.flatnonzero(is_open)[[0, -1]]
    tacks = []
    for start, end in _runs(edges.filled >= CLOSED_FILLED):
        if first < start and end <= last and end - start >= LEAST_TACK_MM:
            ends = (_crossing(edges, start - 1), _crossing(edges, end - 1))
            tacks.append(Tack(s_range_mm=ends, u_end_mm=U_TACK_END_MM))
    return tuple(tacks)


def _crossing(edges: SlitEdges, before: int) -> float:
    """Place between a station and the next where metal fills half of the opening."""
    pair, places = edges.filled[before : before + 2], edges.s_mm[before : before + 2]
    share = (CLOSED_FILLED - pair[0]) / (pair[1] - pair[0]) if np.isfinite(pair).all() else 0.5
    return float(places[0] + np.clip(share, 0.0, 1.0) * (places[1] - places[0]))


def _runs(there: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Start and end of each run of stations."""
    steps = np.diff(np.concatenate([[0], there.astype(np.int8), [0]]))
    return list(zip(np.flatnonzero(steps > 0), np.flatnonzero(steps < 0), strict=True))
