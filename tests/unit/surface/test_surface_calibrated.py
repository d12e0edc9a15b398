"""A stored calibration narrows what a surface is known to, unless the photo contradicts it."""

from dataclasses import replace

import numpy as np
import pytest
from calibrated_phone import PHONE

from beadcheck.camera import Camera, CameraBook
from beadcheck.surface import PrintScale, solve_surface

TRUE_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
SHARED = {"print scale of the target", "paper in damp or dry air"}


def book_for(scene, *, focal_error=0.0, k1_error=0.0) -> CameraBook:
    """A calibration of the scene's own camera, or one that errs."""
    width_px, height_px = scene.size_px
    camera = Camera(
        focal_px=scene.focal_px * (1.0 + focal_error),
        centre_px=tuple(scene.centre_px),
        k1=scene.k1 + k1_error,
        k2=scene.k2,
        u_focal_px=0.003 * scene.focal_px,
        u_centre_px=3.0,
        u_k1=0.003,
        u_k2=0.01,
    )
    stored = replace(
        PHONE,
        focal_35mm_mm=scene.lens.focal_35mm_mm,
        width_px=width_px,
        height_px=height_px,
        camera=camera,
    )
    return CameraBook(cameras=(stored,))


def named_photo(scene):
    photo = scene.dark_photo
    return replace(photo, lens=replace(photo.lens, make="Quay", model="Nine"))


def solved(scene, found, book):
    return solve_surface(found, named_photo(scene), scene.coupon, TRUE_PRINT, cameras=book)


def along_the_weld(scene):
    x, y = scene.middle_mm
    return np.array([[x - 30.0, y + 14.0]]), np.array([[x + 30.0, y + 14.0]])


def own_u_mm(surface, ends) -> float:
    budget = surface.distance_components(*ends)
    return float(np.sqrt(sum(c.standard_uncertainty**2 for c in budget if c.source not in SHARED)))


@pytest.mark.parametrize("seed", range(4))
def test_pose_distance_and_scale_are_known_better_with_it(make_scene, five_in_a_row, seed):
    scene = make_scene(
        design=five_in_a_row(), tilt_deg=9.0 + 4.0 * seed, tilt_towards_deg=70.0 * seed
    )
    found = scene.found(np.random.default_rng([51, seed]))
    without, with_it = solved(scene, found, CameraBook()), solved(scene, found, book_for(scene))
    assert (without.calibration, with_it.calibration) == (None, "bench, 2026-05-17")
    ends = along_the_weld(scene)
    true_mm = 60.0
    for surface in (without, with_it):
        seen_mm = surface.to_mm(scene.metal_px(np.concatenate(ends)))
        error_mm = np.linalg.norm(seen_mm[1] - seen_mm[0]) - true_mm
        assert abs(error_mm) <= 2.0 * own_u_mm(surface, ends)
    eyes = [one_sigma_eye_mm(surface) for surface in (without, with_it)]
    assert eyes[1] < 0.7 * eyes[0]


def one_sigma_eye_mm(surface) -> float:
    """How well the lens's place over the metal is known: what every height hangs on."""
    moves = [other.eye_mm - surface.eye_mm for other in surface.one_sigma()]
    return float(np.sqrt((np.array(moves) ** 2).sum()))


@pytest.mark.parametrize("wrong", [{"focal_error": 0.3}, {"k1_error": 0.12}])
def test_one_that_the_photo_contradicts_is_not_used_and_that_is_said(
    make_scene, five_in_a_row, wrong
):
    scene = make_scene(design=five_in_a_row(), tilt_deg=24.0)
    found = scene.found(np.random.default_rng(52))
    surface = solved(scene, found, book_for(scene, **wrong))
    assert surface.calibration is None
    (warning,) = [each for each in surface.warnings if each.code == "camera_not_fitting"]
    assert "bench, 2026-05-17" in warning.message
    usual = solved(scene, found, CameraBook())
    np.testing.assert_array_equal(surface.parameters, usual.parameters)
