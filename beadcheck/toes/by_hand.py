"""Toes that a person placed: snapped to the edge near them, and told how far to trust them."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.errors.by_hand import (
    ToeAwayFromWeldError,
    ToesOnOneSideError,
)
from beadcheck.photo import Photo
from beadcheck.quantity import Side
from beadcheck.surface import Surface
from beadcheck.toes.follow import FollowedWeld, straightened
from beadcheck.toes.hand_lines import (
    HandLine,
    HandToes,
    hand_line,
)
from beadcheck.toes.hand_locate import located_by_hand, places_between
from beadcheck.toes.place import (
    FINAL_WIDTH_PX,
    SEARCH_WIDTH_PX,
    SIGNS,
    SMOOTHING_MM,
    Look,
    PlacedToe,
    look_along,
)
from beadcheck.toes.trace import SPAN_WIDTHS, trace_toes
from beadcheck.toes.trust import DOUBT_FACTOR

SNAP_WIDTHS: Final = 0.06
"""The edge is taken for the one that a person meant when it lies this near to the line through the
taps, in weld widths: two standard deviations of a careful reader."""
TAP_U_WIDTHS: Final = 0.03
"""Standard uncertainty of a line through taps, in weld widths. Two readers of the same 60 toe lines
in 30 real photographs (``calibration/finder/real_welds.json``) lie within 4.4 % of the width of
each other at 68 % of stations, so one of them within 3.1 %."""
BETWEEN_TAPS_U_WIDTHS: Final = 0.02
"""What a straight line from tap to tap leaves out of a toe's own waves; our estimate, too."""
SNAP_U_WIDTHS: Final = 0.015
"""Left of it where the line snapped to an edge: a wrong edge within reach (`SNAP_WIDTHS`) one time
in sixteen. Our estimate; on 36 of the tuning renders, tapped with the reader's spread, every U of a
mean width held the truth, with room to spare."""
BLEND_MM: Final = 1.0
"""Standard deviation along the weld over which an accepted edge gives way to the taps' line."""
SAME_MIDDLE_WIDTHS: Final = 0.5
"""Two toes by hand whose middle lies further than this from the found weld's are another weld."""
CLEAR_SIDE_WIDTHS: Final = 0.25
"""Nearer to the found weld's middle than this, only the toe's name tells on which side it is."""
NEAR_ENDS_MM: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _HandPair:
    """The lines by hand along an axis; None for a toe that the finder keeps."""

    left: HandLine | None
    right: HandLine | None


def with_hand_toes(weld: FollowedWeld, hand: HandToes, surface: Surface) -> FollowedWeld:
    """Put the toes that a person placed in the place of the finder's, from first to last point.

    Raises
    ------
    ToeOffSurfaceError
        A point's line of sight misses the surface.
    ToeAwayFromWeldError, ToesOnOneSideError
        The lines are no toes of the weld that was found.
    """
    pair = _assigned(hand, weld, surface)
    width_mm = _width_mm(pair, weld)
    left, right = (
        toe if line is None else _placed(toe, line, weld, sign=sign, width_mm=width_mm)
        for toe, line, sign in zip(
            (weld.left, weld.right), (pair.left, pair.right), SIGNS, strict=True
        )
    )
    return replace(weld, left=left, right=right)


def follow_by_hand(photo: Photo, surface: Surface, hand: HandToes) -> FollowedWeld:
    """Take the weld where a person placed both its toes, over the length that they share.

    Raises
    ------
    ToeOffSurfaceError
        A point's line of sight misses the surface.
    ToesShareTooLittleError
        The toes lie opposite each other over too short a length.
    """
    weld = located_by_hand(surface, hand)
    bead = straightened(photo, surface, weld, px_per_mm=surface.px_per_mm)
    rough_scale = min(surface.px_per_mm, SEARCH_WIDTH_PX / weld.width_mm)
    traced = trace_toes(straightened(photo, surface, weld, px_per_mm=rough_scale), weld)
    unplaced = np.zeros(traced.s_mm.size)
    found = [
        PlacedToe(across_mm=toe.across_mm, doubt_mm=unplaced, moved_mm=unplaced, hand_u_mm=unplaced)
        for toe in (traced.left, traced.right)
    ]
    followed = FollowedWeld(
        bead=bead, traced=traced, left=found[0], right=found[1], located_by_hand=True
    )
    left, right = sorted(
        (hand_line(points, surface, weld.axis) for _, points in hand.given),
        key=lambda line: float(np.mean(line.at(places_between(weld.s_range_mm)))),
    )
    placed = [
        _placed(toe, line, followed, sign=sign, width_mm=weld.width_mm)
        for toe, line, sign in zip(found, (left, right), SIGNS, strict=True)
    ]
    return replace(followed, left=placed[0], right=placed[1])


def _assigned(hand: HandToes, weld: FollowedWeld, surface: Surface) -> _HandPair:
    """Tell which line is which toe of the found weld."""
    traced = weld.traced
    lines = {side: hand_line(points, surface, weld.bead.axis) for side, points in hand.given}
    offs = {side: _from_middle_mm(line, weld) for side, line in lines.items()}
    if hand.both:
        apart = offs[Side.RIGHT] - offs[Side.LEFT]
        names = (Side.LEFT, Side.RIGHT) if apart > 0 else (Side.RIGHT, Side.LEFT)
        left, right = (lines[name] for name in names)
        if offs[names[0]] > 0.0 or offs[names[1]] < 0.0:
            raise ToesOnOneSideError
        elsewhere = abs(offs[Side.LEFT] + offs[Side.RIGHT]) > 2.0 * SAME_MIDDLE_WIDTHS * abs(apart)
        if elsewhere or not 0.5 <= abs(apart) / traced.width_mm <= 2.0:
            raise ToeAwayFromWeldError
        return _HandPair(left=left, right=right)
    ((name, line),) = lines.items()
    off = offs[name]
    if abs(off) > SPAN_WIDTHS * traced.width_mm:
        raise ToeAwayFromWeldError
    is_left = off < 0.0
    if abs(off) < CLEAR_SIDE_WIDTHS * traced.width_mm:
        is_left = name is Side.LEFT
    return _HandPair(left=line if is_left else None, right=None if is_left else line)


def _from_middle_mm(line: HandLine, weld: FollowedWeld) -> float:
    """How far to the right of the found weld's middle a line lies.

    Raises
    ------
    ToeAwayFromWeldError
        No part of the line lies beside the weld.
    """
    s_mm = weld.traced.s_mm
    first, last = weld.traced.core_mm
    beside = line.covers(s_mm) & (s_mm >= first - NEAR_ENDS_MM) & (s_mm <= last + NEAR_ENDS_MM)
    if not beside.any():
        raise ToeAwayFromWeldError
    middle = 0.5 * (weld.left.across_mm + weld.right.across_mm)
    return float(np.median((line.at(s_mm) - middle)[beside]))


def _width_mm(pair: _HandPair, weld: FollowedWeld) -> float:
    """Weld width as far as the lines by hand tell it."""
    s_mm = weld.traced.s_mm
    left = weld.left.across_mm if pair.left is None else pair.left.at(s_mm)
    right = weld.right.across_mm if pair.right is None else pair.right.at(s_mm)
    beside = np.zeros(s_mm.size, dtype=bool)
    for line in (pair.left, pair.right):
        if line is not None:
            beside |= line.covers(s_mm)
    apart = float(np.median((right - left)[beside]))
    return float(np.clip(apart, 0.5 * weld.traced.width_mm, 2.0 * weld.traced.width_mm))


def _placed(
    toe: PlacedToe, line: HandLine, weld: FollowedWeld, *, sign: int, width_mm: float
) -> PlacedToe:
    """Toe with a person's line from its first to its last point: the edge near it, or itself."""
    s_mm = weld.traced.s_mm
    taps = line.at(s_mm)
    edge, doubt, share = _edge_near(line, weld, sign=sign, width_mm=width_mm)
    mine = line.covers(s_mm)
    own_u = share * DOUBT_FACTOR * doubt + (1.0 - share) * BETWEEN_TAPS_U_WIDTHS * width_mm
    hand_u = (share * SNAP_U_WIDTHS + (1.0 - share) * TAP_U_WIDTHS) * width_mm
    return PlacedToe(
        across_mm=np.where(mine, share * edge + (1.0 - share) * taps, toe.across_mm),
        doubt_mm=np.where(mine, own_u / DOUBT_FACTOR, toe.doubt_mm),
        moved_mm=np.where(mine, 0.0, toe.moved_mm),
        hand_u_mm=np.where(mine, hand_u, 0.0),
    )


def _edge_near(
    line: HandLine, weld: FollowedWeld, *, sign: int, width_mm: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """(C,) edge that the placer sees near the line, its doubt in mm, and its share in the toe.

    The share is 1 along accepted edges and falls to 0 where they end.
    """
    guide = line
    for width_px in (SEARCH_WIDTH_PX, FINAL_WIDTH_PX):
        look = look_along(
            weld.bead, guide.s_mm, guide.across_mm, sign=sign, width_px=width_px, width_mm=width_mm
        )
        near = _accepted(look, line, width_mm)
        guide = HandLine(
            s_mm=look.s_mm, across_mm=np.where(near, look.across_mm, line.at(look.s_mm))
        )
    pitch = float(look.s_mm[1] - look.s_mm[0])
    smooth = gaussian_filter1d(guide.across_mm, SMOOTHING_MM / pitch, mode="nearest")
    if near.any():
        smooth = np.interp(look.s_mm, look.s_mm[near], smooth[near])
    about = gaussian_filter1d(near.astype(np.float64), BLEND_MM / pitch, mode="nearest")
    edge, doubt, share = (
        np.interp(weld.traced.s_mm, look.s_mm, values)
        for values in (smooth, look.doubt_mm, np.clip(2.0 * about - 1.0, 0.0, 1.0))
    )
    return edge, doubt, share


def _accepted(look: Look, line: HandLine, width_mm: float) -> NDArray[np.bool_]:
    """Where the edge is near enough to be the one meant, and surer than the taps themselves."""
    near = np.abs(look.across_mm - line.at(look.s_mm)) <= SNAP_WIDTHS * width_mm
    u_mm = np.hypot(DOUBT_FACTOR * look.doubt_mm, SNAP_U_WIDTHS * width_mm)
    return np.asarray(near & (u_mm <= TAP_U_WIDTHS * width_mm))
