"""A real phone's photos of a printed board whose layout its author measured.

Source: github abakisita/camera_calibration, commit a57b33fc (MIT): 4 x 5 ArUco markers of
DICT_6X6_1000, 37.5 mm wide, 5.0 mm apart (the author's own measurement, verified in public text).
The sheet is visibly not flat. `phone_board_corners.csv` beside this file holds the marker corners
of four of its photos, in px, as found by `find_target`; the pictures are not kept here. The last
test reads pictures: it runs where BEADCHECK_OPEN_DATA names a folder with them in
`markers_phone/`.
"""

import csv
import os
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.photo import Lens, Photo
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.design import Marker, TargetDesign, rectangle_mm
from beadcheck.target.find import EdgeSamples, FoundMarker, FoundTarget, find_target

CORNERS = Path(__file__).with_name("phone_board_corners.csv")
OPEN_DATA = os.environ.get("BEADCHECK_OPEN_DATA")
PITCH_MM = 42.5
BOARD = TargetDesign(
    name="4 x 5 board",
    dictionary="DICT_6X6_1000",
    width_mm=175.0,
    height_mm=217.5,
    thickness_mm=0.0,
    markers=tuple(
        Marker(
            id=n,
            corners_mm=rectangle_mm(
                5.0 + PITCH_MM * (n % 4), 5.0 + PITCH_MM * (n // 4), 37.5, 37.5
            ),
        )
        for n in range(20)
    ),
)
SOLVING = tuple(n for n in range(20) if (n // 4) % 2 == 0)
LEFT_OUT_PAIRS = ((4, 7), (12, 15), (4, 12), (5, 13), (6, 14), (7, 15))
PHOTOS = ("0.jpg", "13.jpg", "26.jpg", "31.jpg")


def corners_of(name):
    with CORNERS.open(newline="") as file:
        return {
            int(row["id"]): np.array([[float(row[f"x{k}"]), float(row[f"y{k}"])] for k in range(4)])
            for row in csv.DictReader(file)
            if row["photo"] == name
        }


def target_from(corners_px):
    """The found target with six points along each straight side between the corners."""
    columns = {name: [] for name in EdgeSamples.__dataclass_fields__}
    markers = []
    share = np.linspace(0.1, 0.9, 6)[:, None]
    for number, quad in corners_px.items():
        printed = BOARD.markers[number].corners_mm
        for side in range(4):
            run = quad[(side + 1) % 4] - quad[side]
            run_mm = printed[(side + 1) % 4] - printed[side]
            columns["points_px"].append(quad[side] + share * run)
            columns["edge_mm"].append(printed[side] + share * run_mm)
            for name, along in (("normals_px", run), ("outward_mm", run_mm)):
                normal = np.array([along[1], -along[0]]) / np.hypot(*along)
                columns[name].append(np.tile(normal, (6, 1)))
            columns["u_px"].append(np.full(6, 0.04))
            columns["marker"].append(np.full(6, len(markers)))
            columns["side"].append(np.full(6, 4 * len(markers) + side))
        markers.append(FoundMarker(marker=BOARD.markers[number], corners_px=quad, clean_share=1.0))
    edges = EdgeSamples(**{name: np.concatenate(column) for name, column in columns.items()})
    return FoundTarget(design=BOARD, markers=tuple(markers), edges=edges, blur_px=0.5)


def blank():
    return Photo(file="board.jpg", pixels_bgr=np.zeros((480, 640, 3), np.uint8), lens=Lens())


@pytest.mark.parametrize("name", PHOTOS)
def test_distances_of_markers_left_out_are_those_of_the_board(name):
    """Half the markers solve; those between give distances, true to 0.25 % on this wavy sheet."""
    corners = corners_of(name)
    solving = target_from({number: corners[number] for number in SOLVING})
    surface = solve_surface(solving, blank(), Coupon(), PrintScale(ratio=1.0, u_ratio=0.0))
    for first, second in LEFT_OUT_PAIRS:
        seen = surface.to_mm(np.array([corners[n].mean(axis=0) for n in (first, second)]))
        printed = [BOARD.markers[n].corners_mm.mean(axis=0) for n in (first, second)]
        true_mm = np.hypot(*(printed[1] - printed[0]))
        assert_allclose(np.hypot(*(seen[1] - seen[0])), true_mm, rtol=0.0025)


@pytest.mark.parametrize("name", PHOTOS)
def test_the_sheet_that_is_visibly_not_flat_is_told(name):
    target = target_from(corners_of(name))
    surface = solve_surface(target, blank(), Coupon(), PrintScale(ratio=1.0, u_ratio=0.0))
    assert {warning.code for warning in surface.warnings} & {"target_bowed", "target_uneven"}
    assert surface.residual_px < 0.2


@pytest.mark.skipif(OPEN_DATA is None, reason="BEADCHECK_OPEN_DATA names no folder of photos")
@pytest.mark.parametrize("name", PHOTOS)
def test_the_kept_corners_are_found_in_the_pictures(name):
    pixels = cv2.imread(str(Path(str(OPEN_DATA)) / "markers_phone" / name))
    found = find_target(
        Photo(file=name, pixels_bgr=np.asarray(pixels, np.uint8), lens=Lens()), [BOARD]
    )
    kept = corners_of(name)
    assert {marker.marker.id for marker in found.markers} == set(kept)
    for marker in found.markers:
        assert_allclose(marker.corners_px, kept[marker.marker.id], atol=0.05)
