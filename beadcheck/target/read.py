"""Target files, format ``beadcheck-target/1``: reading and checking."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.input_file import (
    MarkerIdTwiceError,
    MarkerMirroredError,
    MarkersOverlapError,
)
from beadcheck.target.design import Marker, Patch, TargetDesign, WrapAxis
from beadcheck.target.toml_table import TomlTable, read_toml

FORMAT: Final = "beadcheck-target/1"
_TOP_KEYS: Final = (
    "format",
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
    "bore_mm",
    "joints_mm",
    "step_corners_mm",
    "marker",
    "paper",
)
_CORNERS: Final = "corners_mm = [[4.0, 4.0], [16.0, 4.0], [16.0, 16.0], [4.0, 16.0]]"
_SMALLEST_MARKER_MM: Final = 1.0
_LARGEST_MARKER_MM: Final = 500.0
_UNEVEN: Final = 0.05
"""By this share the sides of one marker may differ: a stretched print, not a slip of the pen."""
_OUTSIDE_MM: Final = 0.01
_SHARED: Final = 0.01
"""Share of a marker that may lie on another: what rounding of the corners leaves."""


def read_target(path: Path) -> TargetDesign:
    """Design of a printed target, from its file.

    Raises
    ------
    InputFileError
        If the file cannot be read, a value in it makes no sense, or its markers cannot be printed
        like that (mirrored, twice, one over another); the line is named.
    """
    file, values = read_toml(path)
    top = TomlTable(file=file, values=values)
    top.refuse_misspelt(_TOP_KEYS)
    if top.text("format", f'format = "{FORMAT}"') != FORMAT:
        raise top.refusal("format", f'"{FORMAT}"')
    dictionary = top.text("dictionary", 'dictionary = "DICT_4X4_50"')
    id_count = marker_count(dictionary)
    if not id_count:
        raise top.refusal("dictionary", 'one of ArUco\'s, as in: dictionary = "DICT_4X4_50"')
    sheet = TargetDesign(
        name=top.text("name", "") if "name" in values else path.stem,
        dictionary=dictionary,
        width_mm=top.number("width_mm", 2.0, 10_000.0, example="width_mm = 100.0"),
        height_mm=top.number("height_mm", 2.0, 10_000.0, example="height_mm = 30.0"),
        thickness_mm=top.number("thickness_mm", 0.0, 20.0, example="thickness_mm = 0.2"),
        markers=(),
    )
    markers = tuple(_marker(table, id_count, sheet) for table in top.tables("marker", "[[marker]]"))
    _refuse_clashes(top, markers)
    paper = top.tables("paper", "[[paper]]") if "paper" in values else ()
    sheet = replace(sheet, markers=markers, paper=tuple(_patch(table, sheet) for table in paper))
    return _with_options(top, sheet)


def marker_count(dictionary: str) -> int:
    """How many markers one of ArUco's dictionaries holds; 0 where there is no such dictionary.

    Examples
    --------
    >>> marker_count("DICT_4X4_50"), marker_count("DICT_3X3")
    (50, 0)
    """
    number = getattr(cv2.aruco, dictionary, None) if dictionary.startswith("DICT_") else None
    if not isinstance(number, int):
        return 0
    return len(cv2.aruco.getPredefinedDictionary(number).bytesList)


def _with_options(top: TomlTable, sheet: TargetDesign) -> TargetDesign:
    """Add what a file need not say."""
    given = top.values
    wraps = WrapAxis.X
    if "wraps" in given:
        if given["wraps"] not in ("x", "y"):
            raise top.refusal("wraps", '"x" or "y"')
        wraps = WrapAxis(given["wraps"])
    length_mm = sheet.width_mm if wraps is WrapAxis.X else sheet.height_mm

    def optional(key: str, lowest: float, highest: float) -> float | None:
        if key not in given:
            return None
        return top.number(key, lowest, highest, example=f"{key} = {highest:g}")

    sense = (
        top.whole_number("clock_sense", -1, 1, example="clock_sense = 1")
        if "clock_sense" in given
        else 1
    )
    if sense == 0:
        raise top.refusal("clock_sense", "1 or -1")
    if "bore_mm" in given and "outside_diameter_mm" in given:
        raise top.refusal("bore_mm", "left out where outside_diameter_mm is given")
    joints_mm = top.numbers("joints_mm", "joints_mm = [252.0]") if "joints_mm" in given else ()
    if not all(0.0 < joint < length_mm for joint in joints_mm) or list(joints_mm) != sorted(
        joints_mm
    ):
        raise top.refusal(
            "joints_mm", f"places along the strip in order, between 0 and {length_mm:g}"
        )
    return replace(
        sheet,
        wraps=wraps,
        check_bar_mm=optional("check_bar_mm", 10.0, 1000.0),
        clock_zero_mm=optional("clock_zero_mm", 0.0, length_mm),
        clock_sense=sense,
        outside_diameter_mm=optional("outside_diameter_mm", 10.0, 2500.0),
        bore_mm=optional("bore_mm", 5.0, 2500.0),
        joints_mm=joints_mm,
        step_corners_mm=_convex(top, "step_corners_mm", sheet)
        if "step_corners_mm" in given
        else None,
    )


def _marker(table: TomlTable, id_count: int, sheet: TargetDesign) -> Marker:
    table = _labelled(table, f"marker {table.values.get('id', 'without an id')!s:.20}")
    table.refuse_misspelt(("id", "corners_mm", "piece"))
    marker_id = table.whole_number("id", 0, id_count - 1, example="id = 0")
    corners_mm = table.points("corners_mm", _CORNERS)
    if len(corners_mm) != 4:
        raise table.refusal("corners_mm", f"four points, as in: {_CORNERS}")
    _refuse_outside_sheet(table, corners_mm, sheet)
    if _turns(corners_mm).max() < 0.0:
        raise MarkerMirroredError(table.place("corners_mm"))
    _refuse_misshapen(table, corners_mm)
    return Marker(id=marker_id, corners_mm=corners_mm, piece=_piece(table))


def _patch(table: TomlTable, sheet: TargetDesign) -> Patch:
    table = _labelled(table, f"paper {table.index + 1}")
    table.refuse_misspelt(("corners_mm", "piece"))
    return Patch(corners_mm=_convex(table, "corners_mm", sheet), piece=_piece(table))


def _convex(table: TomlTable, key: str, sheet: TargetDesign) -> NDArray[np.float64]:
    corners_mm = table.points(key, _CORNERS.replace("corners_mm", key))
    _refuse_outside_sheet(table, corners_mm, sheet, key=key)
    if len(corners_mm) < 3 or _turns(corners_mm).min() <= 0.0:
        raise table.refusal(key, "three points or more that run clockwise round a convex patch")
    return corners_mm


def _labelled(table: TomlTable, label: str) -> TomlTable:
    return replace(table, label=label)


def _piece(table: TomlTable) -> int:
    if "piece" not in table.values:
        return 0
    return table.whole_number("piece", 0, 99, example="piece = 0")


def _turns(corners_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """(M,) turn at each corner: positive where it is clockwise as printed (y grows down)."""
    sides = np.roll(corners_mm, -1, axis=0) - corners_mm
    before = np.roll(sides, 1, axis=0)
    return np.asarray(before[:, 0] * sides[:, 1] - before[:, 1] * sides[:, 0], dtype=np.float64)


def _refuse_outside_sheet(
    table: TomlTable,
    corners_mm: NDArray[np.float64],
    sheet: TargetDesign,
    *,
    key: str = "corners_mm",
) -> None:
    size_mm = (sheet.width_mm + _OUTSIDE_MM, sheet.height_mm + _OUTSIDE_MM)
    if (corners_mm < -_OUTSIDE_MM).any() or (corners_mm > size_mm).any():
        needed = f"inside the sheet of {sheet.width_mm:g} by {sheet.height_mm:g} mm"
        raise table.refusal(key, needed)


def _refuse_misshapen(table: TomlTable, corners_mm: NDArray[np.float64]) -> None:
    sides_mm = np.hypot(*(np.roll(corners_mm, -1, axis=0) - corners_mm).T)
    diagonals_mm = np.hypot(*(corners_mm[2:] - corners_mm[:2]).T)
    for lengths_mm in (sides_mm, diagonals_mm):
        if np.ptp(lengths_mm) > _UNEVEN * lengths_mm.max():
            needed = "a square, its corners clockwise from the marker's own top left"
            raise table.refusal("corners_mm", needed)
    if not _SMALLEST_MARKER_MM <= sides_mm.mean() <= _LARGEST_MARKER_MM:
        needed = f"a square of {_SMALLEST_MARKER_MM:g} to {_LARGEST_MARKER_MM:g} mm a side"
        raise table.refusal("corners_mm", needed)


def _refuse_clashes(top: TomlTable, markers: tuple[Marker, ...]) -> None:
    """Refuse an id that comes twice, and markers that would be printed over one another."""
    places = [top.file.place("id", table="marker", index=k) for k in range(len(markers))]
    first_place: dict[int, str] = {}
    for marker, place in zip(markers, places, strict=True):
        if marker.id in first_place:
            raise MarkerIdTwiceError(place, marker.id)
        first_place[marker.id] = place
    corners_mm = np.array([marker.corners_mm for marker in markers])
    centres_mm = corners_mm.mean(axis=1)
    reach_mm = np.hypot(*(corners_mm - centres_mm[:, None]).transpose(2, 0, 1)).max(axis=1)
    apart_mm = np.hypot(*(centres_mm[:, None] - centres_mm).transpose(2, 0, 1))
    near = np.triu(apart_mm < reach_mm[:, None] + reach_mm, k=1)
    for one, other in np.argwhere(near).tolist():
        shared_mm2, _ = cv2.intersectConvexConvex(
            corners_mm[one].astype(np.float32), corners_mm[other].astype(np.float32)
        )
        if shared_mm2 > _SHARED * 2.0 * reach_mm[other] ** 2:
            raise MarkersOverlapError(places[other], markers[one].id, markers[other].id)
