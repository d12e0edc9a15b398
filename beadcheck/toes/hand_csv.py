"""The file in which a person lists points along toes."""

import contextlib
import csv
import io
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from beadcheck.errors import PhotoError
from beadcheck.errors.by_hand import (
    PhotosOfOneNameError,
    SameToeTwiceError,
    ToesCrossError,
    ToesFileNotReadableError,
    ToesHeaderError,
    ToesOfNoPhotoError,
    ToesWithoutPhotoError,
    TooFewToePointsError,
)
from beadcheck.errors.input_file import WrongValueError
from beadcheck.photo import photo_size_px
from beadcheck.quantity import Side
from beadcheck.spreadsheet import read_table
from beadcheck.surface import Points
from beadcheck.toes.hand_lines import LEAST_POINTS, HandToes, LinesFault, lines_fault

COLUMNS: Final = ("toe", "x_px", "y_px")
FILE_COLUMN: Final = "file"
_SHOWN_CHARACTERS: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One point: where it stands in the file, whose toe it lies on, and where; no file is ""."""

    line: int
    file: str
    toe: Side
    x_px: float
    y_px: float


def read_hand_toes(path: Path, photos: Sequence[Path]) -> dict[Path, HandToes]:
    """Read the toes of these photos from a CSV file; photos without rows are left out.

    The first line names the columns: toe (left or right), x_px and y_px, in pixels of the upright
    photo, the centre of the top left one at (0, 0); and file, the photo's name, which may be left
    out for a single photo. Other columns, and rows of other photos, are passed over.

    Raises
    ------
    InputFileError
        The file is broken, or its points make no toe; the refusal names the line.
    """
    rows = list(_rows(path))
    if len(photos) > 1 and not any(row.file for row in rows):
        raise ToesWithoutPhotoError(path.name, len(photos))
    by_photo = {photo: [row for row in rows if row.file in {"", photo.name}] for photo in photos}
    names = [photo.name for photo, mine in by_photo.items() if mine]
    if not names:
        shown = ", ".join(photo.name for photo in photos)
        raise ToesOfNoPhotoError(path.name, _shown(shown))
    for photo, mine in by_photo.items():
        if mine and names.count(photo.name) > 1:
            raise PhotosOfOneNameError(f"{path.name}, line {mine[0].line}", photo.name)
    return {photo: _hand_toes(mine, photo, path.name) for photo, mine in by_photo.items() if mine}


def hand_toes_csv(toes: Mapping[str, HandToes]) -> str:
    """Text of such a file, of toes by their photo's name; `read_hand_toes` gives them back."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([FILE_COLUMN, *COLUMNS])
    for file, placed in toes.items():
        for side, points in ((Side.LEFT, placed.left_px), (Side.RIGHT, placed.right_px)):
            writer.writerows([file, side.value, *point] for point in points.tolist())
    return text.getvalue()


def _rows(path: Path) -> Iterator[_Row]:
    table = read_table(path, ToesFileNotReadableError)
    if not table.rows:
        raise ToesHeaderError(path.name, "not named")
    head, *rows = table.rows
    header = [name.lower() for name in head.cells]
    if not set(COLUMNS) <= set(header):
        raise ToesHeaderError(path.name, _shown(",".join(head.cells)))
    # Spreadsheets of countries with a decimal comma part the cells by semicolons.
    decimal = "," if table.decimal_comma else "."
    for row in rows:
        place = f"{path.name}, line {row.line}"
        told = dict(zip(header, row.cells, strict=False))
        yield _Row(
            line=row.line,
            file=Path(told.get(FILE_COLUMN, "")).name,
            toe=_toe(told, place),
            x_px=_number(told, "x_px", place, decimal),
            y_px=_number(told, "y_px", place, decimal),
        )


def _toe(told: dict[str, str], place: str) -> Side:
    word = told.get("toe", "")
    try:
        return Side(word.lower())
    except ValueError:
        raise WrongValueError(place, "toe", _shown(word) or "empty", "left or right") from None


def _number(told: dict[str, str], key: str, place: str, decimal: str) -> float:
    word = told.get(key, "")
    number = math.nan
    with contextlib.suppress(ValueError):
        number = float(word.replace(decimal, "."))
    if not math.isfinite(number):
        raise WrongValueError(place, key, _shown(word) or "empty", "a number of pixels")
    return number


def _hand_toes(rows: Sequence[_Row], photo: Path, file: str) -> HandToes:
    _check_inside(rows, photo, file)
    points = {side: _points(rows, side, file) for side in Side}
    fault = lines_fault(points[Side.LEFT], points[Side.RIGHT])
    place = f"{file}, lines {rows[0].line} to {rows[-1].line}"
    if fault is LinesFault.CROSS:
        raise ToesCrossError(place)
    if fault is LinesFault.SAME_TOE:
        raise SameToeTwiceError(place)
    return HandToes(left_px=points[Side.LEFT], right_px=points[Side.RIGHT])


def _check_inside(rows: Sequence[_Row], photo: Path, file: str) -> None:
    try:
        sizes = photo_size_px(photo)
    except PhotoError:
        return  # measuring it says so
    for row in rows:
        for key, place_px, size_px in zip(COLUMNS[1:], (row.x_px, row.y_px), sizes, strict=True):
            if not -0.5 <= place_px <= size_px - 0.5:
                side = "wide" if key == "x_px" else "high"
                raise WrongValueError(
                    f"{file}, line {row.line}",
                    key,
                    f"{place_px:g}",
                    f"between 0 and {size_px - 1}, as {photo.name} is {size_px} pixels {side}",
                )


def _points(rows: Sequence[_Row], side: Side, file: str) -> Points:
    mine = [row for row in rows if row.toe is side]
    places = {(row.x_px, row.y_px) for row in mine}
    if mine and len(places) < LEAST_POINTS:
        raise TooFewToePointsError(f"{file}, line {mine[0].line}", side.value)
    return np.array([(row.x_px, row.y_px) for row in mine], dtype=np.float64).reshape(-1, 2)


def _shown(text: str) -> str:
    """Text of the file as a refusal shows it, cut short and without what breaks a line."""
    short = text if len(text) <= _SHOWN_CHARACTERS else f"{text[: _SHOWN_CHARACTERS - 1]}…"
    return "".join(
        letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in short
    )
