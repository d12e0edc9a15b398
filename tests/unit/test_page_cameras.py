"""A photo keeps its sensor's frame in the page's hands, so that a stored calibration fits it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from calibrated_phone import PHONE
from PIL import ExifTags, Image

from beadcheck.camera.book import CameraBook
from beadcheck.photo import read_photo
from beadcheck_page.intake import photo_key, store_photo

SIZE_PX = (640, 420)
CALIBRATED = replace(
    PHONE,
    name="bench phone",
    make="Harrow Quay",
    model="HQ 3",
    width_px=2 * SIZE_PX[0],
    height_px=2 * SIZE_PX[1],
    camera=replace(PHONE.camera, focal_px=980.0, centre_px=(643.0, 417.0)),
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
