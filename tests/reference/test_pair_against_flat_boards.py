"""A pair of real photographs of a flat board: it must come out flat within its uncertainty.

Sources: github abakisita/camera_calibration, commit a57b33fc (MIT): photos of 4 x 5 ArUco markers
of DICT_6X6_1000, 37.5 mm wide, 5.0 mm apart, by a phone (the author's own measurement, verified in
public text; the sheet is visibly not flat); and OpenCV, samples/data/left01.jpg to right14.jpg
(Apache-2.0): photos of a chessboard of 25 mm squares (verified in public text). The pictures are
not kept here: the tests run where BEADCHECK_OPEN_DATA names a folder with them in `markers_phone/`
and `chessboard/`.

A photo knows no size: both boards are measured as if they were a sixth of it, so that their
pictures of 640 x 480 px have the scale, 7 to 12 px/mm, that a weld's photo has. Markers, or
squares, along two sides serve as the target; what is printed between them as the metal. At its
own size, 2 px/mm, the sheet of markers must be refused.
"""

import os
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
import pytest

from beadcheck.camera.chessboard import Chessboard
from beadcheck.coupon import Coupon
from beadcheck.errors.profile_pair import TooCoarseForHeightsError
from beadcheck.photo import Lens, Photo
from beadcheck.profiles.pair import PairView, band_along_target, pair_heights, sections
from beadcheck.quantity import COVERAGE_FACTOR, combined_standard_uncertainty
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.design import Marker, Patch, TargetDesign, rectangle_mm
from beadcheck.target.find import EdgeSamples, FoundMarker, FoundTarget, find_target

OPEN_DATA = os.environ.get("BEADCHECK_OPEN_DATA")
pytestmark = pytest.mark.skipif(
    OPEN_DATA is None, reason="BEADCHECK_OPEN_DATA names no folder of photos"
)
SIXTH = 1.0 / 6.0
MARKER_MM, GAP_MM, SQUARE_MM = 37.5, 5.0, 25.0
PITCH_MM = MARKER_MM + GAP_MM
END_ROWS = tuple(range(4)), tuple(range(16, 20))
"""Markers of the board's first and last row."""
SQUARES = (8, 5)
PHONE_PAIRS = (("18", "22"), ("31", "32"), ("17", "36"), ("23", "28"), ("12", "16"))
CHESS_PAIRS = (
    ("left04", "left12"),
    ("right06", "right07"),
    ("left01", "left08"),
    ("left02", "left05"),
    ("right11", "right14"),
)
"""The photos that look most nearly 16 degrees apart, each photo once."""
U_CORNER_PX = 0.06


def board_of(markers, size_mm, row_mm):
    """A target of two rows of markers at both ends of a board, its paper under these rows alone."""
    width_mm, height_mm = size_mm
    ends = (0.0, height_mm - row_mm)
    return TargetDesign(
        name="board",
        dictionary="DICT_6X6_1000",
        width_mm=width_mm,
        height_mm=height_mm,
        thickness_mm=0.0,
        markers=tuple(markers),
        paper=tuple(Patch(corners_mm=rectangle_mm(0.0, at_mm, width_mm, row_mm)) for at_mm in ends),
    )


def sheet_of_markers(share):
    """The phone's board, made smaller by a share."""
    gap_mm, pitch_mm, marker_mm = share * GAP_MM, share * PITCH_MM, share * MARKER_MM
    markers = (
        Marker(
            id=n,
            corners_mm=rectangle_mm(
                gap_mm + pitch_mm * (n % 4), gap_mm + pitch_mm * (n // 4), marker_mm, marker_mm
            ),
        )
        for row in END_ROWS
        for n in row
    )
    return board_of(markers, (gap_mm + 4 * pitch_mm, gap_mm + 5 * pitch_mm), pitch_mm)


def chessboard(share):
    """The chessboard's squares between inner corners, made smaller by a share."""
    square_mm, (columns, rows) = share * SQUARE_MM, SQUARES
    markers = (
        Marker(
            id=columns * row + column,
            corners_mm=rectangle_mm(square_mm * column, square_mm * row, square_mm, square_mm),
        )
        for row in (0, rows - 1)
        for column in range(columns)
    )
    return board_of(markers, (square_mm * columns, square_mm * rows), square_mm)


def photo_of(name):
    pixels = cv2.imread(str(Path(str(OPEN_DATA)) / name))
    return Photo(file=name, pixels_bgr=np.asarray(pixels, np.uint8), lens=Lens())


def markers_in(photo, share):
    return find_target(photo, [sheet_of_markers(share)])


def squares_in(photo, share):
    """The chessboard's squares as markers: six points along each side between the corners."""
    design = chessboard(share)
    view = Chessboard(columns=SQUARES[0] + 1, rows=SQUARES[1] + 1, square_mm=1.0).view(photo)
    at = {
        (round(column), round(row)): corner_px
        for (column, row), corner_px in zip(view.start_mm, view.start_px, strict=True)
    }
    columns = {name: [] for name in EdgeSamples.__dataclass_fields__}
    found = []
    share = np.linspace(0.1, 0.9, 6)[:, None]
    for place, marker in enumerate(design.markers):
        row, column = divmod(marker.id, SQUARES[0])
        around = ((0, 0), (1, 0), (1, 1), (0, 1))
        quad = np.array([at[column + right, row + down] for right, down in around])
        closed = pairwise([*zip(quad, marker.corners_mm, strict=True)] * 2)
        for side, ((start, start_mm), (end, end_mm)) in zip(range(4), closed, strict=False):
            run, run_mm = end - start, end_mm - start_mm
            columns["points_px"].append(start + share * run)
            columns["edge_mm"].append(start_mm + share * run_mm)
            for name, along in (("normals_px", run), ("outward_mm", run_mm)):
                normal = np.array([along[1], -along[0]]) / np.hypot(*along)
                columns[name].append(np.tile(normal, (6, 1)))
            columns["u_px"].append(np.full(6, U_CORNER_PX))
            columns["marker"].append(np.full(6, place))
            columns["side"].append(np.full(6, 4 * place + side))
        found.append(FoundMarker(marker=marker, corners_px=quad, clean_share=1.0))
    edges = EdgeSamples(**{name: np.concatenate(column) for name, column in columns.items()})
    return FoundTarget(design=design, markers=tuple(found), edges=edges, blur_px=0.7)


def height_map_of(find, folder, names, share):
    """Heights of a pair of photos, in mm of the board as made smaller."""
    views = []
    for name in names:
        photo = photo_of(f"{folder}/{name}.jpg")
        found = find(photo, share)
        surface = solve_surface(found, photo, Coupon(), PrintScale(ratio=1.0, u_ratio=0.0))
        views.append(PairView(photo=photo, found=found, surface=surface))
    band = band_along_target(views[0].photo, views[0].surface)
    return pair_heights(views, coupon=Coupon(), weld=band)


def heights_and_expanded(find, folder, names):
    """Every height of a pair of photos, and its U."""
    profiles = sections(height_map_of(find, folder, names, SIXTH))
    form = combined_standard_uncertainty(profiles[0].form_budget)
    height = np.concatenate([profile.height_mm for profile in profiles])
    u_mm = np.concatenate([profile.u_height_mm for profile in profiles])
    known = np.isfinite(height)
    return height[known], COVERAGE_FACTOR * np.hypot(u_mm[known], form)


@pytest.mark.parametrize(
    ("find", "folder", "pairs"),
    [(markers_in, "markers_phone", PHONE_PAIRS), (squares_in, "chessboard", CHESS_PAIRS)],
    ids=["sheet of markers", "chessboard"],
)
def test_a_flat_board_measures_flat(find, folder, pairs):
    told = [heights_and_expanded(find, folder, pair) for pair in pairs]
    height, expanded = (np.concatenate(each) for each in zip(*told, strict=True))
    assert len(height) > 300 * len(pairs)
    assert (np.abs(height) <= expanded).mean() >= 0.95
    assert np.median(expanded) < 0.3  # no agreement by modesty


def test_photos_from_too_far_off_are_refused_with_the_scale_they_need():
    with pytest.raises(TooCoarseForHeightsError, match="at least 5 are needed"):
        height_map_of(markers_in, "markers_phone", PHONE_PAIRS[0], 1.0)
