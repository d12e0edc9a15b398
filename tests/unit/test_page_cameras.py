"""A photo keeps its sensor's frame in the page's hands, so that a stored calibration fits it."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import ExifTags, Image

from beadcheck.camera import Camera
from beadcheck.camera.book import CalibratedCamera, CameraBook
from beadcheck.photo import read_photo
from beadcheck_page.intake import photo_key, store_photo

SIZE_PX = (640, 420)
CALIBRATED = CalibratedCamera(
    name="bench phone",
    make="Harrow Quay",
    model="HQ 3",
    focal_35mm_mm=26.0,
    width_px=2 * SIZE_PX[0],
    height_px=2 * SIZE_PX[1],
    calibrated_on=date(2026, 5, 3),
    photo_count=7,
    residual_px=0.1,
    camera=Camera(
        focal_px=980.0,
        centre_px=(643.0, 417.0),
        k1=0.02,
        k2=-0.01,
        u_focal_px=3.0,
        u_centre_px=2.0,
        u_k1=0.002,
        u_k2=0.004,
    ),
)
BOOK = CameraBook(cameras=(CALIBRATED,))


def sent(folder: Path, *, orientation: int, model: str = "HQ 3") -> Path:
    """Write a photo as a phone does that was held in some way."""
    rng = np.random.default_rng(31)
    light = rng.integers(0, 255, (SIZE_PX[1], SIZE_PX[0], 3), dtype=np.uint8)
    data = Image.Exif()
    data[ExifTags.Base.Orientation] = orientation
    data[ExifTags.Base.Make] = "Harrow Quay"
    data[ExifTags.Base.Model] = model
    data.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = 26
    path = folder / "sent.jpg"
    Image.fromarray(light).save(path, quality=95, exif=data)
    return path


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_comes_back_as_it_was_sent_and_turned(tmp_path: Path, orientation: int) -> None:
    path = sent(tmp_path, orientation=orientation)
    before = read_photo(path)
    stored = store_photo(path, name="cap.jpg", home=tmp_path / photo_key(), cameras=CameraBook())
    after = read_photo(stored.path)
    np.testing.assert_array_equal(after.pixels_bgr, before.pixels_bgr)
    assert after.lens == before.lens
    assert (stored.width_px, stored.height_px) == (before.width_px, before.height_px)


def test_a_stored_camera_is_known_by_make_and_model(tmp_path: Path) -> None:
    upright = store_photo(
        sent(tmp_path, orientation=6), name="a.jpg", home=tmp_path / "a", cameras=BOOK
    )
    assert upright.calibration == CALIBRATED
    other = store_photo(
        sent(tmp_path, orientation=6, model="HQ 4"), name="b.jpg", home=tmp_path / "b", cameras=BOOK
    )
    assert other.calibration is None
