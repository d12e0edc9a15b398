"""A photo knows how it was turned upright, whatever kind of file it comes from."""

import io
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from PIL import ExifTags, Image

from beadcheck.camera.turn import turned_directions, turned_points, turned_size
from beadcheck.photo import read_photo

SIZE_PX = (720, 500)


def stored_picture() -> Image.Image:
    """As the sensor read it: a bright spot far from the middle and from every axis."""
    pixels = np.full((SIZE_PX[1], SIZE_PX[0], 3), 40, np.uint8)
    pixels[96:104, 150:162] = 240
    return Image.fromarray(pixels)


def spot_px(pixels_bgr) -> np.ndarray:
    rows, columns = np.nonzero(pixels_bgr[..., 1] > 140)
    return np.array([[columns.mean(), rows.mean()]])


def file_of(kind: str, orientation: int) -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    buffer = io.BytesIO()
    if kind == "HEIC":
        pillow_heif.from_pillow(stored_picture()).save(buffer, quality=95, exif=exif.tobytes())
    else:
        stored_picture().save(buffer, kind, exif=exif)
    return buffer.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIC"])
@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_place_turned_back_is_where_the_sensor_saw_it(
    tmp_path: Path, kind: str, orientation: int
) -> None:
    path = tmp_path / "photo"
    path.write_bytes(file_of(kind, orientation))
    photo = read_photo(path)
    turns = photo.lens.quarter_turns
    assert turns is not None
    upright_px = (photo.width_px, photo.height_px)
    assert turned_size(upright_px, -turns) == SIZE_PX
    as_read = turned_points(spot_px(photo.pixels_bgr), upright_px, -turns)
    # Compression may take a pixel off the spot's rim.
    np.testing.assert_allclose(as_read, [[155.5, 99.5]], atol=0.3)


@pytest.mark.parametrize("orientation", [2, 4, 5, 7])
def test_a_mirrored_photo_has_no_turn(tmp_path: Path, orientation: int) -> None:
    path = tmp_path / "photo"
    path.write_bytes(file_of("JPEG", orientation))
    assert read_photo(path).lens.quarter_turns is None


def test_a_nonsense_orientation_is_no_turn(tmp_path: Path) -> None:
    path = tmp_path / "photo"
    path.write_bytes(file_of("JPEG", 77))
    assert read_photo(path).lens.quarter_turns == 0


@pytest.mark.parametrize("turns", [-5, -1, 0, 1, 2, 3, 6])
def test_turning_there_and_back_changes_nothing(turns: int) -> None:
    points = np.array([[3.25, 17.5], [401.0, 88.125]])
    turned = turned_points(points, SIZE_PX, turns)
    np.testing.assert_allclose(
        turned_points(turned, turned_size(SIZE_PX, turns), -turns), points, atol=1e-9
    )
    step = turned_points(points[1:], SIZE_PX, turns) - turned[:1]
    np.testing.assert_allclose(turned_directions(points[1:] - points[:1], turns), step, atol=1e-9)
