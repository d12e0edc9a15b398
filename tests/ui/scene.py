"""Photos as a phone sends them: a sample, and a drawn card on bare steel."""

import functools
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
BEAD_WIDTH_MM: Final = 9.0
BEAD_HEIGHT_MM: Final = 2.1
BEAD_OFF_MM: Final = 1.7
"""Of a bead that only the line of light shows, off the middle of the card's window."""
LINE_SIGMA_MM: Final = 0.17
LINE_LIGHT: Final = 170.0
PLACE_DEG: Final = (48.0, 51.0, 24.0)
"""Degrees, minutes, seconds of an invented spot."""


@functools.cache
def sample_pixels() -> NDArray[np.uint8]:
    """(H, W, 3) RGB of the sample that the tests measure, at half its size.

    Less is drawn and sent that way; places as shares of its sides, and millimetres, stay.
    """
    with Image.open(SAMPLE) as photo:
        full = np.asarray(photo.convert("RGB"))
    return cv2.resize(full, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)


@functools.cache
def bare_pixels() -> NDArray[np.uint8]:
    """(H, W, 3) RGB: the window card on brushed steel, seen at a slant; no bead in its window."""
    rng = np.random.default_rng(20)
    width, height = (round(length * PX_PER_MM) for length in STEEL_MM)
    light = 95.0 + cv2.blur(rng.normal(0.0, 30.0, (height, width)), (41, 1))
    light = cv2.warpPerspective(_with_card(light), _onto_photo(), PHOTO_PX, borderValue=70.0)
    light = cv2.GaussianBlur(light, (0, 0), 1.0) + rng.normal(0.0, 2.0, light.shape)
    grey = np.clip(light, 0.0, 255.0).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=2)


def lit_pixels(at_mm: float) -> NDArray[np.uint8]:
    """(H, W, 3) RGB: the same card and steel, a red line across them, displaced as by a bead.

    The light falls at 45 degrees, so that the line is displaced by the height itself.
    """
    rng = np.random.default_rng(21)
    width, height = (round(length * PX_PER_MM) for length in STEEL_MM)
    steel = _with_card(60.0 + cv2.blur(rng.normal(0.0, 20.0, (height, width)), (41, 1)))
    middle_mm = np.mean([marker.corners_mm for marker in plate_card().markers], axis=(0, 1))
    across_mm = np.arange(height) / PX_PER_MM - CARD_AT_MM[1] - middle_mm[1] - BEAD_OFF_MM
    bead_mm = BEAD_HEIGHT_MM * np.clip(1.0 - (across_mm / (BEAD_WIDTH_MM / 2.0)) ** 2, 0.0, None)
    line_mm = STEEL_MM[0] / 2.0 + at_mm + bead_mm
    bare = -1.0
    paper = _with_card(np.full((height, width), bare)) != bare
    under_the_line = paper[np.arange(height), np.round(line_mm * PX_PER_MM).astype(int)]
    line_mm = line_mm + plate_card().thickness_mm * under_the_line
    away_mm = np.arange(width) / PX_PER_MM - line_mm[:, None]
    red = steel + LINE_LIGHT * np.exp(-0.5 * (away_mm / LINE_SIGMA_MM) ** 2)
    drawn = np.stack([red, steel, steel], axis=-1)
    seen = cv2.warpPerspective(drawn, _onto_photo(), PHOTO_PX, borderValue=(50.0, 50.0, 50.0))
    seen = cv2.GaussianBlur(seen, (0, 0), 1.0) + rng.normal(0.0, 2.0, seen.shape)
    return np.clip(seen, 0.0, 255.0).astype(np.uint8)


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
