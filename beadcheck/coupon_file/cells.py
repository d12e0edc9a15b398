"""Cells of a coupon file: numbers with their uncertainty, ranges, points, and paths."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Final

from beadcheck.coupon_file.said import NumberSaid
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.errors.coupon_file import (
    NamedFileMissingError,
    PartNotUsableError,
    PathLeadsOutsideError,
)
from beadcheck.target.toml_table import TomlTable

PixelPoint = tuple[float, float]
LARGEST_PX: Final = 100_000.0
HIGHEST: Final = 100_000.0


def number_said(table: TomlTable, key: str) -> NumberSaid | None:
    """Number, or number and U in a list; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return None
    example = f"{key} = 5.0, or with its U (k = 2): {key} = [5.0, 0.1]"
    if not isinstance(table.values[key], list):
        return NumberSaid(value=table.number(key, -HIGHEST, HIGHEST, example=example))
    both = table.numbers(key, example)
    if len(both) != 2 or both[1] <= 0.0:
        raise table.refusal(key, f"a number, as in: {example}")
    return NumberSaid(value=both[0], expanded_uncertainty=both[1])


def span(table: TomlTable, key: str, example: str) -> tuple[float, float] | None:
    """Lowest and highest of what is allowed; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return None
    both = table.numbers(key, example)
    if len(both) != 2 or not 0.0 < both[0] <= both[1]:
        raise table.refusal(key, f"the lowest and the highest allowed, as in: {example}")
    return both[0], both[1]


def point_px(table: TomlTable, key: str) -> PixelPoint | None:
    """Place in the upright photo; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return None
    example = f"{key} = [1200, 840]"
    both = table.numbers(key, example)
    if len(both) != 2 or not all(0.0 <= each <= LARGEST_PX for each in both):
        raise table.refusal(key, f"a place in the photo in pixels, as in: {example}")
    return both[0], both[1]


def ends_px(table: TomlTable, key: str) -> tuple[PixelPoint, PixelPoint] | None:
    """Two different places in the upright photo; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return None
    example = f"{key} = [[120, 840], [2210, 905]]"
    points = table.points(key, example).tolist()
    if len(points) != 2 or points[0] == points[1]:
        raise table.refusal(key, f"the two ends of the weld in pixels, as in: {example}")
    (x0, y0), (x1, y1) = points
    return (x0, y0), (x1, y1)


def named_file(
    table: TomlTable,
    key: str,
    folder: Path | None,
    written: str | None = None,
    *,
    inside: bool = False,
) -> str | None:
    """Path of a file that is there; None where the key is not.

    Parameters
    ----------
    folder
        Where paths start; None where the file came alone, and nothing is looked for.
    written
        The path, where it is one of a list.
    inside
        Whether it must lie in the folder or below it, links followed.

    Raises
    ------
    InputFileError
    """
    if written is None:
        if key not in table.values:
            return None
        written = table.text(key, f'{key} = "name of the file"')
    path = PurePosixPath(written.replace("\\", "/"))
    if folder is None:
        return str(path)
    try:
        found = (folder / path).resolve()
        is_outside = not found.is_relative_to(folder.resolve())
        is_there = found.is_file()
    except (OSError, ValueError):  # a name that no system takes
        is_outside, is_there = False, False
    if inside and (is_outside or path.is_absolute()):
        raise PathLeadsOutsideError(table.place(key), key, written)
    if not is_there:
        raise NamedFileMissingError(table.place(key), key, written)
    return str(path)


@contextmanager
def made_of(table: TomlTable, key: str = "") -> Iterator[None]:
    """Give the place in the file, that of a key if one is named, to what its values refuse."""
    try:
        yield
    except InputFileError:
        raise
    except BeadcheckError as error:
        named = key or str(getattr(error, "key", ""))
        place = table.place(named if named in table.values else None)
        raise PartNotUsableError(place, error.reason, error.how_to) from error
