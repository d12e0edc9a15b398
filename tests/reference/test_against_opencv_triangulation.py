"""Points in space from two photos, against OpenCV's `triangulatePoints` (verified: it is run)."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.camera import Camera
from beadcheck.profiles.pair.triangulate import meeting_points
from beadcheck.surface import PrintScale, SolvedSurface
from beadcheck.surface.model import Model

FOCAL_PX, CENTRE_PX = 1450.0, (811.0, 587.0)
CAMERA = Camera(
    focal_px=FOCAL_PX,
    centre_px=CENTRE_PX,
    k1=0.0,
    k2=0.0,
    u_focal_px=10.0,
    u_centre_px=10.0,
    u_k1=0.01,
    u_k2=0.01,
)


def surface_of(turn, shift):
    rotation, _ = cv2.Rodrigues(np.array(turn))
    model = Model(
        camera=CAMERA,
        rotation=rotation,
        translation_mm=np.array(shift),
        pivot_mm=np.array([3.0, -2.0]),
        thickness_mm=0.0,
        radius_mm=None,
        parts=(),
    )
    count = model.parameter_count
    return SolvedSurface(
        model=model,
        parameters=np.zeros(count),
        covariance=np.zeros((count, count)),
        free=np.arange(3),
        residual_px=0.1,
        pattern_px=0.0,
        blur_px=1.0,
        scale=PrintScale(ratio=1.0, u_ratio=0.005),
        outlines_mm=(),
        clock_zero_mm=None,
        clock_sense=1,
    )


@pytest.fixture
def surfaces():
    return surface_of([0.11, -0.05, 0.3], [4.0, 2.0, 190.0]), surface_of(
        [-0.12, 0.08, 0.22], [-3.0, 5.0, 205.0]
    )


def test_points_agree_with_opencv(surfaces):
    generator = np.random.default_rng(12)
    space = generator.uniform([-40, -30, -5], [40, 30, 1], size=(50, 3))
    pixels = [surface.seen_at_px(space) for surface in surfaces]
    inner = np.array([[FOCAL_PX, 0, CENTRE_PX[0]], [0, FOCAL_PX, CENTRE_PX[1]], [0, 0, 1]])
    matrices = [
        inner @ np.column_stack([each.model.rotation, each.model.translation_mm])
        for each in surfaces
    ]
    theirs = cv2.triangulatePoints(*matrices, *(points.T for points in pixels))
    theirs = (theirs[:3] / theirs[3]).T
    # Without noise both meet at one point, to rounding.
    assert_allclose(meeting_points(surfaces, pixels), theirs, atol=1e-6)
    assert_allclose(theirs, space, atol=1e-6)


def test_noisy_points_scatter_no_more_than_opencvs(surfaces):
    generator = np.random.default_rng(13)
    space = generator.uniform([-40, -30, -5], [40, 30, 1], size=(400, 3))
    noise = generator.normal(0.0, 0.2, (2, 400, 2))
    pixels = [each.seen_at_px(space) + off for each, off in zip(surfaces, noise, strict=True)]
    inner = np.array([[FOCAL_PX, 0, CENTRE_PX[0]], [0, FOCAL_PX, CENTRE_PX[1]], [0, 0, 1]])
    matrices = [
        inner @ np.column_stack([each.model.rotation, each.model.translation_mm])
        for each in surfaces
    ]
    theirs = cv2.triangulatePoints(*matrices, *(points.T for points in pixels))
    scatter = (theirs[:3] / theirs[3]).T - space
    ours = meeting_points(surfaces, pixels) - space
    # OpenCV minimises an algebraic error, we a distance in space: alike to a few percent.
    assert ours[:, 2].std() < 1.05 * scatter[:, 2].std()
