"""Tables for spreadsheets, and tables as spreadsheets save them."""

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.errors import InputFileError

FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r")
"""Cells that begin so are run as formulas by spreadsheets."""
LARGEST_FILE_BYTES: Final = 1_000_000
SEPARATORS: Final = (",", ";", "\t")


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """Cells of one row without spaces around them, and the line of the file on which it ends."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedTable:
    """Rows that say anything.

    Attributes
    ----------
    decimal_comma
        Whether the separator leaves commas to numbers.
    """

    rows: tuple[TableRow, ...]
    decimal_comma: bool


def read_table(path: Path, refused: Callable[[str, str], InputFileError]) -> SavedTable:
    """Read a table that a spreadsheet saved as text.

    Comma, semicolon or tab, whichever the first line holds most of; UTF-8 with or without its
    mark, or UTF-16 with it.

    Parameters
    ----------
    refused
        Makes the refusal of a file that cannot be read, from its name and the reason.

    Raises
    ------
    InputFileError
        As `refused` makes it.
    """
    text = _text(path, refused)
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = [
            TableRow(line=reader.line_num, cells=tuple(map(str.strip, cells))) for cells in reader
        ]
    except csv.Error as error:
        raise refused(path.name, str(error)) from error
    return SavedTable(
        rows=tuple(row for row in rows if any(row.cells)), decimal_comma=separator != ","
    )


def _text(path: Path, refused: Callable[[str, str], InputFileError]) -> str:
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise refused(path.name, "it is larger than 1 MB")
        contents = path.read_bytes()
    except OSError as error:
        raise refused(path.name, (error.strerror or "the system refuses").lower()) from error
    except ValueError as error:  # a NUL byte in it
        raise refused(path.name, "the name is not possible") from error
    coding = "utf-16" if contents.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        return contents.decode(coding)
    except UnicodeDecodeError as error:
        raise refused(path.name, "it is not UTF-8 text") from error


def number(value: float | None, decimals: int) -> str:
    """Value rounded; an empty cell where it is missing."""
    return "" if value is None else f"{value:.{decimals}f}"


def guarded(text: str) -> str:
    """Text that a spreadsheet shows, not runs: an apostrophe goes before a formula's start."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
