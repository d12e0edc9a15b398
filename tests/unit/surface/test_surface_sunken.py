"""What lies in a groove: places, widths and hidden toes at a depth, against drawn geometry.

The scene's own pinhole and cylinder (`conftest.Scene`) make the pixels, nothing of the library.
"""

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Shape
from beadcheck.quantity import combined_standard_uncertainty
from beadcheck.surface import PrintScale, of_bare_metal, solve_surface, sunken
from beadcheck.target.catalogue import pipe_strip

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
U_APART_MM = 0.7 / math.sqrt(3.0)


def below(scene, surface_mm, depth_mm):
    """Space points under places of the surface."""
    x, y = (np.asarray(surface_mm, float) - scene.middle_mm).T
    return scene._wrapped(x, y, -np.broadcast_to(depth_mm, x.shape))


def solved(scene, generator):
    coupon = (
        Coupon()
        if scene.radius_mm is None
        else Coupon(shape=Shape.PIPE, outside_diameter_mm=2.0 * scene.radius_mm)
    )
    return solve_surface(scene.found(generator), scene.dark_photo, coupon, EXACT_PRINT)


def a_plate(make_scene, five_in_a_row, **view):
    return make_scene(design=five_in_a_row(), **view)


def a_pipe(make_scene, **view):
    design = pipe_strip(219.1)
    look_at = (14.0 + np.pi * 219.1 / 6.0, 12.0)
    return make_scene(design=design, radius_mm=109.55, look_at_mm=look_at, **view)


def toes_mm(scene, width_mm):
    """Left and right toes of a pass beside the target, along it, 1 mm apart."""
    along = scene.middle_mm[0] + np.arange(-20.0, 21.0)
    middle = scene.design.height_mm + 14.0
    return (
        np.column_stack([along, np.full(41, middle + side * width_mm / 2)]) for side in (-1.0, 1.0)
    )


@pytest.mark.parametrize("shape", ["plate", "pipe"])
def test_a_pass_at_a_known_depth_is_as_wide_as_it_is_and_lies_where_it_does(
    make_scene, five_in_a_row, shape
):
    generator = np.random.default_rng(31)
    view = {"tilt_deg": 20.0, "tilt_towards_deg": 70.0}
    scene = (
        a_pipe(make_scene, **view)
        if shape == "pipe"
        else a_plate(make_scene, five_in_a_row, **view)
    )
    surface = solved(scene, generator)
    left, right = toes_mm(scene, 6.0)
    pixels = [scene.project(below(scene, toe, 9.0)) for toe in (left, right)]
    at_depth = sunken(surface, below_mm=9.0, u_below_mm=0.5, u_apart_mm=U_APART_MM)
    seen = [at_depth.to_mm(points) for points in pixels]
    # The solve itself is good to some hundredths of a mm a few cm beside a strip.
    assert_allclose(seen[1] - seen[0], right - left, atol=0.03)
    assert_allclose(seen[0], left, atol=0.12)
    assert_allclose(at_depth.to_px(seen[0]), pixels[0], atol=1e-5)
    # On the surface it would seem some percent too narrow, and millimetres aside.
    flat = [surface.to_mm(points) for points in pixels]
    assert 0.05 < 6.0 - np.hypot(*(flat[1] - flat[0]).T).mean() < 0.6
    assert np.hypot(*(flat[0] - left).T).mean() > 1.5
    assert_allclose(of_bare_metal(at_depth).to_mm(pixels[0]), flat[0])


@pytest.mark.parametrize("shape", ["plate", "pipe"])
def test_u_covers_depths_that_are_off_and_passes_that_lean(make_scene, five_in_a_row, shape):
    generator = np.random.default_rng(32 if shape == "plate" else 33)
    off = []
    for _ in range(30):
        view = {
            "tilt_deg": generator.uniform(0.0, 20.0),
            "tilt_towards_deg": generator.uniform(0.0, 360.0),
            "roll_deg": generator.uniform(-20.0, 20.0),
            "px_per_mm": generator.uniform(11.0, 18.0),
        }
        scene = (
            a_pipe(make_scene, **view)
            if shape == "pipe"
            else a_plate(make_scene, five_in_a_row, **view)
        )
        surface = solved(scene, generator)
        width_mm, depth_mm = generator.uniform(3.0, 12.0), generator.uniform(2.0, 12.0)
        u_mm = generator.uniform(0.3, 2.5)
        left, right = toes_mm(scene, width_mm)
        lean = generator.uniform(-0.7, 0.7)
        pixels = [
            scene.project(below(scene, toe, depth_mm + share * lean))
            for toe, share in ((left, 0.5), (right, -0.5))
        ]
        taken_mm = max(0.0, depth_mm + u_mm * generator.normal())
        at_depth = sunken(surface, below_mm=taken_mm, u_below_mm=u_mm, u_apart_mm=U_APART_MM)
        seen = [at_depth.to_mm(points) for points in pixels]
        u = combined_standard_uncertainty(at_depth.distance_components(*seen))
        off.append((np.hypot(*(seen[1] - seen[0]).T).mean() - width_mm) / u)
    # 95 % of 30, less two standard deviations of such a count; and no U too wide to say anything.
    assert np.count_nonzero(np.abs(off) <= 2.0) >= 27
    assert 0.4 < np.sqrt(np.mean(np.square(off))) < 1.2


def test_the_lean_of_the_view_is_that_of_the_camera(make_scene, five_in_a_row):
    scene = a_plate(make_scene, five_in_a_row, tilt_deg=17.0, tilt_towards_deg=90.0)
    surface = solved(scene, np.random.default_rng(34))
    at_depth = sunken(surface, below_mm=8.0, u_below_mm=0.5, u_apart_mm=U_APART_MM)
    place = scene.middle_mm[None] + [[7.0, 25.0]]
    point = below(scene, place, 8.0)[0]
    eye = -scene.rotation.T @ scene.translation
    sight = (eye - point) / -(eye - point)[2]
    for k, way in enumerate(([1.0, 0.0], [0.0, 1.0])):
        found = at_depth.toward(place, np.array(way))
        assert_allclose(found, sight[k], atol=0.01)


def test_paper_is_where_it_hides_what_lies_deeper(make_scene, five_in_a_row):
    scene = a_plate(make_scene, five_in_a_row, tilt_deg=18.0, tilt_towards_deg=80.0)
    surface = solved(scene, np.random.default_rng(35))
    at_depth = sunken(surface, below_mm=8.0, u_below_mm=0.5, u_apart_mm=U_APART_MM)
    (paper,), (hidden,) = surface.target_outline_mm(), at_depth.target_outline_mm()
    assert_allclose(at_depth.to_px(hidden), surface.to_px(paper), atol=1e-5)
    assert np.hypot(*(hidden - paper).T).max() > 1.0
