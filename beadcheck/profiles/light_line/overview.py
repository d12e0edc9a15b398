"""The map in which lines of light are sought, and what is known of its places beforehand."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap, bead_map
from beadcheck.photo import Photo
from beadcheck.profiles.light_line.shadow import SHADOW_FAR_MM
from beadcheck.surface import SolvedSurface
from beadcheck.toes.zone import LEAST_SEEN_DEG, frames_weld

Floats = NDArray[np.float64]

REACH_MM: Final = 50.0
"""How far beyond the target's paper lines are sought."""
FRAMED_REACH_MM: Final = 6.0
"""... and where the paper frames the weld, and with it all that is measured."""
GRID: Final = 25
PLATE_REACH_MM: Final = 25.0
BEYOND_WEIGHT: Final = 0.3
"""Beyond `PLATE_REACH_MM` from the paper the plate may end: a line there counts by this share."""
MOST_CELLS: Final = 2.0e5
MAP_PX_PER_MM: Final = 5.0
EDGE_MARGIN_MM: Final = 1.0


def overview_of(photo: Photo, surface: SolvedSurface, axis: Axis) -> BeadMap:
    """Map of the surface round the target, as far as the photo shows it."""
    papers = surface.target_outline_mm()
    paper = np.concatenate([axis.to_weld(corners) for corners in papers])
    reach_mm = FRAMED_REACH_MM if frames_weld(papers) else REACH_MM
    seen = axis.to_weld(_seen_mm(photo, surface))
    low = np.maximum(paper.min(axis=0) - reach_mm, seen.min(axis=0))
    high = np.minimum(paper.max(axis=0) + reach_mm, seen.max(axis=0))
    size = high - low
    scale = min(MAP_PX_PER_MM, float(np.sqrt(MOST_CELLS / (size[0] * size[1]))))
    return bead_map(
        photo,
        surface,
        axis,
        s_range_mm=(float(low[0]), float(high[0])),
        across_range_mm=(float(low[1]), float(high[1])),
        px_per_mm=scale,
    )


def _seen_mm(photo: Photo, surface: SolvedSurface) -> Floats:
    """(N, 2) places all over what the photo shows of the surface, not too obliquely."""
    grid = np.meshgrid(
        np.linspace(0.0, photo.width_px - 1.0, GRID), np.linspace(0.0, photo.height_px - 1.0, GRID)
    )
    places = surface.to_mm(np.stack(grid, axis=-1).reshape(-1, 2))
    places = places[np.isfinite(places).all(axis=1)]
    return np.asarray(places[surface.seen_at_deg(places) >= LEAST_SEEN_DEG])


def on_paper_in(overview: BeadMap, surface: SolvedSurface) -> NDArray[np.bool_]:
    """(R, C) which cells of the map show paper."""
    paper = np.zeros(overview.seen.shape, np.uint8)
    start = np.array([overview.s_mm[0], overview.across_mm[0]])
    for corners in surface.target_outline_mm():
        cells = (overview.axis.to_weld(corners) - start) * overview.px_per_mm
        cv2.fillConvexPoly(paper, np.round(cells).astype(np.int32), 1)
    return np.asarray(paper > 0)


def unsure_of_edges(overview: BeadMap, surface: SolvedSurface) -> NDArray[np.bool_]:
    """Where an edge need not be a shadow's: at the paper's edge, and at the end of what is seen."""
    paper = on_paper_in(overview, surface).astype(np.uint8)
    edge = cv2.morphologyEx(paper, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    unseen = cv2.copyMakeBorder(
        (~overview.seen).astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=1
    )
    far = 2 * round(SHADOW_FAR_MM * overview.px_per_mm) + 1
    near = 2 * round(EDGE_MARGIN_MM * overview.px_per_mm) + 1
    unsure = cv2.dilate(unseen, np.ones((far, far), np.uint8))[1:-1, 1:-1]
    return np.asarray((unsure > 0) | (cv2.dilate(edge, np.ones((near, near), np.uint8)) > 0))


def nearness(overview: BeadMap, surface: SolvedSurface) -> NDArray[np.float32]:
    """(R,) weight of each row: near the paper there is plate, further off there may be a table."""
    papers = [overview.axis.to_weld(corners)[:, 1] for corners in surface.target_outline_mm()]
    ends = np.concatenate(papers)
    beyond = np.maximum(ends.min() - overview.across_mm, overview.across_mm - ends.max())
    return np.where(beyond < PLATE_REACH_MM, 1.0, BEYOND_WEIGHT).astype(np.float32)
