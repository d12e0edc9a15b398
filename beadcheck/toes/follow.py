"""Straighten the photo along the weld and follow its toes, until axis and width agree with them."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from beadcheck.beadmap import Axis, BeadMap, bead_map
from beadcheck.coupon import Shape
from beadcheck.photo import Photo
from beadcheck.surface import Surface
from beadcheck.toes.locate import LocatedWeld
from beadcheck.toes.place import (
    SEARCH_WIDTH_PX,
    Look,
    PlacedToe,
    first_looks,
    place_toes,
)
from beadcheck.toes.trace import SPAN_WIDTHS, LikelihoodAt, TracedWeld, trace_toes

MARGIN_WIDTHS: Final = 0.8
"""How far past the ends of the weld the map reaches, to see that they are ends."""
ROUNDS: Final = 3
SAME_WIDTH: Final = 0.12
"""Relative change of width, or of the middle over the width, that is worth another round."""
CLEAR_DOUBT_WIDTHS: Final = 0.05
"""Toes with less doubt than this part of the width tell where the weld really runs."""
LEAST_CLEAR_SHARE: Final = 0.2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FollowedWeld:
    """The map along the weld, and both toes in it.

    Attributes
    ----------
    located_by_hand
        A person placed both toes over the located part, so the weld is there, to its very ends.
    """

    bead: BeadMap
    traced: TracedWeld
    left: PlacedToe
    right: PlacedToe
    located_by_hand: bool = False


def follow_weld(
    photo: Photo, surface: Surface, weld: LocatedWeld, likelihood_at: LikelihoodAt | None = None
) -> FollowedWeld:
    """Follow both toes of a roughly located weld.

    A first look may have the width wrong by half, and with it the scale at which the finder looks;
    what it finds corrects the next look.
    """
    for rounds_left in reversed(range(ROUNDS)):
        rough = straightened(
            photo, surface, weld, px_per_mm=min(surface.px_per_mm, SEARCH_WIDTH_PX / weld.width_mm)
        )
        traced = trace_toes(rough, weld, likelihood_at)
        looks = first_looks(rough, traced, weld.width_mm)
        better = _corrected(weld, looks, surface)
        if better is None or rounds_left == 0:
            break
        weld = better
    bead = straightened(photo, surface, weld, px_per_mm=surface.px_per_mm)
    left, right = place_toes(rough, bead, traced, looks=looks, width_mm=weld.width_mm)
    return FollowedWeld(bead=bead, traced=traced, left=left, right=right)


def straightened(photo: Photo, surface: Surface, weld: LocatedWeld, *, px_per_mm: float) -> BeadMap:
    """Map along the weld."""
    margin_mm = MARGIN_WIDTHS * weld.width_mm
    across_mm = SPAN_WIDTHS * weld.width_mm
    return bead_map(
        photo,
        surface,
        weld.axis,
        s_range_mm=(weld.reach_mm[0] - margin_mm, weld.reach_mm[1] + margin_mm),
        across_range_mm=(-across_mm, across_mm),
        px_per_mm=px_per_mm,
    )


def _corrected(weld: LocatedWeld, looks: tuple[Look, Look], surface: Surface) -> LocatedWeld | None:
    """Weld with the width and the axis that its clear toes have; None where nothing changes."""
    left, right = looks
    s_mm = left.s_mm
    core = (s_mm >= weld.s_range_mm[0]) & (s_mm <= weld.s_range_mm[1])
    doubt_mm = np.maximum(left.doubt_mm, right.doubt_mm)
    clear = core & (doubt_mm <= CLEAR_DOUBT_WIDTHS * weld.width_mm)
    if not clear.any() or clear.sum() < LEAST_CLEAR_SHARE * core.sum():
        return None
    width_mm = float(np.median((right.across_mm - left.across_mm)[clear]))
    middle = 0.5 * (right.across_mm + left.across_mm)[clear]
    off_mm = float(np.median(middle))
    slope = 0.0
    if surface.shape is Shape.PLATE:
        line = np.polyfit(s_mm[clear], middle, 1)
        slope, off_mm = float(line[0]), float(line[1])
    farthest_mm = float(np.abs(off_mm + slope * s_mm[clear]).max())
    same_width = abs(width_mm / weld.width_mm - 1.0) < SAME_WIDTH
    if width_mm <= 0.0 or (same_width and farthest_mm < SAME_WIDTH * weld.width_mm):
        return None
    return replace(weld, axis=_moved(weld.axis, off_mm, slope), width_mm=width_mm)


def _moved(axis: Axis, off_mm: float, slope: float) -> Axis:
    """Axis shifted across and turned by a slope, `s` kept."""
    direction, across = np.asarray(axis.direction), np.asarray(axis.across)
    origin = np.asarray(axis.origin_mm) + off_mm * across
    turn = np.hypot(1.0, slope)
    along, square = (direction + slope * across) / turn, (across - slope * direction) / turn
    return Axis(
        origin_mm=(float(origin[0]), float(origin[1])),
        direction=(float(along[0]), float(along[1])),
        across=(float(square[0]), float(square[1])),
    )
