"""Where a photo without a target shows its weld."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.errors.bead import NoWeldInPictureError
from beadcheck.finder import weld_likelihood_either_way_up
from beadcheck.photo import Photo
from beadcheck.surface import Points, UnscaledSurface, unscaled_surface
from beadcheck.surface.unscaled import UNIT_WIDTHS
from beadcheck.toes.follow import CLEAR_DOUBT_WIDTHS, LEAST_CLEAR_SHARE, SAME_WIDTH, FollowedWeld
from beadcheck.toes.locate import LocatedWeld
from beadcheck.toes.patches import Aim, WeldPatch, best_patch
from beadcheck.toes.polyline import evenly

PARTS: Final = 100.0
"""The photo's long side counts this many units while its weld is looked for, so that a weld is at
least 12 % of it long and 1.5 % of it wide."""
LONG_SIDES_PX: Final = (512, 256)
"""The photo as the finder sees it: small for a narrow bead, smaller for one seen from near by."""
AIM_REACH: Final = 25.0
"""People aim at the weld that they mean: a quarter of the long side off the photo's middle a weld
counts half. Common practice, no published source."""
LEVEL: Final = Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0))
END_QUANTILES: Final = (0.002, 0.998)
NEAR_EDGE_WIDTHS: Final = 0.8
"""A weld that ends this near to the photo's edge leaves the picture there."""
LINE_POINTS: Final = 200
POINTED_LEVEL: Final = 0.4
LEAST_ON_LINE: Final = 0.3
"""Part of a pointed line that must lie on one patch of likely weld."""
POINTED_SHARE: Final = 0.25
"""Half the width of the band along a pointed line in which its weld is looked for, as a part of
the line's length."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PicturedWeld:
    """The picture laid level along its weld, and the weld in it."""

    surface: UnscaledSurface
    weld: LocatedWeld


def weld_in_picture(photo: Photo) -> PicturedWeld:
    """Find the weld anywhere in the photo.

    Raises
    ------
    NoWeldInPictureError
        Nothing long, slender and likely enough is in view.
    """
    part_px = _px_per_part(photo)
    found: tuple[WeldPatch, BeadMap] | None = None
    for long_side_px in LONG_SIDES_PX:
        view = _whole(photo, long_side_px)
        likelihood = weld_likelihood_either_way_up(view.bgr)
        aim = Aim(x_mm=view.s_mm.mean(), y_mm=view.across_mm.mean(), reach_mm=AIM_REACH)
        patch = best_patch(likelihood, view.seen, view, aim)
        if patch is not None and (found is None or patch.worth > found[0].worth):
            found = patch, view
    if found is None:
        raise NoWeldInPictureError
    patch, view = found
    area_px2 = patch.weights.size * (part_px / view.px_per_mm) ** 2
    return _pictured(photo, patch.points * part_px, patch.weights, area_px2=area_px2)


def weld_in_picture_along(photo: Photo, line_px: Points) -> PicturedWeld:
    """Take the weld where a person pointed: along a line of two points or more.

    Raises
    ------
    NoWeldInPictureError
        Nothing like a weld lies along the line.
    """
    line = evenly(line_px, np.linspace(0.0, 1.0, LINE_POINTS))
    length_px = float(np.hypot(*np.diff(line, axis=0).T).sum())
    part_px = _px_per_part(photo)
    for long_side_px in LONG_SIDES_PX:
        view = _whole(photo, long_side_px)
        band = np.zeros(view.seen.shape, np.uint8)
        drawn = np.round(line / part_px * view.px_per_mm).astype(np.int32)
        half = max(3, round(POINTED_SHARE * length_px / part_px * view.px_per_mm))
        cv2.polylines(band, [drawn], isClosed=False, color=1, thickness=2 * half)
        likely = (weld_likelihood_either_way_up(view.bgr) > POINTED_LEVEL) & (band > 0)
        count, labels = cv2.connectedComponents(likely.astype(np.uint8))
        rows, columns = (np.clip(drawn[:, i], 0, likely.shape[1 - i] - 1) for i in (1, 0))
        on_line = np.bincount(labels[rows, columns], minlength=count)
        on_line[0] = 0
        if count < 2 or on_line.max() < LEAST_ON_LINE * LINE_POINTS:
            continue
        area_px2 = np.count_nonzero(labels == on_line.argmax()) * (part_px / view.px_per_mm) ** 2
        return _pictured(photo, line, np.ones(LINE_POINTS), area_px2=float(area_px2))
    raise NoWeldInPictureError


def better_pictured(
    photo: Photo, pictured: PicturedWeld, followed: FollowedWeld
) -> PicturedWeld | None:
    """The picture laid along the toes that were found; None where that changes little."""
    left, right = followed.left, followed.right
    doubt = np.maximum(left.doubt_mm, right.doubt_mm)
    s_mm, core = followed.traced.s_mm, followed.traced.core_mm
    inside = (s_mm >= core[0]) & (s_mm <= core[1])
    clear = inside & (doubt <= CLEAR_DOUBT_WIDTHS * followed.traced.width_mm)
    if clear.sum() < max(LEAST_CLEAR_SHARE * inside.sum(), 10.0):
        return None
    width = float(np.median((right.across_mm - left.across_mm)[clear]))
    middle = 0.5 * (right.across_mm + left.across_mm)[clear]
    strays = float(np.quantile(np.abs(middle), 0.9))
    if width <= 0.0 or (
        abs(width / UNIT_WIDTHS - 1.0) < SAME_WIDTH and strays < SAME_WIDTH * width
    ):
        return None
    places = followed.bead.axis.to_surface(s_mm[clear], middle)
    middle_px = pictured.surface.to_px(places)
    length_px = (core[1] - core[0]) * pictured.surface.px_per_unit
    width_px = width * pictured.surface.px_per_unit
    return _pictured(photo, middle_px, np.ones(len(middle_px)), area_px2=length_px * width_px)


def _px_per_part(photo: Photo) -> float:
    return max(photo.width_px, photo.height_px) / PARTS


def _whole(photo: Photo, long_side_px: int) -> BeadMap:
    """The whole photo, reduced."""
    scale = min(1.0, long_side_px / max(photo.width_px, photo.height_px))
    size = (max(16, round(photo.width_px * scale)), max(16, round(photo.height_px * scale)))
    bgr = np.asarray(cv2.resize(photo.pixels_bgr, size, interpolation=cv2.INTER_AREA), np.uint8)
    part_px = _px_per_part(photo)
    columns, rows = (
        ((np.arange(count) + 0.5) * whole / count - 0.5) / part_px
        for count, whole in zip(size, (photo.width_px, photo.height_px), strict=True)
    )
    return BeadMap(
        bgr=bgr,
        seen=np.ones(bgr.shape[:2], dtype=bool),
        s_mm=columns,
        across_mm=rows,
        px_per_mm=float(part_px * scale),
        axis=LEVEL,
    )


def _pictured(
    photo: Photo, points_px: Points, weights: NDArray[np.float64], *, area_px2: float
) -> PicturedWeld:
    """Lay the picture along a weld's points, its width its area over its length."""
    reach_px = float(photo.width_px + photo.height_px)
    spread = np.linalg.eigvalsh(np.cov(points_px.T, aweights=weights))
    rough_px = area_px2 / max(np.sqrt(12.0 * spread[1]), 1.0)
    surface = unscaled_surface(points_px, weights, rough_px, reach_px)
    s_units = surface.to_mm(points_px)[:, 0]
    first, last = (float(end) for end in np.quantile(s_units, END_QUANTILES))
    width = float(area_px2 / surface.px_per_unit**2 / max(last - first, 1.0))
    seen = _seen_reach(photo, surface, (first, last))
    margin = NEAR_EDGE_WIDTHS * width
    reach = (
        seen[0] if first - seen[0] < margin else first,
        seen[1] if seen[1] - last < margin else last,
    )
    weld = LocatedWeld(axis=LEVEL, s_range_mm=(first, last), width_mm=width, reach_mm=reach)
    return PicturedWeld(surface=surface, weld=weld)


def _seen_reach(
    photo: Photo, surface: UnscaledSurface, core: tuple[float, float]
) -> tuple[float, float]:
    """How far the photo shows the line, from the middle of the weld outwards."""
    middle = 0.5 * (core[0] + core[1])
    steps = np.arange(0.0, 2.0 * PARTS * UNIT_WIDTHS, 0.5)
    ends = []
    for sign in (-1.0, 1.0):
        s = middle + sign * steps
        pixels = surface.to_px(np.stack([s, np.zeros_like(s)], axis=1))
        inside = (pixels >= 0.0).all(axis=1)
        inside &= (pixels <= [photo.width_px - 1, photo.height_px - 1]).all(axis=1)
        shown = int(inside.size if inside.all() else inside.argmin())
        ends.append(float(s[max(0, shown - 1)]))
    return ends[0], ends[1]
