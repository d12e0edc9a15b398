"""Light so bright that the camera shows it as plain white: on the weld face, and on the target."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.photo import Photo
from beadcheck.target.design import Marker
from beadcheck.target.detect import Candidate, Reading, predicted_quads_px
from beadcheck.target.find import FoundTarget

BURNT_CODE: Final = 250
"""All channels at or above this: JPEG leaves a burnt white a little below 255."""
FACE_SHARE: Final = 0.25
"""Of the weld's width at one place: a ripple's bright line is narrower."""
TOE_BAND_WIDTHS: Final = 0.12
"""Half the width of the band about each toe, as a part of the weld's."""
TOE_SHARE: Final = 0.5
"""Of the band about one toe at one place: what is left of it shows no edge."""
RING_SHARE: Final = 0.15
"""Of a marker's black border, or of all of an unread marker's place."""
HIDDEN_SHARE: Final = 0.3
RING_PITCH: Final = 12
"""Places looked at along each side of a marker's border."""


def glared_share(strip: BeadMap, *, width_mm: float) -> float:
    """Share of the weld's length where glare hides a good part of its face, or a toe.

    Parameters
    ----------
    strip
        The weld laid straight, its middle at 0 across.
    """
    burnt = (strip.bgr.min(axis=2) >= BURNT_CODE) & strip.seen
    half_mm, band_mm = 0.5 * width_mm, TOE_BAND_WIDTHS * width_mm
    hidden = burnt[np.abs(strip.across_mm) <= half_mm].mean(axis=0) > FACE_SHARE
    for toe_mm in (-half_mm, half_mm):
        hidden |= burnt[np.abs(strip.across_mm - toe_mm) <= band_mm].mean(axis=0) > TOE_SHARE
    return float(hidden.mean())


def glared_markers(photo: Photo, found: FoundTarget) -> int:
    """How many markers of the target glare washes out, in part or whole."""
    read = [(marker.marker, marker.corners_px) for marker in found.markers]
    washed = sum(_washed_ring_share(photo, corners_px) > RING_SHARE for _, corners_px in read)
    return washed + sum(_burnt_share(photo, quad) > HIDDEN_SHARE for quad in _unread(found, read))


def _unread(
    found: FoundTarget, read: list[tuple[Marker, NDArray[np.float64]]]
) -> list[NDArray[np.float64]]:
    """Where the markers that were not read should lie, (4, 2) each."""
    reading = Reading(
        design=found.design,
        markers=tuple(marker for marker, _ in read),
        candidates=tuple(
            Candidate(id=marker.id, corners_px=corners_px) for marker, corners_px in read
        ),
    )
    return list(predicted_quads_px(reading).values())


def _washed_ring_share(photo: Photo, corners_px: NDArray[np.float64]) -> float:
    """Share of a marker's black border that is burnt white."""
    # The border is one module wide, of six to nine: a fourteenth of a side inside lies within it.
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    onto_photo = cv2.getPerspectiveTransform(unit, corners_px.astype(np.float32))
    steps = np.linspace(1 / 14, 13 / 14, RING_PITCH)
    near, far = np.full(RING_PITCH, 1 / 14), np.full(RING_PITCH, 13 / 14)
    ring = np.concatenate(
        [
            np.stack(side, axis=1)
            for side in ((steps, near), (steps, far), (near, steps), (far, steps))
        ]
    )
    places = cv2.perspectiveTransform(ring[None], onto_photo)[0]
    column, row = np.round(places).astype(np.intp).T
    inside = (column >= 0) & (column < photo.width_px) & (row >= 0) & (row < photo.height_px)
    codes = photo.pixels_bgr[row[inside], column[inside]]
    return float((codes.min(axis=1) >= BURNT_CODE).mean()) if codes.size else 0.0


def _burnt_share(photo: Photo, quad_px: NDArray[np.float64]) -> float:
    """Share of a marker's place that is burnt white; 0 where it does not lie in the photo."""
    left, top = np.floor(quad_px.min(axis=0)).astype(int)
    right, bottom = np.ceil(quad_px.max(axis=0)).astype(int)
    if left < 0 or top < 0 or right >= photo.width_px or bottom >= photo.height_px:
        return 0.0
    place = photo.pixels_bgr[top : bottom + 1, left : right + 1]
    burnt = cv2.inRange(place, (BURNT_CODE,) * 3, (255,) * 3)
    return cv2.countNonZero(burnt) / burnt.size
