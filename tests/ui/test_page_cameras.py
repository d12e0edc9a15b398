"""A calibration that is stored on the computer that serves the page is offered for its camera."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from calibrated_phone import PHONE
from PIL import ExifTags, Image
from playwright.sync_api import expect

from beadcheck.camera import Camera
from beadcheck.camera.store import keep_camera

from .conftest import Visit, choose
from .scene import FOCAL_35MM_MM, PHOTO_PX, bare_pixels

CALIBRATED = replace(
    PHONE,
    name="bench phone",
    make="Harrow Quay",
    model="HQ 3",
    focal_35mm_mm=float(FOCAL_35MM_MM),
    width_px=PHOTO_PX[0],
    height_px=PHOTO_PX[1],
    calibrated_on=date(2026, 5, 3),
    camera=Camera(
        focal_px=1803.0,
        centre_px=(1199.5, 899.5),
        k1=0.001,
        k2=0.0,
        u_focal_px=5.0,
        u_centre_px=4.0,
        u_k1=0.002,
        u_k2=0.004,
    ),
)


@pytest.fixture
def cameras(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cameras"
    keep_camera(CALIBRATED, folder)
    monkeypatch.setenv("BEADCHECK_CAMERAS", str(folder))
    return folder


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    data = Image.Exif()
    data[ExifTags.Base.Make], data[ExifTags.Base.Model] = "Harrow Quay", "HQ 3"
    data.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = FOCAL_35MM_MM
    path = tmp_path / "root 2.jpg"
    Image.fromarray(np.ascontiguousarray(bare_pixels())).save(path, quality=95, exif=data)
    return path


def test_a_known_camera_is_told_its_calibration_switched_off_and_a_broken_one_not_used(
    visit: Visit, photo: Path, bare: Path, cameras: Path
) -> None:
    page = visit()
    choose(page, bare)
    expect(page.locator("#calibrated")).to_be_hidden()
    choose(page, photo)
    told = page.locator("#tray .bc-calibration")
    expect(told).to_have_text(
        "The calibration of this camera (bench phone) from 3 May 2026 is used."
    )
    page.locator("#calibrated label").click()
    expect(told).to_contain_text("is switched off")
    page.get_by_role("button", name="Remove root 2.jpg").click()
    expect(page.locator("#calibrated")).to_be_hidden()
    keep_camera(replace(CALIBRATED, name="other phone", model="HQ 4"), cameras)
    for file in cameras.glob("*.toml"):
        file.write_text("format = 7")
    choose(page, photo)
    expect(page.locator("#tray .bc-calibration")).to_have_count(0)
    expect(page.locator("#measure")).to_be_enabled()
