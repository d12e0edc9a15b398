"""The sheet of light against OpenCV's projection, and against the accuracy study's formulas.

Pixels: `cv2.projectPoints` (opencv-python 5.0, Apache-2.0) of points on a plane whose heights are
known by construction. Formula d = h K / (1 - h / Zc) and the table of u(h): measurement study for
beadcheck, section 2.4, computed there by other hands with other code; verified by the derivation
that stands with it.
"""

import math

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.beadmap import Axis
from beadcheck.camera import Camera
from beadcheck.profiles.light_line import KnownStep
from beadcheck.profiles.light_line.scaled import Seen, sheet_by_angle, sheet_by_step, step_gain
from beadcheck.quantity import combined_standard_uncertainty
from beadcheck.surface import PrintScale, SolvedSurface
from beadcheck.surface.model import FIXED_COUNT, Model

FOCAL_PX, CENTRE_PX, K1 = 3000.0, (2015.5, 1511.5), 0.03
EXACT = Camera(
    focal_px=FOCAL_PX,
    centre_px=CENTRE_PX,
    k1=K1,
    k2=0.0,
    u_focal_px=90.0,
    u_centre_px=40.0,
    u_k1=0.03,
    u_k2=0.03,
)
AXIS = Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0))


def surface_seen_by(rotation_vector, translation, radius_mm=None):
    """Build a surface whose camera is known exactly, in OpenCV's words."""
    model = Model(
        camera=EXACT,
        rotation=cv2.Rodrigues(np.asarray(rotation_vector))[0],
        translation_mm=np.asarray(translation, dtype=np.float64),
        pivot_mm=np.zeros(2),
        thickness_mm=0.1,
        radius_mm=radius_mm,
        parts=(),
    )
    return SolvedSurface(
        model=model,
        parameters=np.zeros(FIXED_COUNT),
        covariance=np.zeros((FIXED_COUNT, FIXED_COUNT)),
        free=np.arange(0),
        residual_px=0.05,
        pattern_px=0.0,
        blur_px=1.0,
        scale=PrintScale(ratio=1.0, u_ratio=0.001),
        outlines_mm=(),
        clock_zero_mm=None,
        clock_sense=1,
    )


def projected(points, rotation_vector, translation):
    """Pixels by OpenCV of (N, 3) points: x right, y down, z into the metal."""
    matrix = np.array([[FOCAL_PX, 0, CENTRE_PX[0]], [0, FOCAL_PX, CENTRE_PX[1]], [0, 0, 1.0]])
    distortion = np.array([K1, 0.0, 0.0, 0.0])
    seen, _ = cv2.projectPoints(
        points, np.asarray(rotation_vector), np.asarray(translation), matrix, distortion
    )
    return seen.reshape(-1, 2)


def on_sheet(across_mm, height_mm, *, at_mm=3.0, turn=0.21, slant=1.13):
    """Points of the plane along = at + turn x across + slant x height."""
    along = at_mm + turn * across_mm + slant * height_mm
    return np.stack([along, across_mm, -height_mm], axis=1)


def seen_rows(base_px, top_px, *, u_base_mm=0.01, u_top_mm=0.01):
    return Seen(
        axis=AXIS,
        middle_px=base_px.mean(axis=0, keepdims=True),
        base_px=base_px,
        base_sides=np.full(len(base_px), -1),
        u_base_mm=u_base_mm,
        top_px=top_px,
        u_top_mm=u_top_mm,
        side=-1,
    )


@pytest.mark.parametrize("tilt", [(0.0, 0.0, 0.0), (0.24, -0.17, 0.4), (-0.31, 0.12, -1.9)])
def test_heights_of_points_that_opencv_projects_come_back_exactly(tilt):
    translation = (4.0, -7.0, 212.0)
    surface = surface_seen_by(tilt, translation)
    base_at = np.array([-19.0, -14.0, -9.5, 8.0, 13.0, 17.5])
    base_px = projected(on_sheet(base_at, np.zeros(6)), tilt, translation)
    top_px = projected(on_sheet(np.array([21.0, 23.5]), np.full(2, 4.7)), tilt, translation)
    across, height = np.linspace(-7.0, 7.0, 15), 2.6 - 0.06 * np.linspace(-7.0, 7.0, 15) ** 2
    seen_px = projected(on_sheet(across, height), tilt, translation)
    by_step = sheet_by_step(surface, seen_rows(base_px, top_px), 4.7).sheet
    # tan of the angle to the normal; the plane's along direction is turned by 0.21.
    slope = 1.13 / math.hypot(1.0, 0.21)
    by_angle = sheet_by_angle(surface, seen_rows(base_px, top_px[:0]), slope).sheet
    for sheet in (by_step, by_angle):
        places, heights = surface.over_surface(sheet.met(surface, seen_px))
        # OpenCV gives pixels to 1e-5 px or better; nothing else stands between.
        assert_allclose(heights, height, atol=2e-5)
        assert_allclose(places[:, 1], across, atol=2e-5)


def test_a_line_that_slants_over_a_pipe_comes_back_in_shape_and_size():
    radius_mm, tilt, translation = 57.15, (0.1, 0.06, 0.2), (2.0, -3.0, 190.0)
    surface = surface_seen_by(tilt, translation, radius_mm)
    point, normal = np.array([1.5, 0.0, 0.0]), np.array([1.0, -0.2, 0.9])

    def where_met(across, height):
        """Points of the plane at this height over the pipe, by bisection round its axis."""
        low, high = np.full(across.shape, -0.4), np.full(across.shape, 0.4)
        for _ in range(60):
            middle = 0.5 * (low + high)
            out = radius_mm + height
            space = np.stack([out * np.sin(middle), across, radius_mm - out * np.cos(middle)], 1)
            past = (space - point) @ normal > 0.0
            low, high = np.where(past, low, middle), np.where(past, middle, high)
        return space

    base_at = np.concatenate([np.linspace(-20.0, -8.0, 9), np.linspace(8.0, 20.0, 9)])
    base_px = projected(where_met(base_at, np.zeros(18)), tilt, translation)
    across = np.linspace(-6.0, 6.0, 13)
    height = 1.9 - 0.05 * across**2
    seen_px = projected(where_met(across, height), tilt, translation)
    # The sheet's angle to the metal's normal where the line's middle lies, from the plane itself.
    middle = where_met(np.array([base_at.mean()]), np.zeros(1))[0]
    out = np.array([middle[0], 0.0, middle[2] - radius_mm]) / radius_mm
    sine = abs(out @ normal) / np.linalg.norm(normal)
    slope = sine / math.sqrt(1.0 - sine**2)
    sheet = sheet_by_angle(surface, seen_rows(base_px, base_px[:0]), slope).sheet
    _, heights = surface.over_surface(sheet.met(surface, seen_px))
    # The shape is exact; the angle is taken at the middle of the rows' pixels, which perspective
    # puts 0.2 mm, or 0.2 degrees of the pipe, from the middle of the places.
    assert_allclose(heights / height, heights[6] / height[6], rtol=3e-3)
    assert_allclose(heights[6], height[6], rtol=5e-3)


@pytest.mark.parametrize("omega_deg", [0.0, 18.0])
@pytest.mark.parametrize("height_mm", [0.5, 2.0, 5.0])
def test_the_displacement_on_the_plate_is_that_of_the_studys_formula(omega_deg, height_mm):
    """d = h (tan theta + tan omega) / (1 - h / Zc) for a line square to the plane of both."""
    theta, omega, height_of_camera = math.radians(42.0), math.radians(omega_deg), 205.0
    # A camera square over the plate, off to the side: omega is the angle of the sight itself.
    surface = surface_seen_by((0.0, 0.0, 0.0), (0.0, 0.0, height_of_camera))
    at_mm = height_of_camera * math.tan(omega)
    sheet = on_sheet(
        np.zeros(1), np.full(1, height_mm), at_mm=at_mm, turn=0.0, slant=math.tan(theta)
    )
    seen = projected(sheet, (0.0, 0.0, 0.0), (0.0, 0.0, height_of_camera))
    shift_mm = surface.to_mm(seen)[0, 0] - at_mm
    factor = math.tan(theta) + math.tan(omega)
    expected_mm = height_mm * factor / (1.0 - height_mm / height_of_camera)
    assert_allclose(shift_mm, expected_mm, rtol=1e-6)
    base_px = projected(
        on_sheet(np.linspace(-9.0, 9.0, 5), np.zeros(5), at_mm=at_mm, turn=0.0),
        (0.0, 0.0, 0.0),
        (0.0, 0.0, height_of_camera),
    )
    solved = sheet_by_angle(surface, seen_rows(base_px, base_px[:0]), math.tan(theta)).sheet
    assert_allclose(solved.shift_per_height(surface), factor, rtol=1e-6)


@pytest.mark.parametrize(
    ("step_mm", "u_step_mm", "factor", "expected_um"),
    [
        (3.0, 0.03, 1.0, (32, 33, 38, 45)),
        (5.0, 0.03, 1.0, (32, 32, 34, 37)),
        (5.0, 0.001, 1.0, (31, 31, 32, 32)),
        (5.0, 0.03, 0.5, (63, 63, 64, 66)),
        (5.0, 0.03, 1.5, (21, 22, 24, 28)),
    ],
)
def test_the_gain_by_a_step_gives_the_studys_table(step_mm, u_step_mm, factor, expected_um):
    """u(h) at h = 0.3, 1, 2, 3 mm with a line centroid of 0.03 mm and a step line of 0.010 mm."""
    pose = (0.0, 0.0, 0.0), (0.0, 0.0, 200.0)
    surface = surface_seen_by(*pose)
    rows, line_mm, step_line_mm = 100, 0.03, 0.010
    shape = {"at_mm": 0.0, "turn": 0.0, "slant": factor}
    base_px = projected(on_sheet(np.linspace(-9.0, 9.0, rows), np.zeros(rows), **shape), *pose)
    top_px = projected(
        on_sheet(np.linspace(-2.0, 2.0, rows), np.full(rows, step_mm), **shape), *pose
    )
    many = step_line_mm * math.sqrt(rows)
    seen = seen_rows(base_px, top_px, u_base_mm=many, u_top_mm=many)
    step = KnownStep(thickness_mm=step_mm, u_thickness_mm=u_step_mm)
    _, gain = step_gain(surface, seen, step, on_paper=False)
    u_gain = combined_standard_uncertainty(gain)
    u_line_mm = math.hypot(line_mm, step_line_mm) / factor
    found_um = [1000.0 * math.hypot(u_line_mm, u_gain * h) for h in (0.3, 1.0, 2.0, 3.0)]
    # The table's figures are rounded to a micrometre, and its simulation is good to two.
    assert_allclose(found_um, expected_um, atol=2.5)
