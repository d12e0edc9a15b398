"""Which weld the lines of light cross, and the lines square to it."""

from dataclasses import replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.errors.profile_light import NoLightLineError
from beadcheck.photo import Photo
from beadcheck.profiles.light_line.evidence import LightKind
from beadcheck.profiles.light_line.overview import overview_of
from beadcheck.profiles.light_line.search import RoughLine, rough_lines
from beadcheck.surface import SolvedSurface
from beadcheck.toes import LocatedWeld, weld_near
from beadcheck.toes.locate import oriented_axis, started_at
from beadcheck.toes.zone import BESIDE_MM, frames_weld

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

ALONG_TARGET: Final = Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0))
ACROSS_TARGET: Final = Axis(origin_mm=(0.0, 0.0), direction=(0.0, 1.0), across=(-1.0, 0.0))
MOST_SLANT_DEG: Final = 50.0
"""A line further than this from square to the weld does not cross it: a band of tint runs along."""
TURNED_DEG: Final = 8.0
"""Beyond this a line is followed anew, square to the weld."""
WELD_REACH_MM: Final = 24.0
"""The weld is looked for this far to both sides of the line."""
BESIDE_PAPER_MM: Final = 0.6
"""Next to paper its edge, its shadow and its glue count as paper."""


def weld_and_lines(
    photo: Photo, surface: SolvedSurface, weld: LocatedWeld | None, *, coloured: bool
) -> tuple[LocatedWeld | None, tuple[RoughLine, ...]]:
    """The weld, if it is known or found, and the lines of light, or edges of shadows, across it.

    Without a weld the lines' axis is taken square to the strongest of them.

    Raises
    ------
    NoLightLineError
        There is none.
    """
    if weld is not None:
        lines = rough_lines(overview_of(photo, surface, weld.axis), surface, coloured=coloured)
        if not lines:
            raise NoLightLineError
        return weld, lines
    on_pipe = surface.outside_diameter_mm is not None
    for axis in (ALONG_TARGET,) if on_pipe else (ALONG_TARGET, ACROSS_TARGET):
        lines = rough_lines(overview_of(photo, surface, axis), surface, coloured=coloured)
        if not lines:
            continue
        square = _square_to(lines[0], surface)
        weld = _weld_under(photo, surface, lines[0])
        if weld is not None and _angle_deg(weld.axis, square) > MOST_SLANT_DEG:
            continue
        across_weld = square if weld is None else weld.axis
        if _angle_deg(axis, across_weld) > TURNED_DEG:
            overview = overview_of(photo, surface, across_weld)
            lines = rough_lines(overview, surface, coloured=coloured) or lines
        return weld, tuple(_about(line, across_weld) for line in lines)
    raise NoLightLineError


def _weld_under(photo: Photo, surface: SolvedSurface, line: RoughLine) -> LocatedWeld | None:
    """The weld that the line crosses, if something along it looks like one."""
    bare = line.seen & on_bare_metal(surface, line.axis, line.s_mm, line.across_mm)
    if not bare.any():
        return None
    offset, slope = line.base
    ends = np.array([line.across_mm[bare].min(), line.across_mm[bare].max()])
    places = line.axis.to_surface(offset + slope * ends, ends)
    reach = 0.5 * np.abs(places[1] - places[0])
    reach = np.where(reach < reach.max(), np.maximum(reach, WELD_REACH_MM), reach)
    try:
        weld = weld_near(photo, surface, places.mean(axis=0), (float(reach[0]), float(reach[1])))
    except NoWeldFoundError:
        return None
    return _counted_from_target(weld, surface)


def _counted_from_target(weld: LocatedWeld, surface: SolvedSurface) -> LocatedWeld:
    """The same weld on plate with s counted from the target's first corner along it."""
    if surface.outside_diameter_mm is not None:
        return weld
    corners = np.concatenate(surface.target_outline_mm())
    first = float(weld.axis.to_weld(corners)[:, 0].min())
    return replace(
        weld,
        axis=started_at(weld.axis, first),
        s_range_mm=(weld.s_range_mm[0] - first, weld.s_range_mm[1] - first),
        reach_mm=(weld.reach_mm[0] - first, weld.reach_mm[1] - first),
    )


def _square_to(line: RoughLine, surface: SolvedSurface) -> Axis:
    """Axis square to a line of light, through its middle."""
    offset, slope = line.base
    middle = float(np.median(line.across_mm[line.seen]))
    ends = line.axis.to_surface(
        np.array([offset + slope * middle, offset + slope * (middle + 1.0)]),
        np.array([middle, middle + 1.0]),
    )
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    return oriented_axis(ends[0], np.array([along[1], -along[0]]), surface)


def _angle_deg(one: Axis, other: Axis) -> float:
    """Angle between two axes, whichever way they run."""
    cosine = abs(float(np.dot(one.direction, other.direction)))
    return float(np.degrees(np.arccos(min(1.0, cosine))))


def _about(line: RoughLine, axis: Axis) -> RoughLine:
    """The same line of light in the coordinates of another axis."""
    if line.axis == axis:
        return line
    places = axis.to_weld(line.axis.to_surface(line.s_mm, line.across_mm))
    order = np.argsort(places[:, 1])
    offset, slope = line.base
    ends = axis.to_weld(
        line.axis.to_surface(np.array([offset, offset + slope]), np.array([0.0, 1.0]))
    )
    run = ends[1] - ends[0]
    new_slope = float(run[0] / run[1])
    return RoughLine(
        kind=_seen_from(line, axis),
        axis=axis,
        across_mm=places[order, 1],
        s_mm=places[order, 0],
        seen=line.seen[order],
        base=(float(ends[0, 0] - new_slope * ends[0, 1]), new_slope),
        score_mm=line.score_mm,
    )


def _seen_from(line: RoughLine, axis: Axis) -> LightKind:
    """An edge that rises along one axis falls along an axis that runs the other way."""
    if not line.kind.is_edge or np.dot(line.axis.direction, axis.direction) > 0.0:
        return line.kind
    falls = line.kind is LightKind.EDGE_RISING
    return LightKind.EDGE_FALLING if falls else LightKind.EDGE_RISING


def on_paper(surface: SolvedSurface, axis: Axis, s_mm: Floats, across_mm: Floats) -> Mask:
    """(N,) which of N places lie on the target's paper or next to it."""
    places = axis.to_surface(s_mm, across_mm)
    depths = [_inside_mm(corners, places) for corners in surface.target_outline_mm()]
    return np.asarray(np.max(depths, axis=0) >= -BESIDE_PAPER_MM)


def on_bare_metal(surface: SolvedSurface, axis: Axis, s_mm: Floats, across_mm: Floats) -> Mask:
    """(N,) which of N places may show bare metal: off the paper, and inside what it frames.

    Beyond a target that frames the weld, or far from any other, the plate may end.
    """
    places = axis.to_surface(s_mm, across_mm)
    papers = surface.target_outline_mm()
    depths = [_inside_mm(corners, places) for corners in papers]
    bare = np.max(depths, axis=0) < -BESIDE_PAPER_MM
    bare &= np.max(depths, axis=0) > -BESIDE_MM
    if frames_weld(papers):
        hull = cv2.convexHull(np.concatenate(papers).astype(np.float32)).reshape(-1, 2)
        bare &= _inside_mm(hull.astype(np.float64), places) > 0.0
    return np.asarray(bare)


def _inside_mm(corners: Floats, places: Floats) -> Floats:
    """(N,) how deep N places lie inside a convex outline, in mm; negative outside."""
    runs = np.roll(corners, -1, axis=0) - corners
    inward = np.stack([-runs[:, 1], runs[:, 0]], axis=1) / np.hypot(*runs.T)[:, None]
    inward *= np.sign(((corners.mean(axis=0) - corners) * inward).sum(axis=1))[:, None]
    depths = (places @ inward.T) - (corners * inward).sum(axis=1)
    return np.asarray(depths.min(axis=1))
