"""Where the dark slit of an open joint runs beside the target."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.coupon import Shape
from beadcheck.errors.fit_up import NoOpeningFoundError
from beadcheck.photo import Photo, linear_grey
from beadcheck.surface import Surface
from beadcheck.toes.locate import LocatedWeld, located_in, oriented_axis, started_at
from beadcheck.toes.zone import search_zone

AROUND_MM: Final = 12.0
"""Metal about a place against which its darkness counts: wider than any groove's half."""
LEAST_POINTED_MM: Final = 15.0
USUAL_WIDTH_MM: Final = 3.0
"""Of a root opening that a person pointed at; only roughly needed."""
DARK: Final = (0.45, 0.15)
"""Light over that of the metal around: above the first nothing speaks of an opening, below the
second everything does."""


def located_opening(photo: Photo, surface: Surface) -> LocatedWeld:
    """Find the longest slender stretch that is far darker than the metal around it.

    Raises
    ------
    NoOpeningFoundError
    """
    overview, zone = search_zone(photo, surface)
    found = located_in(photo, surface, overview, zone, _slit_likelihood(overview, zone))
    if found is None:
        raise NoOpeningFoundError
    return found


def _slit_likelihood(overview: BeadMap, zone: NDArray[np.bool_]) -> NDArray[np.float32]:
    light = linear_grey(overview.bgr).astype(np.float32)
    weight = zone.astype(np.float32)
    reach = AROUND_MM * overview.px_per_mm
    around = cv2.GaussianBlur(light * weight, (0, 0), reach)
    counted = cv2.GaussianBlur(weight, (0, 0), reach)
    share = light / np.maximum(around / np.maximum(counted, 1e-3), 1e-3)
    likely = np.clip((DARK[0] - share) / (DARK[0] - DARK[1]), 0.0, 1.0)
    return np.where(zone, likely, np.float32(0.0)).astype(np.float32)


def opening_along(
    surface: Surface, start_px: tuple[float, float], end_px: tuple[float, float]
) -> LocatedWeld:
    """Take the opening where a person pointed: between two pixels of the photo.

    Raises
    ------
    NoOpeningFoundError
        A point lies off the surface, or both are one.
    """
    ends_mm = surface.to_mm(np.array([start_px, end_px], dtype=np.float64))
    length_mm = float(np.hypot(*(ends_mm[1] - ends_mm[0])))
    if not length_mm >= LEAST_POINTED_MM:
        raise NoOpeningFoundError
    axis = oriented_axis(ends_mm.mean(axis=0), (ends_mm[1] - ends_mm[0]) / length_mm, surface)
    first, last = (float(end) for end in np.sort(axis.to_weld(ends_mm)[:, 0]))
    shift = first if surface.shape is Shape.PLATE else 0.0
    s_range_mm = (first - shift, last - shift)
    return LocatedWeld(
        axis=started_at(axis, shift),
        s_range_mm=s_range_mm,
        width_mm=USUAL_WIDTH_MM,
        reach_mm=s_range_mm,
    )
