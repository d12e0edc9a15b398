"""Where sight lines of several photos meet."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]


def meeting_points(surfaces: Sequence[SolvedSurface], pixels: Sequence[Points]) -> Floats:
    """(N, 3) points in the surface's space frame that lie nearest to the sight lines.

    Parameters
    ----------
    surfaces
        One for each of two or more photos, in one frame (`solve_together`).
    pixels
        For each photo (N, 2): where it shows the points.
    """
    normal = np.zeros((len(pixels[0]), 3, 3))
    right = np.zeros((len(pixels[0]), 3))
    for surface, points_px in zip(surfaces, pixels, strict=True):
        sight = surface.sight_lines(points_px)
        sight /= np.linalg.norm(sight, axis=1, keepdims=True)
        # Distance from a line is what is left of a vector without its part along the line.
        beside = np.eye(3) - sight[:, :, None] * sight[:, None, :]
        normal += beside
        right += beside @ surface.eye_mm
    return np.asarray(np.linalg.solve(normal, right[..., None])[..., 0], dtype=np.float64)


def convergence_deg(one: SolvedSurface, other: SolvedSurface, place_mm: Points) -> float:
    """Angle between two photos' lines of sight to a place, (1, 2), on the surface."""
    point = one.in_space(place_mm, 0.0)[0]
    sights = [surface.eye_mm - point for surface in (one, other)]
    first, second = (sight / np.linalg.norm(sight) for sight in sights)
    return float(np.degrees(np.arccos(np.clip(first @ second, -1.0, 1.0))))
