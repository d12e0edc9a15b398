"""Where beside the target the weld is looked for."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap, bead_map
from beadcheck.coupon import Shape
from beadcheck.photo import Photo
from beadcheck.surface import Points, Surface

OVERVIEW_PX: Final = 160_000
"""Pixels of the overview: enough for a 3 mm bead beside the target, and quick to search."""
OVERVIEW_PX_PER_MM: Final = (1.5, 6.0)
"""Scales between which a bead of 3 to 25 mm is 8 to 100 px wide, as the finder knows them."""
NEAR_PX_PER_MM: Final = 2.5
"""Of a map of a few centimetres about a place where a weld is known to be."""
BESIDE_MM: Final = 50.0
"""The weld is looked for this far from the target's paper."""
OPENING_SHARE: Final = 0.15
"""A target whose paper leaves this part of its hull open frames the weld in that opening."""
CONTEXT_PX: Final = 16
"""Of the paper and the rest beside the zone: the finder tells metal by what lies next to it."""
SLIVER_SHARE: Final = 0.15
"""Rows and columns filled less than this, against the fullest, hold no weld: they are corners
beside slanting paper."""
LEAST_SEEN_DEG: Final = 25.0
"""On a pipe nothing is looked for where the surface turns further away than this."""


def search_zone(photo: Photo, surface: Surface) -> tuple[BeadMap, NDArray[np.bool_]]:
    """Coarse map of the surface around the target, and where in it the weld may lie."""
    papers = surface.target_outline_mm()
    framed = frames_weld(papers)
    low, high = _view_bounds_mm(
        photo, surface, np.concatenate(papers), 0.0 if framed else BESIDE_MM
    )
    size_mm = high - low
    overview = bead_map(
        photo,
        surface,
        Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
        s_range_mm=(float(low[0]), float(high[0])),
        across_range_mm=(float(low[1]), float(high[1])),
        px_per_mm=overview_scale(float(size_mm[0] * size_mm[1]), surface),
    )
    zone = overview.seen & _beside_paper(papers, overview, framed=framed)
    if surface.shape is Shape.PIPE:
        places = overview.axis.to_surface(overview.s_mm[None, :], overview.across_mm[:1, None])
        zone &= (surface.seen_at_deg(places) >= LEAST_SEEN_DEG)[None, :]
    return overview, np.asarray(zone)


def zone_near(
    photo: Photo, surface: Surface, place_mm: Points, reach_mm: tuple[float, float]
) -> tuple[BeadMap, NDArray[np.bool_]]:
    """Coarse map about a place, (2,), and where in it the weld may lie: off the paper."""
    (x_mm, y_mm), (reach_x_mm, reach_y_mm) = place_mm, reach_mm
    overview = bead_map(
        photo,
        surface,
        Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
        s_range_mm=(float(x_mm) - reach_x_mm, float(x_mm) + reach_x_mm),
        across_range_mm=(float(y_mm) - reach_y_mm, float(y_mm) + reach_y_mm),
        px_per_mm=min(NEAR_PX_PER_MM, surface.px_per_mm),
    )
    paper = np.zeros(overview.seen.shape, np.uint8)
    for outline in _in_map(surface.target_outline_mm(), overview):
        cv2.fillConvexPoly(paper, outline, 1)
    return overview, np.asarray(overview.seen & (paper == 0))


def part_to_ask(zone: NDArray[np.bool_]) -> tuple[slice, slice]:
    """Rows and columns of a map that the finder is asked about: asking takes time.

    What it sees beyond misleads it more than it helps: on renders of bare plates with papers and
    shadows, two false welds fewer, and narrow welds nearer to their true widths.
    """
    return _filled(zone.mean(axis=1)), _filled(zone.mean(axis=0))


def _filled(share: NDArray[np.float64]) -> slice:
    """From the first to the last place that is filled well, with what lies next to it."""
    filled = np.flatnonzero(share > SLIVER_SHARE * share.max())
    if not filled.size:
        return slice(0, share.size)
    return slice(max(0, int(filled[0]) - CONTEXT_PX), int(filled[-1]) + 1 + CONTEXT_PX)


def frames_weld(papers: tuple[Points, ...]) -> bool:
    """Whether the paper leaves an opening, between its pieces or as a window, for the weld."""
    hull = cv2.convexHull(np.concatenate(papers).astype(np.float32))
    hull_mm2 = cv2.contourArea(hull)
    paper_mm2 = sum(cv2.contourArea(paper.astype(np.float32)) for paper in papers)
    return hull_mm2 - paper_mm2 >= OPENING_SHARE * hull_mm2


def _beside_paper(
    papers: tuple[Points, ...], overview: BeadMap, *, framed: bool
) -> NDArray[np.bool_]:
    """Where the weld may lie: in the opening of a target that frames it, else near the paper."""
    shape = overview.seen.shape
    outlines = _in_map(papers, overview)
    paper, hull = np.zeros(shape, np.uint8), np.zeros(shape, np.uint8)
    for outline in outlines:
        cv2.fillConvexPoly(paper, outline, 1)
    cv2.fillConvexPoly(hull, np.asarray(cv2.convexHull(np.concatenate(outlines))), 1)
    if framed:
        return np.asarray((hull > 0) & (paper == 0))
    far = cv2.distanceTransform(1 - paper, cv2.DIST_L2, 5)
    return np.asarray((far <= BESIDE_MM * overview.px_per_mm) & (paper == 0))


def _in_map(papers: tuple[Points, ...], overview: BeadMap) -> list[NDArray[np.int32]]:
    """Corners of the papers in the map's columns and rows."""
    corner = np.array([overview.s_mm[0], overview.across_mm[0]])
    return [
        np.round((outline - corner) * overview.px_per_mm).astype(np.int32) for outline in papers
    ]


def overview_scale(area_mm2: float, surface: Surface) -> float:
    """Pixels per mm of a map of this area for the finder."""
    wished = np.sqrt(OVERVIEW_PX / max(area_mm2, 1.0))
    return float(min(np.clip(wished, *OVERVIEW_PX_PER_MM), surface.px_per_mm))


def _view_bounds_mm(
    photo: Photo, surface: Surface, paper_mm: Points, margin_mm: float
) -> tuple[Points, Points]:
    """Corners of the box on the surface that holds what the photo shows near the target."""
    grid = np.stack(
        np.meshgrid(
            np.linspace(0, photo.width_px - 1, 25), np.linspace(0, photo.height_px - 1, 25)
        ),
        axis=-1,
    ).reshape(-1, 2)
    seen_mm = surface.to_mm(grid)
    seen_mm = seen_mm[np.isfinite(seen_mm).all(axis=1)]
    low = np.maximum(seen_mm.min(axis=0), paper_mm.min(axis=0) - margin_mm)
    high = np.minimum(seen_mm.max(axis=0), paper_mm.max(axis=0) + margin_mm)
    return low, high
