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

OVERVIEW_PX: Final = 520_000
"""Pixels of the overview: enough for a 3 mm bead on a 250 mm coupon, and quick to search."""
OVERVIEW_PX_PER_MM: Final = (1.5, 6.0)
"""Scales between which a bead of 3 to 25 mm is 8 to 100 px wide, as the finder knows them."""
REACH_MM: Final = 220.0
"""The weld is looked for this far from the middle of the target."""
LEAST_SEEN_DEG: Final = 25.0
"""On a pipe nothing is looked for where the surface turns further away than this."""
LEAST_LIKELIHOOD: Final = 0.5
LEAST_MEAN_LIKELIHOOD: Final = 0.75
LEAST_LENGTH_MM: Final = 12.0
WIDTH_RANGE_MM: Final = (1.5, 45.0)
LEAST_SLENDERNESS: Final = 1.6
"""Length over width: a shorter patch has no direction that can be trusted."""


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
    likelihood
        Mean of the finder's likelihood over the weld.
    """

    axis: Axis
    s_range_mm: tuple[float, float]
    width_mm: float
    likelihood: float


def locate_weld(photo: Photo, surface: Surface) -> LocatedWeld:
    """Find the weld on the surface.

    Raises
    ------
    NoWeldFoundError
        Nothing long, slender and likely enough is in view.
    """
    overview = surface_overview(photo, surface)
    likelihood = np.where(overview.seen, weld_likelihood(overview.bgr), np.float32(0.0))
    patch = _best_patch(likelihood, overview)
    if patch is None:
        raise NoWeldFoundError
    points, weights = patch
    axis = _axis_through(points, weights, surface)
    along = axis.to_weld(points)[:, 0]
    cell_mm2 = 1.0 / overview.px_per_mm**2
    first, last = np.quantile(along, [0.002, 0.998])
    width_mm = float(weights.sum() * cell_mm2 / (last - first))
    if surface.shape is Shape.PLATE:
        axis, shift = _started_at(axis, first), first
        first, last = first - shift, last - shift
    return LocatedWeld(
        axis=axis,
        s_range_mm=(float(first), float(last)),
        width_mm=width_mm,
        likelihood=float(weights.mean()),
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
    axis = _oriented(ends_mm.mean(axis=0), (ends_mm[1] - ends_mm[0]) / length_mm, surface)
    s_ends = np.sort(axis.to_weld(ends_mm)[:, 0])
    half_mm = min(WIDTH_RANGE_MM[1], 0.5 * length_mm)
    strip = bead_map(
        photo,
        surface,
        axis,
        s_range_mm=(float(s_ends[0]), float(s_ends[1])),
        across_range_mm=(-half_mm, half_mm),
        px_per_mm=_overview_scale(length_mm * 2.0 * half_mm, surface),
    )
    likelihood = np.where(strip.seen, weld_likelihood(strip.bgr), np.float32(0.0))
    # The patch that the pointed line crosses most; a second weld beside it stays out.
    label_count, labels = cv2.connectedComponents((likelihood > LEAST_LIKELIHOOD).astype(np.uint8))
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
    return LocatedWeld(
        axis=_started_at(axis, shift),
        s_range_mm=(float(s_ends[0] - shift), float(s_ends[1] - shift)),
        width_mm=width_mm,
        likelihood=float(likelihood[mine].mean()),
    )


def surface_overview(photo: Photo, surface: Surface) -> BeadMap:
    """Map of all the surface in view around the target, at a coarse scale."""
    low, high = _view_bounds_mm(photo, surface)
    size_mm = high - low
    axis = Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0))
    overview = bead_map(
        photo,
        surface,
        axis,
        s_range_mm=(float(low[0]), float(high[0])),
        across_range_mm=(float(low[1]), float(high[1])),
        px_per_mm=_overview_scale(float(size_mm[0] * size_mm[1]), surface),
    )
    if surface.shape is Shape.PLATE:
        return overview
    places = axis.to_surface(overview.s_mm[None, :], overview.across_mm[:1, None])
    turned_away = ~(surface.seen_at_deg(places) >= LEAST_SEEN_DEG)
    return BeadMap(
        bgr=overview.bgr,
        seen=overview.seen & ~turned_away[None, :],
        s_mm=overview.s_mm,
        across_mm=overview.across_mm,
        px_per_mm=overview.px_per_mm,
        axis=axis,
    )


def _overview_scale(area_mm2: float, surface: Surface) -> float:
    wished = np.sqrt(OVERVIEW_PX / max(area_mm2, 1.0))
    return float(min(np.clip(wished, *OVERVIEW_PX_PER_MM), surface.px_per_mm))


def _view_bounds_mm(
    photo: Photo, surface: Surface
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Corners of the box on the surface that holds what the photo shows near the target."""
    grid = np.stack(
        np.meshgrid(
            np.linspace(0, photo.width_px - 1, 25), np.linspace(0, photo.height_px - 1, 25)
        ),
        axis=-1,
    ).reshape(-1, 2)
    seen_mm = surface.to_mm(grid)
    seen_mm = seen_mm[np.isfinite(seen_mm).all(axis=1)]
    middle = np.concatenate(surface.target_outline_mm()).mean(axis=0)
    low = np.maximum(seen_mm.min(axis=0), middle - REACH_MM)
    high = np.minimum(seen_mm.max(axis=0), middle + REACH_MM)
    return low, high


def _best_patch(
    likelihood: NDArray[np.float32], overview: BeadMap
) -> tuple[Points, NDArray[np.float64]] | None:
    """Surface points and likelihoods of the likeliest weld, other patches on its line included."""
    likely = (likelihood > LEAST_LIKELIHOOD).astype(np.uint8)
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(likely, connectivity=8)
    least_px = LEAST_LENGTH_MM * WIDTH_RANGE_MM[0] * overview.px_per_mm**2
    best: tuple[float, Points, float] | None = None
    patches = []
    for label in range(1, count):
        if boxes[label, cv2.CC_STAT_AREA] < 0.3 * least_px:
            continue
        rows, columns = np.nonzero(labels == label)
        points = np.stack([overview.s_mm[columns], overview.across_mm[rows]], axis=1)
        weights = likelihood[rows, columns].astype(np.float64)
        patches.append((points, weights))
        length_mm, width_mm = _length_and_width(points)
        worth = float(weights.sum()) * float(weights.mean()) ** 4
        if (
            length_mm >= LEAST_LENGTH_MM
            and WIDTH_RANGE_MM[0] <= width_mm <= WIDTH_RANGE_MM[1]
            and length_mm / width_mm >= LEAST_SLENDERNESS
            and weights.mean() >= LEAST_MEAN_LIKELIHOOD
            and (best is None or worth > best[0])
        ):
            best = (worth, points, width_mm)
    if best is None:
        return None
    centre, direction = _principal_line(best[1])
    normal = np.array([-direction[1], direction[0]])
    on_line = [
        patch
        for patch in patches
        if np.abs((patch[0] - centre) @ normal).mean() < 0.5 * best[2]
        and _length_and_width(patch[0])[1] < 1.5 * best[2]
    ]
    return np.concatenate([p for p, _ in on_line]), np.concatenate([w for _, w in on_line])


def _principal_line(points: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    centre = points.mean(axis=0)
    _, vectors = np.linalg.eigh(np.cov((points - centre).T))
    return centre, vectors[:, 1]


def _length_and_width(points: Points) -> tuple[float, float]:
    """Length and width in mm of an elongated patch, from its second moments."""
    spread = np.sqrt(np.maximum(np.linalg.eigvalsh(np.cov(points.T)), 1e-9))
    # A uniform bar of length L has a standard deviation of L / sqrt(12).
    return float(spread[1] * np.sqrt(12.0)), float(spread[0] * np.sqrt(12.0))


def _axis_through(points: Points, weights: NDArray[np.float64], surface: Surface) -> Axis:
    """Straight line through the middle of the patch, blunt ends and all."""
    centre, direction = _principal_line(points)
    axis = _oriented(centre, direction, surface)
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
    return _oriented(origin, turned / np.hypot(*turned), surface)


def _oriented(
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


def _started_at(axis: Axis, s_mm: float) -> Axis:
    origin = axis.to_surface(np.array([s_mm]), np.array([0.0]))[0]
    return Axis(
        origin_mm=(float(origin[0]), float(origin[1])),
        direction=axis.direction,
        across=axis.across,
    )
