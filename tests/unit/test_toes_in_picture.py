"""A weld is found and measured wherever in the picture it lies, and however it bends."""

import math
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest

from beadcheck.errors.bead import NoWeldInPictureError
from beadcheck.photo import Lens, Photo, read_photo
from beadcheck.pipeline import Pointer, Request
from beadcheck.pipeline.face import FaceMeasurement, measure_face
from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.toes.in_picture import weld_in_picture, weld_in_picture_along

SAMPLES = Path(__file__).parents[2] / "samples"
NAMES = ("plate-smaw-no-target", "plate-gmaw-stringer")


@cache
def pixels_of(name: str) -> np.ndarray:
    """A sample at half its size: the weld stays wider than the toe placer asks for."""
    whole = read_photo(SAMPLES / f"{name}.jpg").pixels_bgr
    return cv2.resize(whole, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)


def photo_of(pixels_bgr: np.ndarray) -> Photo:
    return Photo(
        file="x.jpg", pixels_bgr=np.ascontiguousarray(pixels_bgr, dtype=np.uint8), lens=Lens()
    )


def turned(pixels: np.ndarray, angle_deg: float) -> np.ndarray:
    height, width = pixels.shape[:2]
    cosine, sine = (abs(f(math.radians(angle_deg))) for f in (math.cos, math.sin))
    size = (round(width * cosine + height * sine), round(width * sine + height * cosine))
    matrix = cv2.getRotationMatrix2D((width / 2, height / 2), angle_deg, 1.0)
    matrix[:, 2] += (np.array(size) - (width, height)) / 2
    return cv2.warpAffine(
        pixels, matrix, size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT
    )


def bent(pixels: np.ndarray, radius_px: float) -> np.ndarray:
    """Bend the picture round a far centre below it (above it: a negative radius).

    Distances from that centre are kept, and with them all widths square to the bend.
    """
    height, width = pixels.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    centre = np.array([width / 2, height / 2 + radius_px])
    sign = math.copysign(1.0, radius_px)
    angle = np.arctan2(x - centre[0], sign * (centre[1] - y))
    from_x = width / 2 + abs(radius_px) * angle
    from_y = height / 2 + sign * (abs(radius_px) - np.hypot(x - centre[0], y - centre[1]))
    return cv2.remap(
        pixels,
        from_x.astype(np.float32),
        from_y.astype(np.float32),
        cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_REFLECT,
    )


def measured(pixels: np.ndarray, along: Pointer | None = None) -> FaceMeasurement:
    request = Request(takes=(), without_target=True, along=along)
    face = measure_face(photo_of(pixels), request, ())
    assert face.refusal is None, face.refusal
    return face


def mean_width(face: FaceMeasurement) -> Quantity:
    return next(
        q
        for q in face.quantities
        if (q.name, q.statistic) == (QuantityName.WELD_WIDTH, Statistic.MEAN)
    )


@cache
def turned_face(name: str, angle_deg: float) -> FaceMeasurement:
    pixels = pixels_of(name)
    return measured(turned(pixels, angle_deg) if angle_deg else pixels)


def level_width(name: str) -> Quantity:
    return mean_width(turned_face(name, 0.0))


@pytest.mark.parametrize(
    ("name", "angle_deg"),
    [*((NAMES[0], angle_deg) for angle_deg in (37.0, 90.0, 180.0, -64.0)), (NAMES[1], 37.0)],
)
def test_turning_the_picture_changes_no_width(name: str, angle_deg: float) -> None:
    level, now = level_width(name), mean_width(turned_face(name, angle_deg))
    # The same weld in the same light: only its pixels lie anew, and its ends may be cut elsewhere.
    # U holds the toe's definition and the light too, which turning leaves alone.
    assert now.value == pytest.approx(level.value, abs=0.5 * level.expanded_uncertainty)
    assert now.count > 0.7 * level.count


@pytest.mark.parametrize(
    ("name", "radius_px"), [(NAMES[0], -2600.0), (NAMES[0], 1900.0), (NAMES[1], 1900.0)]
)
def test_a_weld_that_bends_is_as_wide_as_the_same_weld_straight(
    name: str, radius_px: float
) -> None:
    level, now = level_width(name), mean_width(measured(bent(pixels_of(name), radius_px)))
    assert now.value == pytest.approx(level.value, abs=0.5 * level.expanded_uncertainty)


def test_left_is_left_when_facing_along_the_weld() -> None:
    for angle_deg in (0.0, 90.0, 180.0):
        toes = turned_face(NAMES[0], angle_deg).toes
        assert toes is not None
        ahead = toes.middle_mm  # units along the picture's own line
        assert (np.diff(ahead[:, 0]) > 0.0).all()
        along = np.diff(0.5 * (toes.left_px + toes.right_px), axis=0).sum(axis=0)
        across = (toes.right_px - toes.left_px).mean(axis=0)
        assert along[np.abs(along).argmax()] > 0.0
        # y runs down, so right is clockwise of ahead.
        assert along[0] * across[1] - along[1] * across[0] > 0.0


def test_pointing_at_the_ends_gives_the_same_weld() -> None:
    pixels = pixels_of(NAMES[0])
    toes = turned_face(NAMES[0], 0.0).toes
    assert toes is not None
    middle = 0.5 * (toes.left_px + toes.right_px)
    # A thumb is off by a tenth of the width.
    slip = 0.1 * level_width(NAMES[0]).value * np.array([0.4, -0.9])
    start, end = middle[2] + slip, middle[-3] - slip
    pointed = measured(
        pixels,
        Pointer(start_px=(float(start[0]), float(start[1])), end_px=(float(end[0]), float(end[1]))),
    )
    level = level_width(NAMES[0])
    assert mean_width(pointed).value == pytest.approx(
        level.value, abs=0.5 * level.expanded_uncertainty
    )


def test_pointing_at_bare_metal_finds_no_weld_there() -> None:
    pixels = pixels_of(NAMES[0])
    photo = photo_of(pixels)
    weld = weld_in_picture(photo)
    ends = weld.surface.to_px(
        np.stack([np.array(weld.weld.s_range_mm), np.full(2, 3.0 * weld.weld.width_mm)], axis=1)
    )
    with pytest.raises(NoWeldInPictureError):
        weld_in_picture_along(photo, ends)
