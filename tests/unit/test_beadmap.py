"""The map shows each surface point where the surface says the photo shows it."""

import cv2
import numpy as np
from numpy.testing import assert_allclose

from beadcheck.beadmap import Axis, bead_map
from beadcheck.coupon import Coupon
from beadcheck.photo import Lens, Photo
from beadcheck.surface import SolvedSurface, print_scale, solve_surface
from beadcheck.target.catalogue import plate_card
from beadcheck.target.find import find_target

PX_PER_MM = 9.0
TURN = np.deg2rad(17.0)


def photographed_card() -> tuple[Photo, SolvedSurface]:
    """A slanted picture of the window card, drawn by OpenCV's own warp, and its solved surface."""
    design = plate_card()
    sheet = np.full((1120, 1200), 255, np.uint8)
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, design.dictionary))
    for marker in design.markers:
        x, y = np.round(marker.corners_mm[0] * 10.0).astype(int)
        sheet[y : y + 120, x : x + 120] = cv2.aruco.generateImageMarker(dictionary, marker.id, 120)
    corners = np.array([[0, 0], [1200, 0], [1200, 1120], [0, 1120]], np.float32)
    in_mm = np.column_stack([corners / 10.0 - [61.0, 54.0], np.zeros(4)])
    focal_px = 26.0 * np.hypot(1500, 1300) / 43.27
    camera = np.array([[focal_px, 0.0, 749.5], [0.0, focal_px, 649.5], [0.0, 0.0, 1.0]])
    turned = np.array([0.21, -0.13, 0.17])
    seen, _ = cv2.projectPoints(in_mm, turned, np.array([4.0, -3.0, 130.0]), camera, np.zeros(5))
    warp = cv2.getPerspectiveTransform(corners - 0.5, seen.reshape(4, 2).astype(np.float32))
    grey = cv2.warpPerspective(
        cv2.GaussianBlur(sheet, (0, 0), 1.0), warp, (1500, 1300), borderValue=200
    )
    photo = Photo(file="card.png", pixels_bgr=cv2.merge([grey] * 3), lens=Lens())
    found = find_target(photo, (design,))
    return photo, solve_surface(found, photo, Coupon(), print_scale(design, None))


def slanted_axis() -> Axis:
    direction = (float(np.cos(TURN)), float(np.sin(TURN)))
    return Axis(origin_mm=(20.0, 31.0), direction=direction, across=(-direction[1], direction[0]))


def test_a_point_of_the_map_shows_the_photo_at_its_own_place() -> None:
    photo, surface = photographed_card()
    axis = slanted_axis()
    grid = np.stack(
        np.meshgrid(np.arange(photo.width_px), np.arange(photo.height_px)), axis=2
    ).astype(np.float32)
    # A photo whose colours are its own coordinates, to read back where the map looked.
    coded = np.dstack([grid[..., 0] / 8.0, grid[..., 1] / 8.0, grid[..., 0] * 0.0])
    coordinates = Photo(
        file="xy.png", pixels_bgr=np.clip(np.round(coded), 0, 255).astype(np.uint8), lens=Lens()
    )
    bead = bead_map(
        coordinates,
        surface,
        axis,
        s_range_mm=(0.0, 60.0),
        across_range_mm=(-8.0, 9.5),
        px_per_mm=PX_PER_MM,
    )
    rows, columns = np.array([3, 77, 140]), np.array([5, 260, 511])
    expected = surface.to_px(axis.to_surface(bead.s_mm[columns], bead.across_mm[rows]))
    found = 8.0 * bead.bgr[rows, columns, :2].astype(float)
    assert_allclose(found, expected, atol=8.0)  # one code value is eight pixels


def test_what_lies_outside_the_photo_is_marked_unseen() -> None:
    photo, surface = photographed_card()
    bead = bead_map(
        photo,
        surface,
        slanted_axis(),
        s_range_mm=(-90.0, 60.0),
        across_range_mm=(-8.0, 9.5),
        px_per_mm=PX_PER_MM,
    )
    places = bead.axis.to_surface(bead.s_mm[None, ::50], bead.across_mm[::20, None])
    pixels = surface.to_px(places)
    inside = (pixels > 1.0).all(axis=1) & (pixels < [photo.width_px - 2, photo.height_px - 2]).all(
        axis=1
    )
    outside = (pixels < -1.0).any(axis=1)
    seen = bead.seen[::20, ::50].ravel()
    assert outside.any()
    assert seen[inside].all()
    assert not seen[outside].any()


def test_along_and_across_come_back_from_the_surface() -> None:
    axis = slanted_axis()
    s, across = np.array([0.0, 12.5, 44.0]), np.array([-3.0, 0.0, 6.5])
    back = axis.to_weld(axis.to_surface(s, across))
    assert_allclose(back, np.stack([s, across], axis=1), atol=1e-9)
