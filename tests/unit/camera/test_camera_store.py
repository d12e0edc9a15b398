"""Stored cameras come back as they were, and a broken file is one clear sentence."""

from dataclasses import replace
from datetime import date

import pytest
from calibrated_phone import PHONE
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.camera import CameraBook
from beadcheck.camera.store import (
    FOLDER_VARIABLE,
    camera_called,
    camera_folder,
    camera_toml,
    forget_camera,
    keep_camera,
    read_book,
    read_camera,
)
from beadcheck.errors import InputFileError
from beadcheck.errors.camera import CameraNameTakenError, UnknownCameraError
from beadcheck.errors.setting import FileNotWritableError

STORED = replace(
    PHONE,
    residual_px=0.0712,
    camera=replace(PHONE.camera, focal_px=3100.123, centre_px=(2040.5, 1500.25), k1=0.031234),
)
printable = st.text(
    st.characters(exclude_categories=("C", "Z"), include_characters=" "), min_size=1, max_size=40
).filter(lambda text: text.strip())


@given(make=printable, model=printable, name=printable, focal=st.none() | st.just(26.0))
def test_any_names_come_back_from_a_file_unchanged(tmp_path_factory, make, model, name, focal):
    camera = replace(STORED, make=make, model=model, name=name, focal_35mm_mm=focal)
    folder = tmp_path_factory.mktemp("cameras")
    assert read_camera(keep_camera(camera, folder)) == camera


def test_a_folder_that_is_not_there_holds_no_camera(tmp_path):
    assert read_book(tmp_path / "none") == CameraBook()


def test_a_new_calibration_of_the_same_camera_takes_the_place_of_the_old(tmp_path):
    keep_camera(STORED, tmp_path).rename(tmp_path / "by-hand.toml")
    again = replace(STORED, name="bench, new", calibrated_on=date(2026, 9, 1))
    path = keep_camera(again, tmp_path)
    assert [each.name for each in tmp_path.iterdir()] == [path.name]
    assert read_book(tmp_path).cameras == (again,)


def test_other_lenses_and_formats_of_a_phone_are_kept_beside(tmp_path):
    wide = replace(STORED, name="wide", focal_35mm_mm=13.0)
    flat = replace(STORED, name="16:9", height_px=2268)
    for camera in (STORED, wide, flat):
        keep_camera(camera, tmp_path)
    assert set(read_book(tmp_path).cameras) == {STORED, wide, flat}


def test_two_cameras_of_one_name_are_refused(tmp_path):
    keep_camera(STORED, tmp_path)
    with pytest.raises(CameraNameTakenError, match="'bench' \\(Quay Nine\\)"):
        keep_camera(replace(STORED, model="Ten"), tmp_path)


def test_a_camera_is_shown_and_forgotten_by_its_name(tmp_path):
    keep_camera(STORED, tmp_path)
    assert camera_called("bench", tmp_path) == STORED
    with pytest.raises(UnknownCameraError, match="Choose one of 'bench'"):
        forget_camera("Bench 2", tmp_path)
    forget_camera("bench", tmp_path)
    assert read_book(tmp_path) == CameraBook()
    with pytest.raises(UnknownCameraError, match="None is stored yet"):
        camera_called("bench", tmp_path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("k1 = 0.031234", "k1 = 3.1", "line 15: k1 is 3.1, but must be a number from -1 to 1"),
        ("k1 = 0.031234", "k1 = nan", "line 15: k1 is nan"),
        ("k1 = 0.031234", "", "u_k1|k1 is missing"),
        ("width_px = 4032", 'width_px = "wide"', "line 6: width_px is 'wide'"),
        ("focal_px = 3100.123", "focal_px = 3.1", "line 11: focal_px is 3.1"),
        ("[2040.5, 1500.25]", "[9040.5, 1500.25]", "line 13: centre_px"),
        ("[2040.5, 1500.25]", "[2040.5]", "line 13: centre_px"),
        ("2026-05-17", '"in May"', "line 8: calibrated_on"),
        ("u_k2 = 0.012", "u_k2 = 0.0", "line 18: u_k2 is 0.0"),
        ("photo_count", "photo_cuont", "there is no key photo_cuont. Write photo_count"),
        ("beadcheck-camera/1", "beadcheck-camera/2", "line 1: format"),
        ("k2 = -0.04", "k2 = -0.0.4", "line 17"),
    ],
)
def test_a_broken_file_is_refused_with_its_line(tmp_path, old, new, words):
    text = camera_toml(STORED)
    assert old in text
    (tmp_path / "camera.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputFileError, match=words):
        read_book(tmp_path)


@given(contents=st.binary(max_size=200))
def test_any_bytes_yield_a_camera_or_a_refusal(tmp_path_factory, contents):
    path = tmp_path_factory.mktemp("cameras") / "camera.toml"
    path.write_bytes(contents)
    with pytest.raises(InputFileError):
        read_camera(path)


def test_a_folder_that_cannot_be_made_is_refused_and_leaves_nothing(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(FileNotWritableError):
        keep_camera(STORED, tmp_path / "file" / "cameras")
    assert [each.name for each in tmp_path.iterdir()] == ["file"]


def test_the_folder_can_be_named_in_the_environment(tmp_path):
    assert camera_folder({FOLDER_VARIABLE: str(tmp_path)}) == tmp_path
    assert camera_folder({}).parts[-2:] == ("beadcheck", "cameras")
