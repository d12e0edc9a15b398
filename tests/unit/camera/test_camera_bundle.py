"""A camera comes out of views of a card, and its uncertainty says how well."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.camera.bundle import bundled
from beadcheck.camera.checks import spread_deg

RUNS = 24


def errors_and_u(solved, phone):
    truth = np.array([phone.focal_px, *phone.centre_px, phone.k1, phone.k2])
    found = np.array([solved.focal_px, *solved.centre_px, solved.k1, solved.k2])
    u = np.sqrt(np.diag(solved.covariance)) * [solved.focal_px, 1.0, 1.0, 1.0, 1.0]
    return found - truth, 2.0 * u


def test_without_noise_the_camera_is_found_exactly(make_phone, size_px):
    phone = make_phone(noise_px=1e-6, side_px=1e-6)
    generator = np.random.default_rng(31)
    views = [replace(v, u_px=np.full(v.u_px.size, 0.05)) for v in phone.views(generator)]
    solved = bundled(views, size_px, focal_px=2900.0)
    # Only the pull of the ink's prior is left: 0.02 mm against 0.05 mm, far below a sample's doubt.
    assert_allclose(solved.focal_px, phone.focal_px, rtol=2e-5)
    assert_allclose(solved.centre_px, phone.centre_px, atol=0.05)
    assert_allclose([solved.k1, solved.k2], [phone.k1, phone.k2], atol=1e-3)


@pytest.mark.parametrize("guess", [0.6, 1.7])
def test_a_first_guess_of_the_focal_length_far_off_does_not_matter(make_phone, size_px, guess):
    phone = make_phone()
    views = phone.views(np.random.default_rng(32))
    solved = bundled(views, size_px, focal_px=guess * phone.focal_px)
    errors, expanded = errors_and_u(solved, phone)
    assert (np.abs(errors) <= 1.5 * expanded).all()


@pytest.mark.parametrize(
    ("count", "refocus", "bow_mm"), [(5, 0.0, 0.0), (6, 0.006, 0.1), (12, 0.01, 0.1)]
)
def test_u_holds_the_truth_whatever_the_number_of_photos_and_their_focus(
    make_phone, size_px, count, refocus, bow_mm
):
    held = []
    for run in range(RUNS):
        generator = np.random.default_rng([33, count, run])
        phone = make_phone(
            k1=generator.normal(0.0, 0.04),
            k2=generator.normal(0.0, 0.05),
            refocus=refocus,
            ink_mm=generator.normal(0.0, 0.02),
            bow_mm=tuple(generator.normal(0.0, bow_mm, 2)),
        )
        solved = bundled(phone.views(generator, count), size_px, focal_px=3000.0)
        errors, expanded = errors_and_u(solved, phone)
        held.append(np.abs(errors) <= expanded)
    # 95 % of 24 runs of five figures that hang together; 88 % is three standard errors below.
    assert np.mean(held) >= 0.88


def test_refocusing_from_photo_to_photo_widens_u(make_phone, size_px):
    generator = np.random.default_rng(34)
    still = bundled(make_phone().views(generator), size_px, focal_px=3000.0)
    generator = np.random.default_rng(34)
    moving = bundled(make_phone(refocus=0.01).views(generator), size_px, focal_px=3000.0)
    assert moving.covariance[0, 0] > 4.0 * still.covariance[0, 0]


def test_stray_places_do_not_pull(make_phone, size_px):
    phone = make_phone()
    generator = np.random.default_rng(35)
    views = phone.views(generator)
    points = views[2].points_px.copy()
    points[10:16] += 9.0
    views[2] = replace(views[2], points_px=points)
    errors, expanded = errors_and_u(bundled(views, size_px, focal_px=3000.0), phone)
    assert (np.abs(errors) <= 1.5 * expanded).all()


def test_the_spread_of_directions_is_that_of_the_views(make_phone, size_px):
    phone = make_phone()
    generator = np.random.default_rng(36)
    pairs = ((8.0, 20.0), (8.0, 200.0), (4.0, 100.0), (5.0, 300.0), (6.0, 150.0))
    views = [phone.view(generator, tilt_deg=tilt, towards_deg=to) for tilt, to in pairs]
    solved = bundled(views, size_px, focal_px=3000.0)
    assert_allclose(spread_deg(solved), 16.0, atol=0.5)  # noise turns a board by 0.2 degrees


def test_views_from_one_direction_hold_no_camera_or_tell_so(make_phone, size_px):
    phone = make_phone()
    generator = np.random.default_rng(37)
    views = [phone.view(generator, tilt_deg=0.0, towards_deg=0.0) for _ in range(6)]
    solved = bundled(views, size_px, focal_px=3000.0)
    assert solved is None or spread_deg(solved) < 15.0
