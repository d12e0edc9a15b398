"""Photos that cannot calibrate a camera are refused or left out, each with its own sentence."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import ExifTags, Image

from beadcheck.camera.calibrate import calibrate
from beadcheck.camera.chessboard import Chessboard
from beadcheck.camera.view import BoardView
from beadcheck.errors.camera import (
    BoardMovedError,
    BoardUnevenError,
    CameraUnclearError,
    ChessboardNotFoundError,
    MixedCamerasError,
    OtherBoardError,
    TooFewCameraPhotosError,
    ViewsTooAlikeError,
)
from beadcheck.errors.photo import PhotoMissingError
from beadcheck.photo import Lens, Photo

DAY = date(2026, 5, 17)
SIZE_PX = (504, 378)
SHRUNK = SIZE_PX[0] / 4032
"""The photos stand for larger ones: files of 12 megapixels would only take time."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A board that each photo of this list shows as said: view or refusal, by file."""

    shows: dict

    def view(self, photo):
        shown = self.shows[photo.file]
        if isinstance(shown, Exception):
            raise shown
        return shown


def shrunk(view: BoardView) -> BoardView:
    """The view in a picture of an eighth of the size; its errors shrink along."""
    smaller = {
        name: (getattr(view, name) + 0.5) * SHRUNK - 0.5 for name in ("points_px", "start_px")
    }
    return replace(view, u_px=view.u_px * SHRUNK, **smaller)


@pytest.fixture(name="photos")
def _photos(tmp_path, make_phone):
    """Write eight small files of one camera, and say what each shows."""
    views = make_phone(noise_px=0.2, side_px=0.3).views(np.random.default_rng(41))
    shows = {}
    for number, view in enumerate(views):
        path = tmp_path / f"{number}.jpg"
        write(path)
        shows[path.name] = shrunk(view)
    return sorted(tmp_path.iterdir()), shows


def write(path: Path, size=SIZE_PX, *, make="Quay", focal=26) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = make, "Nine"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = focal
    Image.new("RGB", size, (90, 120, 80)).save(path, exif=exif)


def calibrated(paths: Sequence[Path], shows: dict, **options):
    return calibrate(paths, Shown(shows=shows), on=DAY, **options)


def test_the_camera_is_found_and_called_by_make_model_and_lens(photos, make_phone):
    done = calibrated(*photos)
    camera = done.camera
    assert (camera.name, camera.photo_count) == ("Quay Nine 26 mm", 8)
    assert (camera.width_px, camera.height_px, camera.calibrated_on) == (*SIZE_PX, DAY)
    truth_px = make_phone().focal_px * SHRUNK
    assert abs(camera.camera.focal_px - truth_px) <= 2.0 * camera.camera.u_focal_px
    assert all(view.refusal is None for view in done.views)
    assert_allclose(camera.residual_px, 0.36 * SHRUNK, rtol=0.3)
    assert done.spread_deg > 30.0


def test_photos_that_do_not_show_the_board_are_left_out_and_reported(photos):
    paths, shows = photos
    shows["1.jpg"] = ChessboardNotFoundError(9, 6)
    missing = paths[0].with_name("8.jpg")
    done = calibrated([*paths, missing], shows, name="bench")
    assert (done.camera.name, done.camera.photo_count) == ("bench", 7)
    refusals = {view.file: type(view.refusal) for view in done.views if view.refusal}
    assert refusals == {"1.jpg": ChessboardNotFoundError, "8.jpg": PhotoMissingError}
    assert [view.file for view in done.views] == [path.name for path in [*paths, missing]]


def test_a_photo_whose_board_moved_is_left_out(photos):
    paths, shows = photos
    view = shows["3.jpg"]
    bent = view.points_px + 0.02 * np.abs(view.points_px - 250.0) * [1.0, 0.0]
    shows["3.jpg"] = replace(view, points_px=bent)
    done = calibrated(paths, shows)
    (left_out,) = [view for view in done.views if view.refusal is not None]
    assert left_out.file == "3.jpg"
    assert isinstance(left_out.refusal, BoardMovedError)


def test_a_photo_of_another_board_is_left_out(photos):
    paths, shows = photos
    shows["5.jpg"] = replace(shows["5.jpg"], board="another card")
    done = calibrated(paths, shows)
    (left_out,) = [view for view in done.views if view.refusal is not None]
    assert isinstance(left_out.refusal, OtherBoardError)


def test_fewer_than_five_photos_are_refused(photos):
    paths, shows = photos
    with pytest.raises(TooFewCameraPhotosError, match="There are 4 photos only; 5 are needed"):
        calibrated(paths[:4], shows)
    shows |= dict.fromkeys(["0.jpg", "1.jpg", "2.jpg", "3.jpg"], ChessboardNotFoundError(9, 6))
    with pytest.raises(TooFewCameraPhotosError, match=r"Only 4 of 8.*No chessboard of 9 by 6"):
        calibrated(paths, shows)


@pytest.mark.parametrize(
    ("size", "options"), [(SIZE_PX, {"make": "Other"}), (SIZE_PX, {"focal": 13}), ((756, 567), {})]
)
def test_photos_of_different_cameras_lenses_or_sizes_are_refused(photos, size, options):
    paths, shows = photos
    write(paths[6], size, **options)
    with pytest.raises(MixedCamerasError, match=r"0\.jpg by Quay Nine at 26 mm.*6\.jpg by"):
        calibrated(paths, shows)


def test_photos_from_nearly_one_direction_are_refused(photos, make_phone):
    paths, shows = photos
    generator, phone = np.random.default_rng(42), make_phone()
    for number, name in enumerate(shows):
        view = phone.view(generator, tilt_deg=18.0 + 0.5 * number, towards_deg=40.0 + 2.0 * number)
        shows[name] = shrunk(view)
    with pytest.raises(ViewsTooAlikeError, match="at least 15°"):
        calibrated(paths, shows)


def test_photos_from_so_far_away_that_they_hold_the_camera_loosely_are_refused(photos, make_phone):
    paths, shows = photos
    generator, phone = np.random.default_rng(43), make_phone(noise_px=0.4, side_px=0.6)
    for number, name in enumerate(shows):
        far = phone.view(generator, tilt_deg=14.0, towards_deg=130.0 * number, distance_mm=620.0)
        shows[name] = shrunk(far)
    with pytest.raises(CameraUnclearError, match="at most ±"):
        calibrated(paths, shows)


def test_a_board_that_no_plane_explains_is_refused(photos):
    paths, shows = photos
    generator = np.random.default_rng(44)
    for name, view in shows.items():
        crumpled = view.points_px + generator.normal(0.0, 1.5, view.points_px.shape)
        shows[name] = replace(view, points_px=crumpled)
    with pytest.raises(BoardUnevenError, match=r"at most 0\.70 px"):
        calibrated(paths, shows)


def drawn_chessboard(turn_deg: float) -> tuple[Photo, np.ndarray]:
    """A board of 7 by 5 inner corners, lying askew in the picture, and its true corners."""
    fine, size = 4, (900, 660)
    turn = np.radians(turn_deg)
    along = 68.0 * np.array([np.cos(turn), np.sin(turn)])
    across = 62.0 * np.array([-np.sin(turn), np.cos(turn)])
    first = np.array([212.3, 138.7])
    y, x = np.mgrid[0 : size[1] * fine, 0 : size[0] * fine].astype(float)
    place = np.stack([(x + 0.5) / fine - 0.5, (y + 0.5) / fine - 0.5], axis=-1) - first
    column, row = np.moveaxis(place @ np.linalg.inv(np.array([along, across])), -1, 0)
    board = (column > -1) & (column < 7) & (row > -1) & (row < 5)
    dark = board & ((np.floor(column) + np.floor(row)) % 2 == 0)
    light = np.where(dark, 0.05, 0.7)
    light = light.reshape(size[1], fine, size[0], fine).mean(axis=(1, 3))
    light = cv2.GaussianBlur(light, (0, 0), 1.0)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    grey = np.round(255 * coded).astype(np.uint8)
    photo = Photo(file="board.png", pixels_bgr=np.repeat(grey[..., None], 3, 2), lens=Lens())
    corners = [first + c * along + r * across for r in range(5) for c in range(7)]
    return photo, np.array(corners)


@pytest.mark.parametrize("turn_deg", [3.0, 14.0])
def test_chessboard_corners_are_found_to_a_few_hundredths_of_a_pixel(turn_deg):
    photo, corners = drawn_chessboard(turn_deg)
    view = Chessboard(columns=7, rows=5, square_mm=20.0).view(photo)
    # The board may be read from its other end.
    seen = view.start_px if np.abs(view.start_px[0] - corners[0]).max() < 5 else view.start_px[::-1]
    assert_allclose(seen, corners, atol=0.06)
    assert np.abs((seen - corners).mean(axis=0)).max() < 0.02
    assert_allclose(view.start_mm[-1], [120.0, 80.0])


def test_a_chessboard_with_other_counts_is_not_found():
    photo, _ = drawn_chessboard(14.0)
    with pytest.raises(ChessboardNotFoundError, match="9 by 8"):
        Chessboard(columns=9, rows=8, square_mm=20.0).view(photo)
