"""Target files: what is read, what is refused, and where the refusal points."""

import contextlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from beadcheck.errors import InputFileError
from beadcheck.errors.input_file import (
    FileNotReadableError,
    MarkerIdTwiceError,
    MarkerMirroredError,
    MarkersOverlapError,
    MissingKeyError,
    MisspeltKeyError,
    NotTomlError,
    WrongValueError,
)
from beadcheck.target.catalogue import pipe_strip, plate_card, plate_strips
from beadcheck.target.design import TargetDesign, WrapAxis
from beadcheck.target.read import read_target
from beadcheck.target.write import target_toml

BOARD = """\
format = "beadcheck-target/1"
name = "two markers"
dictionary = "DICT_4X4_50"
width_mm = 60.0
height_mm = 30
thickness_mm = 0.2

[[marker]]
id = 0
corners_mm = [[4.0, 4.0], [16.0, 4.0], [16.0, 16.0], [4.0, 16.0]]

# a comment between them
[[marker]]
id = 7
corners_mm = [[24.0, 4.0], [36.0, 4.0], [36.0, 16.0], [24.0, 16.0]]
"""

PLAIN_KEYS = [
    "name",
    "dictionary",
    "width_mm",
    "height_mm",
    "thickness_mm",
    "wraps",
    "check_bar_mm",
    "clock_zero_mm",
    "clock_sense",
    "outside_diameter_mm",
    "joints_mm",
]


def _read(folder: Path, text: str) -> TargetDesign:
    path = folder / "board.toml"
    path.write_text(text, encoding="utf-8")
    return read_target(path)


def test_a_plain_board_is_read_as_written(tmp_path: Path) -> None:
    design = _read(tmp_path, BOARD)
    assert (design.name, design.dictionary) == ("two markers", "DICT_4X4_50")
    assert (design.width_mm, design.height_mm, design.thickness_mm) == (60.0, 30.0, 0.2)
    assert [marker.id for marker in design.markers] == [0, 7]
    assert_array_equal(design.markers[1].corners_mm[2], [36.0, 16.0])
    assert design.wraps is WrapAxis.X
    assert design.clock_zero_mm is None
    assert_array_equal(design.paper_patches[0].corners_mm[2], [60.0, 30.0])


def test_a_marker_may_stand_turned_on_its_sheet(tmp_path: Path) -> None:
    turned = BOARD.replace(
        "[[24.0, 4.0], [36.0, 4.0], [36.0, 16.0], [24.0, 16.0]]",
        "[[36.0, 16.0], [24.0, 16.0], [24.0, 4.0], [36.0, 4.0]]",
    )
    assert_array_equal(_read(tmp_path, turned).markers[1].corners_mm[0], [36.0, 16.0])


@pytest.mark.parametrize(
    "design",
    [plate_card(), plate_strips(), pipe_strip(219.1), pipe_strip(60.3, thickness_mm=0.27)],
    ids=lambda design: design.name,
)
def test_our_own_designs_come_back_from_their_files_unchanged(
    design: TargetDesign, tmp_path: Path
) -> None:
    back = _read(tmp_path, target_toml(design))
    for name in PLAIN_KEYS:
        assert getattr(back, name) == getattr(design, name), name
    for ours, theirs in zip(design.markers, back.markers, strict=True):
        assert (ours.id, ours.piece) == (theirs.id, theirs.piece)
        assert_array_equal(ours.corners_mm, theirs.corners_mm)
    assert_array_equal(back.step_corners_mm, design.step_corners_mm)
    for patch, patch_back in zip(design.paper_patches, back.paper_patches, strict=True):
        assert patch.piece == patch_back.piece
        assert_array_equal(patch.corners_mm, patch_back.corners_mm)


BREAKS = {
    "wrong format": ('"beadcheck-target/1"', '"beadcheck-target/9"', WrongValueError, 1),
    "number in place of words": ('"two markers"', "2", WrongValueError, 2),
    "unknown dictionary": ("DICT_4X4_50", "DICT_3X3_50", WrongValueError, 3),
    "not a dictionary at all": ("DICT_4X4_50", "detectMarkers", WrongValueError, 3),
    "no width": ("width_mm = 60.0\n", "", MissingKeyError, None),
    "width in words": ("width_mm = 60.0", 'width_mm = "60"', WrongValueError, 4),
    "endless width": ("width_mm = 60.0", "width_mm = inf", WrongValueError, 4),
    "truth for a number": ("height_mm = 30", "height_mm = true", WrongValueError, 5),
    "thickness below zero": ("thickness_mm = 0.2", "thickness_mm = -0.2", WrongValueError, 6),
    "misspelt key": ("thickness_mm", "thicknes_mm", MisspeltKeyError, 6),
    "id beyond the dictionary": ("id = 7", "id = 50", WrongValueError, 14),
    "id below zero": ("id = 7", "id = -1", WrongValueError, 14),
    "half an id": ("id = 7", "id = 7.5", WrongValueError, 14),
    "id twice": ("id = 7", "id = 0", MarkerIdTwiceError, 14),
    "no corners": ("corners_mm = [[24", "corner_mm = [[24", MisspeltKeyError, 15),
    "three corners": (", [24.0, 16.0]]", "]", WrongValueError, 15),
    "a corner of three numbers": ("[24.0, 16.0]]", "[24.0, 16.0, 0.0]]", WrongValueError, 15),
    "a corner that is no number": ("[24.0, 16.0]]", "[nan, 16.0]]", WrongValueError, 15),
    "a corner off the sheet": ("36.0, 16.0], [24.0", "66.0, 16.0], [24.0", WrongValueError, 15),
    "a slip of the pen": ("36.0, 16.0], [24.0", "39.0, 16.0], [24.0", WrongValueError, 15),
    "crossed corners": (
        "[36.0, 16.0], [24.0, 16.0]]",
        "[24.0, 16.0], [36.0, 16.0]]",
        WrongValueError,
        15,
    ),
    "mirrored": (
        "[[24.0, 4.0], [36.0, 4.0], [36.0, 16.0], [24.0, 16.0]]",
        "[[36.0, 4.0], [24.0, 4.0], [24.0, 16.0], [36.0, 16.0]]",
        MarkerMirroredError,
        15,
    ),
    "one over another": (
        "[[24.0, 4.0], [36.0, 4.0], [36.0, 16.0], [24.0, 16.0]]",
        "[[14.0, 9.0], [26.0, 9.0], [26.0, 21.0], [14.0, 21.0]]",
        MarkersOverlapError,
        14,
    ),
    "too small to be seen": (
        "[[24.0, 4.0], [36.0, 4.0], [36.0, 16.0], [24.0, 16.0]]",
        "[[24.0, 4.0], [24.5, 4.0], [24.5, 4.5], [24.0, 4.5]]",
        WrongValueError,
        15,
    ),
    "a list not closed": ("[24.0, 16.0]]", "[24.0, 16.0]", NotTomlError, None),
    "wraps about z": ("[[marker]]\nid = 0", 'wraps = "z"\n[[marker]]\nid = 0', WrongValueError, 8),
    "clock sense of 0": (
        "[[marker]]\nid = 0",
        "clock_sense = 0\n[[marker]]\nid = 0",
        WrongValueError,
        8,
    ),
    "clock zero beyond the strip": (
        "[[marker]]\nid = 0",
        "clock_zero_mm = 61.0\n[[marker]]\nid = 0",
        WrongValueError,
        8,
    ),
    "joints out of order": (
        "[[marker]]\nid = 0",
        "joints_mm = [40.0, 20.0]\n[[marker]]\nid = 0",
        WrongValueError,
        8,
    ),
    "a marker table that is none": (
        "[[marker]]\nid = 0",
        "[[markers]]\nid = 0",
        MisspeltKeyError,
        8,
    ),
}


@pytest.mark.parametrize("case", BREAKS)
def test_each_broken_file_is_refused_at_its_line(case: str, tmp_path: Path) -> None:
    good, bad, error, line_number = BREAKS[case]
    assert BOARD.count(good), "the case no longer breaks anything"
    with pytest.raises(error) as caught:
        _read(tmp_path, BOARD.replace(good, bad))
    message = str(caught.value)
    assert message.startswith("board.toml")
    assert len(message) < 300
    if line_number is not None:
        assert f"line {line_number}" in message


def test_a_file_that_is_not_there_or_no_text_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileNotReadableError, match="no such file"):
        read_target(tmp_path / "missing.toml")
    with pytest.raises(FileNotReadableError, match="directory"):
        read_target(tmp_path)
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"\xff\xd8\xff\xe0" + bytes(range(256)) * 4)
    with pytest.raises(FileNotReadableError, match="not UTF-8"):
        read_target(photo)
    huge = tmp_path / "huge.toml"
    huge.write_bytes(b"#" * 1_000_001)
    with pytest.raises(FileNotReadableError, match="larger than 1 MB"):
        read_target(huge)


def test_lists_without_end_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputFileError):
        _read(tmp_path, "format = " + "[" * 40_000)


@given(st.binary(max_size=300))
def test_any_bytes_give_a_design_or_a_refusal(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.mktemp("any") / "any.toml"
    path.write_bytes(content)
    with pytest.raises(InputFileError):
        read_target(path)


@given(
    line=st.integers(0, BOARD.count("\n")),
    value=st.sampled_from(
        [
            "-1",
            "0",
            "1e999",
            "nan",
            '""',
            "[]",
            "[[]]",
            "{}",
            "true",
            "10" * 200,
            "1979-05-27",
            '"\\u0000"',
        ]
    ),
)
def test_any_value_in_any_place_gives_a_design_or_a_refusal(
    tmp_path_factory: pytest.TempPathFactory, line: int, value: str
) -> None:
    lines = BOARD.split("\n")
    lines[line] = lines[line].split("=", maxsplit=1)[0] + f"= {value}"
    path = tmp_path_factory.mktemp("odd") / "odd.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    with contextlib.suppress(InputFileError):
        design = read_target(path)
        assert np.isfinite([marker.corners_mm for marker in design.markers]).all()


def test_the_place_of_a_known_step_is_read_and_written(tmp_path: Path) -> None:
    file = tmp_path / "board.toml"
    corners = "[[40.0, 2.0], [58.0, 2.0], [58.0, 12.0], [40.0, 12.0]]"
    file.write_text(BOARD.replace("[[marker]]", f"step_corners_mm = {corners}\n\n[[marker]]", 1))
    design = read_target(file)
    assert design.step_corners_mm is not None
    assert design.step_corners_mm.tolist() == [[40.0, 2.0], [58.0, 2.0], [58.0, 12.0], [40.0, 12.0]]
    file.write_text(target_toml(design))
    assert_array_equal(read_target(file).step_corners_mm, design.step_corners_mm)


@pytest.mark.parametrize(
    "corners",
    ["[[40.0, 2.0], [58.0, 2.0]]", "[[40.0, 2.0], [40.0, 12.0], [58.0, 12.0]]", "[[70.0, 2.0]]"],
    ids=["two points", "anticlockwise", "off the sheet"],
)
def test_a_place_of_a_known_step_that_is_none_is_refused(tmp_path: Path, corners: str) -> None:
    file = tmp_path / "board.toml"
    file.write_text(BOARD.replace("[[marker]]", f"step_corners_mm = {corners}\n\n[[marker]]", 1))
    with pytest.raises(WrongValueError, match="step_corners_mm"):
        read_target(file)
