"""What is known of a photo's camera before any target is seen."""

import math
from dataclasses import replace
from typing import Final

import numpy as np

from beadcheck.camera.book import CalibratedCamera, CameraBook
from beadcheck.camera.lens import Camera
from beadcheck.camera.turn import turned_points, turned_size
from beadcheck.photo import Photo

FILM_DIAGONAL_MM: Final = math.hypot(24.0, 36.0)
USUAL_FOCAL_35MM_MM: Final = 26.0
"""The usual main lens of a phone (common practice, no published source)."""
TRUSTED_FOCAL_35MM_MM: Final = (10.0, 200.0)
U_STATED_FOCAL: Final = 0.05
"""Relative: stated in whole mm, and shorter focus distances lengthen it by a few percent."""
U_USUAL_FOCAL: Final = 0.15
U_CENTRE_OF_DIAGONAL: Final = 0.015
"""Where the axis meets the sensor: 75 px of a 12 megapixel photo; stabilisers need room."""
U_K1: Final = 0.05
"""Main lenses of phones, partly straightened by their own software (an estimate)."""
U_K2: Final = 0.10

U_REFOCUSED: Final = 0.01
"""Relative: a calibrated focal length moves from photo to photo as the lens focuses. A lens of
6 mm lengthens by 2 % from 400 to 175 mm; phones' principal distances are never quite stable
(accuracy study, 1.2)."""
U_RECENTRED_OF_DIAGONAL: Final = 0.002
"""Where the stabiliser rests from photo to photo: 10 px of a 12 megapixel photo (an estimate)."""
U_K1_REFOCUSED: Final = 0.002
U_K2_REFOCUSED: Final = 0.005
"""Both terms move with the focus by a few times what the focal length does (an estimate)."""


def camera_of(photo: Photo, book: CameraBook = CameraBook()) -> Camera:  # noqa: B008  # frozen
    """What a stored calibration, or else the photo's file and the trade, tell of its camera.

    A stated focal length out of 10 to 200 mm is taken for a mistake and not used.
    """
    stored = book.matching(photo)
    return _usual(photo) if stored is None else _calibrated(photo, stored)


def _usual(photo: Photo) -> Camera:
    stated = photo.lens.focal_35mm_mm
    trusted = stated is not None and (
        TRUSTED_FOCAL_35MM_MM[0] <= stated <= TRUSTED_FOCAL_35MM_MM[1]
    )
    focal_35mm_mm = stated if trusted and stated is not None else USUAL_FOCAL_35MM_MM
    diagonal_px = math.hypot(photo.width_px, photo.height_px)
    focal_px = focal_35mm_mm * diagonal_px / FILM_DIAGONAL_MM
    return Camera(
        focal_px=focal_px,
        centre_px=(0.5 * (photo.width_px - 1), 0.5 * (photo.height_px - 1)),
        k1=0.0,
        k2=0.0,
        u_focal_px=focal_px * (U_STATED_FOCAL if trusted else U_USUAL_FOCAL),
        u_centre_px=U_CENTRE_OF_DIAGONAL * diagonal_px,
        u_k1=U_K1,
        u_k2=U_K2,
    )


def _calibrated(photo: Photo, stored: CalibratedCamera) -> Camera:
    """The stored figures at the photo's size and way up, with what changes between photos."""
    known = stored.camera
    diagonal_px = math.hypot(photo.width_px, photo.height_px)
    scale = diagonal_px / math.hypot(stored.width_px, stored.height_px)
    centre_px, u_turn_px = _centre_px(photo, stored, scale)
    focal_px = known.focal_px * scale
    return replace(
        known,
        focal_px=focal_px,
        centre_px=centre_px,
        u_focal_px=math.hypot(known.u_focal_px * scale, U_REFOCUSED * focal_px),
        u_centre_px=math.hypot(
            known.u_centre_px * scale, U_RECENTRED_OF_DIAGONAL * diagonal_px, u_turn_px
        ),
        u_k1=math.hypot(known.u_k1, U_K1_REFOCUSED),
        u_k2=math.hypot(known.u_k2, U_K2_REFOCUSED),
        calibration=stored.label,
    )


def _centre_px(
    photo: Photo, stored: CalibratedCamera, scale: float
) -> tuple[tuple[float, float], float]:
    """Centre in the upright photo, and what not knowing the photo's turn adds to its uncertainty.

    Where the file does not tell how the sensor stood, the centre may lie off the picture's middle
    towards any side.
    """
    upright_px = (photo.width_px, photo.height_px)
    turns = photo.lens.quarter_turns
    read_px = None if turns is None else turned_size(upright_px, -turns)
    centre = (np.array(stored.camera.centre_px) + 0.5) * scale - 0.5
    if read_px is not None and (read_px[0] >= read_px[1]) == (stored.width_px >= stored.height_px):
        x, y = turned_points(centre[None], read_px, turns or 0)[0]
        return (float(x), float(y)), 0.0
    middle = 0.5 * (np.array([stored.width_px, stored.height_px]) * scale - 1.0)
    off_px = float(np.hypot(*(centre - middle)))
    return (0.5 * (photo.width_px - 1), 0.5 * (photo.height_px - 1)), off_px / math.sqrt(2.0)
