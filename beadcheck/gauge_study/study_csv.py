"""A study's list of readings as a spreadsheet saves it, and the empty form for one."""

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.errors.gauge_study import StudyLineError, StudyNotReadableError

LARGEST_FILE_BYTES: Final = 1_000_000
SEPARATORS: Final = (",", ";", "\t")
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
    text = _text(path)
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(SEPARATORS, key=first.count)
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error as error:
        raise StudyNotReadableError(path.name, str(error)) from error
    numbered = [
        (number, row) for number, row in enumerate(rows, start=1) if any(map(str.strip, row))
    ]
    if not numbered:
        raise StudyNotReadableError(path.name, "it is empty")
    columns = {cell.strip().casefold(): index for index, cell in enumerate(numbered[0][1])}
    missing = [name for name in (PART, BY) if name not in columns]
    if missing or not {PHOTO, VALUE} & columns.keys():
        needed = " and ".join(missing) or "photo or value"
        raise StudyNotReadableError(path.name, f"its first line names no column {needed}")
    return tuple(_lines(path, numbered[1:], columns, decimal_comma=separator != ","))


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


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise StudyNotReadableError(path.name, "it is larger than 1 MB")
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        why = (error.strerror or "the system refuses").lower()
        raise StudyNotReadableError(path.name, why) from error
    except UnicodeDecodeError as error:
        raise StudyNotReadableError(path.name, "it is not UTF-8 text") from error


def _lines(
    path: Path,
    rows: Sequence[tuple[int, list[str]]],
    columns: dict[str, int],
    *,
    decimal_comma: bool,
) -> Iterable[StudyLine]:
    for line, row in rows:
        place = f"{path.name}, line {line}"
        cells = {
            name: row[index].strip() if index < len(row) else "" for name, index in columns.items()
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
            line=line,
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
