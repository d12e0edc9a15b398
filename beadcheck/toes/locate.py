"""Where the weld lies on the surface: its axis, its length in view and its rough width."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap, bead_map
from beadcheck.coupon import Shape
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.finder import weld_likelihood
from beadcheck.photo import Photo
from beadcheck.surface import Points, Surface
from beadcheck.toes.patches import LEAST_LENGTH_MM, WIDTH_RANGE_MM, best_patch, principal_line
from beadcheck.toes.zone import overview_scale, part_to_ask, search_zone, zone_near

POINTED_LEVEL: Final = 0.4
"""Likelihood of weld along a line that a person pointed at."""
NEAR_EDGE_MM: Final = 4.0
EXTENSION_MM: Final = 120.0
"""A weld that leaves the overview is followed this much further along its axis."""
EXTENSION_STEP_MM: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LocatedWeld:
    """Roughly where the weld runs.

    Attributes
    ----------
    axis
        Its straight line; `s` is 0 at the first end in view on plate, the strip's own arc on pipe.
    s_range_mm
        Ends of the weld in view along the axis.
    width_mm
        Rough width.
    reach_mm
        How far along the axis it may run on: beyond `s_range_mm` where it leaves the overview.
    """

    axis: Axis
    s_range_mm: tuple[float, float]
    width_mm: float
    reach_mm: tuple[float, float]


def locate_weld(photo: Photo, surface: Surface) -> LocatedWeld:
    """Find the weld beside the target, or in its opening.

    Raises
    ------
    NoWeldFoundError
        Nothing long, slender and likely enough is in view.
    """
    overview, zone = search_zone(photo, surface)
    return _likeliest(photo, surface, overview, zone)


def weld_near(
    photo: Photo, surface: Surface, place_mm: Points, reach_mm: tuple[float, float]
) -> LocatedWeld:
    """Find the weld that runs through the neighbourhood of a place, (2,), on the surface.

    Parameters
    ----------
    reach_mm
        How far along the surface's x and y it is looked for.

    Raises
    ------
    NoWeldFoundError
        Nothing there is long, slender and likely enough.
    """
    overview, zone = zone_near(photo, surface, place_mm, reach_mm)
    return _likeliest(photo, surface, overview, zone)


def _likeliest(
    photo: Photo, surface: Surface, overview: BeadMap, zone: NDArray[np.bool_]
) -> LocatedWeld:
    part = part_to_ask(zone)
    likelihood = np.zeros(zone.shape, dtype=np.float32)
    likelihood[part] = weld_likelihood(overview.bgr[part])
    likelihood[~zone] = 0.0
    found = located_in(photo, surface, overview, zone, likelihood)
    if found is None:
        raise NoWeldFoundError
    return found


def located_in(
    photo: Photo,
    surface: Surface,
    overview: BeadMap,
    zone: NDArray[np.bool_],
    likelihood: NDArray[np.float32],
) -> LocatedWeld | None:
    """Longest, likeliest slender patch of a likelihood on an overview; None where there is none."""
    patch = best_patch(likelihood, zone, overview)
    if patch is None:
        return None
    points, weights = patch.points, patch.weights
    axis = _axis_through(points, weights, surface)
    along = axis.to_weld(points)[:, 0]
    cell_mm2 = 1.0 / overview.px_per_mm**2
    first, last = (float(end) for end in np.quantile(along, [0.002, 0.998]))
    width_mm = points.shape[0] * cell_mm2 / (last - first)
    ends_mm = axis.to_surface(
        np.array([first - NEAR_EDGE_MM, last + NEAR_EDGE_MM]), np.array([0.0, 0.0])
    )
    leaves = [not _inside(overview, zone, end) for end in ends_mm]
    reach = _seen_reach(photo, surface, axis, (first, last), leaves)
    shift = first if surface.shape is Shape.PLATE else 0.0
    return LocatedWeld(
        axis=started_at(axis, shift),
        s_range_mm=(first - shift, last - shift),
        width_mm=width_mm,
        reach_mm=(reach[0] - shift, reach[1] - shift),
    )


def weld_along(
    photo: Photo, surface: Surface, start_px: tuple[float, float], end_px: tuple[float, float]
) -> LocatedWeld:
    """Take the weld where a person pointed: between two pixels of the photo.

    Raises
    ------
    NoWeldFoundError
        A point lies off the surface, or nothing like a weld lies between the two.
    """
    ends_mm = surface.to_mm(np.array([start_px, end_px], dtype=np.float64))
    length_mm = float(np.hypot(*(ends_mm[1] - ends_mm[0])))
    if not np.isfinite(length_mm) or length_mm < LEAST_LENGTH_MM:
        raise NoWeldFoundError
    axis = oriented_axis(ends_mm.mean(axis=0), (ends_mm[1] - ends_mm[0]) / length_mm, surface)
    s_ends = np.sort(axis.to_weld(ends_mm)[:, 0])
    half_mm = min(WIDTH_RANGE_MM[1], 0.5 * length_mm)
    strip = bead_map(
        photo,
        surface,
        axis,
        s_range_mm=(float(s_ends[0]), float(s_ends[1])),
        across_range_mm=(-half_mm, half_mm),
        px_per_mm=overview_scale(length_mm * 2.0 * half_mm, surface),
    )
    likelihood = np.where(strip.seen, weld_likelihood(strip.bgr), np.float32(0.0))
    # The patch that the pointed line crosses most; a second weld beside it stays out.
    label_count, labels = cv2.connectedComponents((likelihood > POINTED_LEVEL).astype(np.uint8))
    middle = strip.across_mm.size // 2
    reach = max(1, round(2.0 * strip.px_per_mm))
    on_line = np.bincount(
        labels[middle - reach : middle + reach + 1].ravel(), minlength=label_count
    )
    on_line[0] = 0
    if label_count < 2 or not on_line.any():
        raise NoWeldFoundError
    mine = labels == on_line.argmax()
    width_mm = float(likelihood[mine].sum() / strip.px_per_mm / strip.s_mm.size)
    if not WIDTH_RANGE_MM[0] <= width_mm <= WIDTH_RANGE_MM[1]:
        raise NoWeldFoundError
    shift = s_ends[0] if surface.shape is Shape.PLATE else 0.0
    s_range = (float(s_ends[0] - shift), float(s_ends[1] - shift))
    return LocatedWeld(
        axis=started_at(axis, shift), s_range_mm=s_range, width_mm=width_mm, reach_mm=s_range
    )


def _seen_reach(
    photo: Photo, surface: Surface, axis: Axis, core: tuple[float, float], leaves: list[bool]
) -> tuple[float, float]:
    """How far the photo shows the axis beyond an end that leaves the overview."""
    steps = np.arange(0.0, EXTENSION_MM, EXTENSION_STEP_MM)
    ends = []
    for end, sign, leaving in zip(core, (-1.0, 1.0), leaves, strict=True):
        s_mm = end + sign * steps
        pixels = surface.to_px(axis.to_surface(s_mm, np.array([0.0])))
        seen = (pixels >= 0.0).all(axis=1)
        seen &= (pixels <= [photo.width_px - 1, photo.height_px - 1]).all(axis=1)
        shown = int(seen.size if seen.all() else seen.argmin())
        ends.append(float(s_mm[max(0, shown - 1)]) if leaving else end)
    return ends[0], ends[1]


def _inside(overview: BeadMap, zone: NDArray[np.bool_], point_mm: NDArray[np.float64]) -> bool:
    column = round((point_mm[0] - overview.s_mm[0]) * overview.px_per_mm)
    row = round((point_mm[1] - overview.across_mm[0]) * overview.px_per_mm)
    rows, columns = zone.shape
    return 0 <= row < rows and 0 <= column < columns and bool(zone[row, column])


def _axis_through(points: Points, weights: NDArray[np.float64], surface: Surface) -> Axis:
    """Straight line through the middle of the patch, blunt ends and all."""
    centre, direction = principal_line(points)
    axis = oriented_axis(centre, direction, surface)
    along, across = axis.to_weld(points).T
    # A line through the middles of narrow slices is not pulled by a lump at one end.
    slices = np.round(along).astype(int)
    slices -= slices.min()
    mass = np.bincount(slices, weights)
    filled = mass > 0.3 * np.median(mass[mass > 0])
    middles = np.bincount(slices, weights * across)[filled] / mass[filled]
    places = np.bincount(slices, weights * along)[filled] / mass[filled]
    slope, offset = np.polyfit(places, middles, 1) if filled.sum() > 2 else (0.0, 0.0)
    turned = np.asarray(axis.direction) + slope * np.asarray(axis.across)
    origin = np.asarray(axis.origin_mm) + offset * np.asarray(axis.across)
    return oriented_axis(origin, turned / np.hypot(*turned), surface)


def oriented_axis(
    origin_mm: NDArray[np.float64], direction: NDArray[np.float64], surface: Surface
) -> Axis:
    """Axis that grows along the photo's +x, or +y where the weld is nearer to vertical.

    On a pipe the weld runs round: the axis follows the strip's arc, and `s` is that arc.
    """
    if surface.shape is Shape.PIPE:
        return Axis(
            origin_mm=(0.0, float(origin_mm[1])),
            direction=(1.0, 0.0),
            across=(0.0, 1.0),
        )
    ends_px = surface.to_px(np.stack([origin_mm - 2.0 * direction, origin_mm + 2.0 * direction]))
    step_px = ends_px[1] - ends_px[0]
    forward = step_px[0] if abs(step_px[0]) >= abs(step_px[1]) else step_px[1]
    if forward < 0:
        direction = -direction
    return Axis(
        origin_mm=(float(origin_mm[0]), float(origin_mm[1])),
        direction=(float(direction[0]), float(direction[1])),
        across=(-float(direction[1]), float(direction[0])),
    )


def started_at(axis: Axis, s_mm: float) -> Axis:
    """Return the same line with `s` counted from one of its places."""
    origin = axis.to_surface(np.array([s_mm]), np.array([0.0]))[0]
    return Axis(
        origin_mm=(float(origin[0]), float(origin[1])),
        direction=axis.direction,
        across=axis.across,
    )
