"""A study's list of readings as a spreadsheet saves it, and the empty form for one."""

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.errors.gauge_study import StudyLineError, StudyNotReadableError
from beadcheck.spreadsheet import TableRow, read_table

PART: Final = "part"
BY: Final = "by"
PHOTO: Final = "photo"
VALUE: Final = "value"
GAUGE: Final = "gauge"
FORM_COLUMNS: Final = (PART, BY, PHOTO, VALUE, GAUGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyLine:
    """One line: a photo to measure, or a value that was read.

    Attributes
    ----------
    line
        Where it stands in the file.
    source
        A photo, or the value that was read.
    """

    line: int
    part: str
    by: str
    source: Path | float
    gauge: float | None


def read_study(path: Path) -> tuple[StudyLine, ...]:
    """Read a list with the columns part, by, and photo or value; gauge may stand beside.

    Comma, semicolon or tab; numbers with a point or, where the separator is none, a comma.

    Raises
    ------
    StudyNotReadableError, StudyLineError
    """
    table = read_table(path, StudyNotReadableError)
    if not table.rows:
        raise StudyNotReadableError(path.name, "it is empty")
    head, *rows = table.rows
    columns = {cell.casefold(): index for index, cell in enumerate(head.cells)}
    missing = [name for name in (PART, BY) if name not in columns]
    if missing or not {PHOTO, VALUE} & columns.keys():
        needed = " and ".join(missing) or "photo or value"
        raise StudyNotReadableError(path.name, f"its first line names no column {needed}")
    return tuple(_lines(path, rows, columns, decimal_comma=table.decimal_comma))


def form_csv(parts: Iterable[str], people: Iterable[str], trials: int) -> str:
    """Return the empty form: a line for each reading that a crossed study wants.

    Examples
    --------
    >>> print(form_csv(["plate 1"], ["Tern"], 2), end="")
    part,by,photo,value,gauge
    plate 1,Tern,,,
    plate 1,Tern,,,
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(FORM_COLUMNS)
    names = list(people)
    for part in parts:
        for who in names:
            for _ in range(trials):
                writer.writerow([part, who, "", "", ""])
    return buffer.getvalue()


def _lines(
    path: Path,
    rows: Sequence[TableRow],
    columns: dict[str, int],
    *,
    decimal_comma: bool,
) -> Iterable[StudyLine]:
    for row in rows:
        place = f"{path.name}, line {row.line}"
        cells = {
            name: row.cells[index] if index < len(row.cells) else ""
            for name, index in columns.items()
        }
        part, by = cells[PART], cells[BY]
        if not part or not by:
            raise StudyLineError(place, f"{PART if not part else BY} is empty")
        photo = cells.get(PHOTO, "")
        value = _number(cells.get(VALUE, ""), place, VALUE, decimal_comma=decimal_comma)
        if value is None and photo:
            source: Path | float = path.parent / photo
        elif value is not None and not photo:
            source = value
        else:
            raise StudyLineError(place, "give either a photo or a value")
        yield StudyLine(
            line=row.line,
            part=part,
            by=by,
            source=source,
            gauge=_number(cells.get(GAUGE, ""), place, GAUGE, decimal_comma=decimal_comma),
        )


def _number(text: str, place: str, name: str, *, decimal_comma: bool) -> float | None:
    if not text:
        return None
    try:
        number = float(text.replace(",", ".") if decimal_comma else text)
    except ValueError:
        raise StudyLineError(place, f"{name} {text[:40]!r} is no number") from None
    if not math.isfinite(number):
        raise StudyLineError(place, f"{name} {text[:40]!r} is no number")
    return number
