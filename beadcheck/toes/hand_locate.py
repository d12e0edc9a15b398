"""Where a weld lies whose two toes a person placed."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.coupon import Shape
from beadcheck.errors.by_hand import HandWidthError, ToesShareTooLittleError
from beadcheck.surface import Surface, UnscaledSurface, unscaled_surface
from beadcheck.toes.hand_lines import (
    HandToes,
    common_run,
    hand_line,
    in_order,
    on_surface,
    shared_mm,
)
from beadcheck.toes.locate import LocatedWeld, oriented_axis, started_at
from beadcheck.toes.patches import WIDTH_RANGE_MM
from beadcheck.toes.polyline import evenly
from beadcheck.toes.stations import LEAST_STEADY_MM

LEAST_SHARED_MM: Final = LEAST_STEADY_MM + 1.0
"""Two toes by hand are enough alone over this length: their stations stand at whole millimetres."""


def located_by_hand(surface: Surface, hand: HandToes) -> LocatedWeld:
    """Find axis, length and width of a weld from both its toes.

    Raises
    ------
    ToeOffSurfaceError
        A point's line of sight misses the surface.
    ToesShareTooLittleError
        The toes lie opposite each other over too short a length.
    HandWidthError
        They lie too near to each other, or too far apart.
    """
    lines_mm = [on_surface(in_order(points), surface) for _, points in hand.given]
    axis = oriented_axis(np.concatenate(lines_mm).mean(axis=0), common_run(*lines_mm), surface)
    for _ in range(2):  # the second time along the middle between the toes
        one, other = (hand_line(points, surface, axis) for _, points in hand.given)
        first, last = shared_mm(one, other)
        if last - first < LEAST_SHARED_MM:
            apart_mm = max(abs(one.across_mm.mean() - other.across_mm.mean()), 1.0)
            shared = max(0.0, last - first)
            raise ToesShareTooLittleError(shared / apart_mm, LEAST_SHARED_MM / apart_mm)
        s_mm = places_between((first, last))
        middle = 0.5 * (one.at(s_mm) + other.at(s_mm))
        width_mm = float(np.median(np.abs(one.at(s_mm) - other.at(s_mm))))
        axis = _through(axis, s_mm, middle, surface)
    if not WIDTH_RANGE_MM[0] <= width_mm <= WIDTH_RANGE_MM[1]:
        raise HandWidthError(width_mm, *WIDTH_RANGE_MM)
    shift = first if surface.shape is Shape.PLATE else 0.0
    s_range_mm = (first - shift, last - shift)
    return LocatedWeld(
        axis=started_at(axis, shift), s_range_mm=s_range_mm, width_mm=width_mm, reach_mm=s_range_mm
    )


def picture_along(hand: HandToes) -> UnscaledSurface:
    """Lay a picture without a target level along the middle between both toes.

    Raises
    ------
    ToesShareTooLittleError
        The toes lie opposite each other nowhere.
    """
    one, other = (in_order(points) for _, points in hand.given)
    if (one[-1] - one[0]) @ (other[-1] - other[0]) < 0.0:
        other = other[::-1]
    even = np.linspace(0.0, 1.0, 100)
    left, right = (evenly(points, even) for points in (one, other))
    middle_px = 0.5 * (left + right)
    run = middle_px[-1] - middle_px[0]
    length_px = float(np.hypot(*run))
    square = np.array([-run[1], run[0]]) / max(length_px, 1.0)
    width_px = float(np.median(np.abs((right - left) @ square)))
    if length_px < width_px:
        raise ToesShareTooLittleError(length_px / max(width_px, 1.0), 1.0)
    return unscaled_surface(middle_px, np.ones(even.size), width_px, length_px)


def _through(
    axis: Axis, s_mm: NDArray[np.float64], middle_mm: NDArray[np.float64], surface: Surface
) -> Axis:
    slope, offset = np.polyfit(s_mm, middle_mm, 1)
    direction = np.asarray(axis.direction) + slope * np.asarray(axis.across)
    origin = np.asarray(axis.origin_mm) + offset * np.asarray(axis.across)
    return oriented_axis(origin, direction / np.hypot(*direction), surface)


def places_between(s_range_mm: tuple[float, float]) -> NDArray[np.float64]:
    """Places along the weld at which its lines are compared."""
    return np.linspace(*s_range_mm, 50)
