"""Photos as a phone sends them: a sample, and a drawn card on bare steel."""

from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import ExifTags, Image

from beadcheck.target.catalogue import plate_card

SAMPLES: Final = Path(__file__).parents[2] / "samples"
SAMPLE: Final = SAMPLES / "plate-gmaw-stringer.jpg"
SAMPLE_TRUTH: Final = SAMPLES / "truth" / "plate-gmaw-stringer.json"
SAMPLE_FOCAL_35MM_MM: Final = 35

PX_PER_MM: Final = 14.0
STEEL_MM: Final = (160.0, 145.0)
CARD_AT_MM: Final = (18.0, 15.0)
PHOTO_PX: Final = (2400, 1800)
FOCAL_35MM_MM: Final = 26
FILM_DIAGONAL_MM: Final = 43.27
"""Of a 24 x 36 mm frame: Exif 2.32 (CIPA DC-008) defines the equivalent focal length by it."""
TURNED_DEG: Final = (9.0, -6.0, 5.0)
DISTANCE_RATIO: Final = 0.97
"""Of the distance at which a pixel of the drawing is one pixel of the photo."""
PLACE_DEG: Final = (48.0, 51.0, 24.0)
"""Degrees, minutes, seconds of an invented spot."""


def sample_pixels() -> NDArray[np.uint8]:
    """(H, W, 3) RGB of the sample that the tests measure."""
    with Image.open(SAMPLE) as photo:
        return np.asarray(photo.convert("RGB"))


def bare_pixels() -> NDArray[np.uint8]:
    """(H, W, 3) RGB: the window card on brushed steel, seen at a slant; no bead in its window."""
    rng = np.random.default_rng(20)
    width, height = (round(length * PX_PER_MM) for length in STEEL_MM)
    light = 95.0 + cv2.blur(rng.normal(0.0, 30.0, (height, width)), (41, 1))
    light = cv2.warpPerspective(_with_card(light), _onto_photo(), PHOTO_PX, borderValue=70.0)
    light = cv2.GaussianBlur(light, (0, 0), 1.0) + rng.normal(0.0, 2.0, light.shape)
    grey = np.clip(light, 0.0, 255.0).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=2)


def _onto_photo() -> NDArray[np.float64]:
    """Homography from the drawn steel to the photo of a pinhole camera that looks at its middle."""
    width_px, height_px = PHOTO_PX
    focal_px = FOCAL_35MM_MM * np.hypot(width_px, height_px) / FILM_DIAGONAL_MM
    turn, _ = cv2.Rodrigues(np.radians(np.array(TURNED_DEG)))
    pinhole = np.array(
        [[focal_px, 0.0, width_px / 2], [0.0, focal_px, height_px / 2], [0.0, 0.0, 1.0]]
    )
    middle = np.eye(3)
    middle[:2, 2] = -0.5 * PX_PER_MM * np.array(STEEL_MM)
    distance = np.array([0.0, 0.0, focal_px * DISTANCE_RATIO])
    return pinhole @ np.column_stack([turn[:, 0], turn[:, 1], distance]) @ middle


def _with_card(light: NDArray[np.float64]) -> NDArray[np.float64]:
    card = plate_card()
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, card.dictionary))
    for patch in card.paper:
        rows, columns = _window(patch.corners_mm)
        light[rows, columns] = 232.0
    for marker in card.markers:
        rows, columns = _window(marker.corners_mm)
        printed = cv2.aruco.generateImageMarker(dictionary, marker.id, 7)
        size = (columns.stop - columns.start, rows.stop - rows.start)
        large = cv2.resize(printed, size, interpolation=cv2.INTER_NEAREST)
        light[rows, columns] = np.where(large > 0, 232.0, 28.0)
    return light


def _window(corners_mm: NDArray[np.float64]) -> tuple[slice, slice]:
    corners_px = np.round((corners_mm + np.array(CARD_AT_MM)) * PX_PER_MM).astype(int)
    (x0, y0), (x1, y1) = corners_px.min(axis=0), corners_px.max(axis=0)
    return slice(y0, y1), slice(x0, x1)


def save_with_place(
    pixels: NDArray[np.uint8], path: Path, *, focal_mm: int = SAMPLE_FOCAL_35MM_MM
) -> Path:
    """Write a JPEG as a phone does: lying on its side, with lens, time and place."""
    data = Image.Exif()
    data[ExifTags.Base.Orientation] = 6
    data[ExifTags.Base.Make] = "Harrow Quay"
    data.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = focal_mm
    data.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: PLACE_DEG, 3: "E", 4: (2.0, 21.0, 3.0)})
    Image.fromarray(np.rot90(pixels)).save(path, quality=95, exif=data)
    return path
