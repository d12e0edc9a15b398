"""Where heights are measured when there is no weld: along the target."""

from typing import Final

import cv2
import numpy as np

from beadcheck.beadmap import Axis
from beadcheck.photo import Photo
from beadcheck.surface import Points, SolvedSurface
from beadcheck.toes import LocatedWeld
from beadcheck.toes.locate import oriented_axis, started_at

BESIDE_MM: Final = 11.0
"""A band beside the paper reaches this far from its own middle."""
END_MM: Final = 5.0
"""Left out at both ends of the target."""


def band_along_target(photo: Photo, surface: SolvedSurface) -> LocatedWeld:
    """A bare band of metal that runs along the target, with no weld in it.

    It lies in the target's opening, between its pieces, or beside the side of the paper that faces
    the middle of the picture.
    """
    papers = surface.target_outline_mm()
    corners = np.concatenate(papers).astype(np.float32)
    middle, (width, height), turn_deg = cv2.minAreaRect(corners)
    centre = np.asarray(middle, dtype=np.float64)
    angle = np.radians(turn_deg + (0.0 if width >= height else 90.0))
    along = np.array([np.cos(angle), np.sin(angle)])
    if _on_paper(centre, papers):
        aside = np.array([-along[1], along[0]]) * (0.5 * min(width, height) + BESIDE_MM)
        seen_px = surface.to_px(np.stack([centre + aside, centre - aside]))
        picture = 0.5 * np.array([photo.width_px - 1, photo.height_px - 1])
        first, second = np.hypot(*(seen_px - picture).T)
        centre = centre + aside if first <= second else centre - aside
    half_mm = 0.5 * max(width, height) - END_MM
    axis: Axis = started_at(oriented_axis(centre, along, surface), -half_mm)
    ends = (0.0, 2.0 * half_mm)
    return LocatedWeld(axis=axis, s_range_mm=ends, width_mm=0.0, reach_mm=ends)


def _on_paper(point_mm: np.ndarray, papers: tuple[Points, ...]) -> bool:
    place = (float(point_mm[0]), float(point_mm[1]))
    return any(
        cv2.pointPolygonTest(paper.astype(np.float32), place, measureDist=False) >= 0
        for paper in papers
    )
