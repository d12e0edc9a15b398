"""Marker geometry and pose against OpenCV's own (opencv-python 5.0, Apache-2.0; objdetect, calib).

The board is drawn by OpenCV (`GridBoard.generateImage`) and laid into the picture by OpenCV
(`warpPerspective`); ids, order of corners and the half-pixel convention are therefore OpenCV's. Its
corner refinement is biased inwards by 0.9 px in sRGB-coded pictures (our own study).
"""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.camera import seen_directions, straight_directions
from beadcheck.coupon import Coupon
from beadcheck.photo import Lens, Photo
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.catalogue import DICTIONARY, plate_card
from beadcheck.target.design import Marker, TargetDesign
from beadcheck.target.find import find_target

SIZE_PX = (1500, 1100)
FOCAL_PX = 26.0 * np.hypot(*SIZE_PX) / np.hypot(24.0, 36.0)
MATRIX = np.array([[FOCAL_PX, 0.0, 749.5], [0.0, FOCAL_PX, 549.5], [0.0, 0.0, 1.0]])
DRAWN_PX_PER_MM = 32


@pytest.fixture(scope="module", name="board")
def _board():
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    return cv2.aruco.GridBoard((5, 2), 12.0, 6.0, dictionary, np.arange(20, 30, dtype=np.int32))


@pytest.fixture(scope="module", name="pose")
def _pose():
    return np.array([0.32, -0.21, 0.15]), np.array([-46.0, -17.0, 118.0])


@pytest.fixture(scope="module", name="design")
def _design(board):
    corners = [
        np.asarray(points, np.float64).reshape(4, 3)[:, :2] for points in board.getObjPoints()
    ]
    ids = np.asarray(board.getIds()).reshape(-1)
    return TargetDesign(
        name="OpenCV's grid board",
        dictionary="DICT_4X4_50",
        width_mm=84.0,
        height_mm=30.0,
        thickness_mm=0.0,
        markers=tuple(
            Marker(id=int(number), corners_mm=points.copy())
            for number, points in zip(ids, corners, strict=True)
        ),
    )


@pytest.fixture(scope="module", name="photo")
def _photo(board, pose):
    """The board seen through a pinhole, sub-pixels averaged, blurred by 1 px in linear light."""
    margin = 3 * DRAWN_PX_PER_MM
    size = (84 * DRAWN_PX_PER_MM + 2 * margin, 30 * DRAWN_PX_PER_MM + 2 * margin)
    drawn = board.generateImage(size, marginSize=margin, borderBits=1)
    turn, _ = cv2.Rodrigues(pose[0])
    to_photo = MATRIX @ np.column_stack([turn[:, :2], pose[1]])
    # Drawn pixel (u, v) covers mm from (u - margin) / scale; its centre lies half a pixel further.
    to_mm = np.array(
        [[1.0, 0.0, 0.5 - margin], [0.0, 1.0, 0.5 - margin], [0.0, 0.0, DRAWN_PX_PER_MM]]
    )
    fine = 3
    finer = np.array([[fine, 0.0, (fine - 1) / 2], [0.0, fine, (fine - 1) / 2], [0.0, 0.0, 1.0]])
    light = np.where(drawn > 127, 0.8, 0.05).astype(np.float32)
    seen = cv2.warpPerspective(
        light, finer @ to_photo @ to_mm, (SIZE_PX[0] * fine, SIZE_PX[1] * fine), borderValue=0.3
    )
    seen = cv2.GaussianBlur(cv2.resize(seen, SIZE_PX, interpolation=cv2.INTER_AREA), (0, 0), 1.0)
    coded = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    pixels = np.repeat(np.round(255.0 * coded).astype(np.uint8)[:, :, None], 3, axis=2)
    return Photo(file="board.png", pixels_bgr=pixels, lens=Lens(focal_35mm_mm=26.0))


@pytest.fixture(scope="module", name="found")
def _found(photo, design):
    return find_target(photo, [design])


def test_ids_and_corners_agree_with_opencv_s_detector(photo, found):
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    grey = cv2.cvtColor(photo.pixels_bgr, cv2.COLOR_BGR2GRAY)
    corners, ids, _ = cv2.aruco.ArucoDetector(dictionary, parameters).detectMarkers(grey)
    theirs = {
        int(number): np.asarray(quad).reshape(4, 2)
        for number, quad in zip(np.asarray(ids).reshape(-1), corners, strict=True)
    }
    assert {marker.marker.id for marker in found.markers} == set(theirs) == set(range(20, 30))
    inwards = []
    for marker in found.markers:
        step = theirs[marker.marker.id] - marker.corners_px
        assert np.abs(step).max() < 1.5
        outward = marker.corners_px - marker.corners_px.mean(axis=0)
        outward /= np.linalg.norm(outward, axis=1, keepdims=True)
        inwards.append(-(step * outward).sum(axis=1))
    # Theirs are refined in code values, ours fitted in linear light.
    assert 0.3 < np.mean(inwards) < 1.2


def test_corners_agree_with_opencv_s_projection(found, pose):
    error = [
        marker.corners_px
        - cv2.projectPoints(
            np.column_stack([marker.marker.corners_mm, np.zeros(4)]), *pose, MATRIX, None
        )[0].reshape(4, 2)
        for marker in found.markers
    ]
    assert np.sqrt(np.mean(np.square(error))) <= 0.05
    assert_allclose(np.mean(error, axis=(0, 1)), 0.0, atol=0.02)


def test_pose_and_distances_agree_with_opencv(photo, found, pose):
    surface = solve_surface(found, photo, Coupon(), PrintScale(ratio=1.0, u_ratio=0.0))
    turn, _ = cv2.Rodrigues(pose[0])
    assert_allclose(surface.tilt_deg, np.degrees(np.arccos(turn[2, 2])), atol=0.5)
    middle = np.array([*surface.model.pivot_mm, 0.0])
    assert_allclose(surface.distance_mm, np.linalg.norm(turn @ middle + pose[1]), rtol=0.02)
    places_mm = np.random.default_rng(4).uniform((0.0, -20.0), (84.0, 50.0), size=(60, 2))
    space = np.column_stack([places_mm, np.zeros(60)])
    places_px = cv2.projectPoints(space, *pose, MATRIX, None)[0].reshape(-1, 2)
    assert_allclose(surface.to_px(places_mm), places_px, atol=0.3)
    assert_allclose(surface.to_mm(places_px), places_mm, atol=0.03)


def test_pose_from_our_corners_by_opencv_s_solver_is_the_true_pose(found, pose):
    printed = np.concatenate([marker.marker.corners_mm for marker in found.markers])
    seen = np.concatenate([marker.corners_px for marker in found.markers])
    space = np.column_stack([printed, np.zeros(len(printed))])
    ok, turn, shift = cv2.solvePnP(space, seen, MATRIX, None, flags=cv2.SOLVEPNP_IPPE)
    assert ok
    assert_allclose(turn.reshape(3), pose[0], atol=1e-3)
    assert_allclose(shift.reshape(3), pose[1], rtol=1e-3)


def test_distortion_is_opencv_s():
    generator = np.random.default_rng(9)
    straight = generator.uniform(-0.7, 0.7, size=(200, 2))
    coefficients = np.array([0.11, -0.07, 0.0, 0.0])
    space = np.column_stack([straight, np.ones(200)])
    seen = cv2.projectPoints(space, np.zeros(3), np.zeros(3), np.eye(3), coefficients)[0]
    assert_allclose(seen_directions(straight, 0.11, -0.07), seen.reshape(-1, 2), atol=1e-12)
    assert_allclose(straight_directions(seen.reshape(-1, 2), 0.11, -0.07), straight, atol=1e-9)


def test_markers_of_our_card_carry_the_ids_that_opencv_reads():
    design = plate_card()
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    scale = 8
    picture = np.full((int(design.height_mm * scale), int(design.width_mm * scale)), 255, np.uint8)
    for marker in design.markers:
        (left, top), (right, bottom) = (marker.corners_mm[[0, 2]] * scale).astype(int)
        picture[top:bottom, left:right] = dictionary.generateImageMarker(marker.id, right - left)
    corners, ids, _ = cv2.aruco.ArucoDetector(dictionary).detectMarkers(picture)
    theirs = dict(zip(np.asarray(ids).reshape(-1).tolist(), corners, strict=True))
    assert set(theirs) == {marker.id for marker in design.markers}
    for marker in design.markers:
        seen_mm = (np.asarray(theirs[marker.id]).reshape(4, 2) + 0.5) / scale
        assert_allclose(seen_mm, marker.corners_mm, atol=1.2 / scale)
