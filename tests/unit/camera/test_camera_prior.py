"""A stored calibration is used for its own camera only, at any size and any way up."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from calibrated_phone import PHONE
from numpy.testing import assert_allclose

from beadcheck.camera import CameraBook, camera_of
from beadcheck.camera.prior import U_RECENTRED_OF_DIAGONAL, U_REFOCUSED
from beadcheck.photo import Lens, Photo

BOOK = CameraBook(cameras=(PHONE,))


def photo_of(width, height, **lens):
    named = {"focal_35mm_mm": 26.0, "make": "Quay", "model": "Nine", **lens}
    pixels = np.zeros((height, width, 3), np.uint8)
    return Photo(file="weld.jpg", pixels_bgr=pixels, lens=Lens(**named))


def test_the_camera_of_a_photo_as_it_was_calibrated_has_the_stored_figures():
    camera = camera_of(photo_of(4032, 3024), BOOK)
    assert camera.calibration == "bench, 2026-05-17"
    assert (camera.focal_px, camera.centre_px, camera.k1) == (3100.0, (2040.0, 1500.0), 0.03)
    # Both parts of the doubt: the calibration's own, and refocusing.
    assert_allclose(camera.u_focal_px, np.hypot(9.0, U_REFOCUSED * 3100.0))
    assert_allclose(camera.u_centre_px, np.hypot(3.0, U_RECENTRED_OF_DIAGONAL * 5040.0))


def test_it_is_narrower_than_what_is_known_of_any_phone():
    photo = photo_of(4032, 3024)
    stored, usual = camera_of(photo, BOOK), camera_of(photo)
    assert usual.calibration is None
    assert 3.0 * stored.u_focal_px < usual.u_focal_px
    assert 3.0 * stored.u_centre_px < usual.u_centre_px
    assert 5.0 * stored.u_k1 < usual.u_k1
    assert 5.0 * stored.u_k2 < usual.u_k2


def test_a_smaller_copy_has_the_figures_in_proportion():
    camera = camera_of(photo_of(2016, 1512), BOOK)
    assert_allclose(camera.focal_px, 1550.0)
    # Pixel centres are whole numbers: half of 2040.5 and 1500.5, less a half.
    assert_allclose(camera.centre_px, (1019.75, 749.75))
    assert camera.k1 == 0.03


@pytest.mark.parametrize(
    ("turns", "size", "centre"),
    [
        (1, (3024, 4032), (3023.0 - 1500.0, 2040.0)),
        (2, (4032, 3024), (4031.0 - 2040.0, 3023.0 - 1500.0)),
        (3, (3024, 4032), (1500.0, 4031.0 - 2040.0)),
    ],
)
def test_the_centre_turns_with_the_phone(turns, size, centre):
    camera = camera_of(photo_of(*size, quarter_turns=turns), BOOK)
    assert_allclose(camera.centre_px, centre)


@pytest.mark.parametrize(("turns", "size"), [(0, (3024, 4032)), (None, (4032, 3024))])
def test_where_the_turn_is_not_known_the_centre_is_the_middle_and_less_sure(turns, size):
    camera = camera_of(photo_of(*size, quarter_turns=turns), BOOK)
    assert_allclose(camera.centre_px, (0.5 * (size[0] - 1), 0.5 * (size[1] - 1)))
    known = camera_of(photo_of(4032, 3024), BOOK)
    off_px = np.hypot(2040.0 - 2015.5, 1500.0 - 1511.5)
    assert_allclose(camera.u_centre_px, np.hypot(known.u_centre_px, off_px / np.sqrt(2.0)))


@pytest.mark.parametrize(
    ("size", "lens"),
    [
        ((4032, 3024), {"make": "Other"}),
        ((4032, 3024), {"model": "Ten"}),
        ((4032, 3024), {"make": None, "model": None}),
        ((4032, 3024), {"focal_35mm_mm": 13.0}),
        ((4032, 3024), {"focal_35mm_mm": 52.0}),
        ((4032, 3024), {"focal_35mm_mm": None}),
        ((4032, 2268), {}),
        ((3024, 3024), {}),
    ],
)
def test_another_camera_lens_zoom_or_crop_does_not_match(size, lens):
    photo = photo_of(*size, **lens)
    assert BOOK.matching(photo) is None
    assert camera_of(photo, BOOK) == camera_of(photo)


def test_of_two_calibrations_of_one_camera_the_later_counts():
    later = replace(PHONE, name="again", calibrated_on=date(2026, 8, 1))
    photo = photo_of(4032, 3024)
    for cameras in ((PHONE, later), (later, PHONE)):
        assert CameraBook(cameras=cameras).matching(photo) is later


def test_a_camera_that_its_photos_do_not_name_matches_nothing():
    nameless = replace(PHONE, make=None, model=None)
    photo = photo_of(4032, 3024, make=None, model=None)
    assert CameraBook(cameras=(nameless,)).matching(photo) is None
