"""A TOML file, its values checked as they are read; refusals name the line."""

import difflib
import math
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.input_file import (
    FileNotReadableError,
    MissingKeyError,
    MisspeltKeyError,
    NotTomlError,
    WrongValueError,
)
from beadcheck.target.toml_slips import USUAL_MEND, slip_of

LARGEST_FILE_BYTES: Final = 1_000_000
_SHOWN_CHARACTERS: Final = 40
_DOTTED_WITHOUT_END: Final = re.compile(
    r"""(?<![\w.-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){100}"""
)
"""A key of more parts than anybody writes: tomllib takes hours for a file full of one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlFile:
    """The text of a file, by which a key's line is found."""

    name: str
    text: str

    def place(self, key: str | None = None, *, table: str | None = None, index: int = 0) -> str:
        """File and line of a key, or of its table's header, as far as they can be found."""
        line = self._line(key, table, index) or (self._line(None, table, index) if table else None)
        return f"{self.name}, line {line}" if line else self.name

    def _line(self, key: str | None, table: str | None, index: int) -> int | None:
        current: str | None = None
        seen = -1
        for number, text in enumerate(self.text.splitlines(), start=1):
            if header := re.match(r"\s*\[\[?\s*([\w.-]+)\s*\]", text):
                current = header[1]
                seen += current == table
                if table is None and header[1] == key:
                    return number
            inside = current == table and (table is None or seen == index)
            if inside and key is None and header:
                return number
            if inside and key and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", text):
                return number
        return None


def read_toml(path: Path) -> tuple[TomlFile, dict[str, Any]]:
    """Text and content of a TOML file.

    Raises
    ------
    FileNotReadableError
        If it is not there, too large, or no UTF-8 text.
    NotTomlError
        If it breaks the grammar.
    """
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise FileNotReadableError(path.name, "it is larger than 1 MB")
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        reason = (error.strerror or "the system refuses").lower()
        raise FileNotReadableError(path.name, reason) from error
    except ValueError as error:  # no UTF-8, or a name with a NUL byte
        raise FileNotReadableError(path.name, "it is not UTF-8 text") from error
    file = TomlFile(name=path.name, text=text)
    if dotted := _DOTTED_WITHOUT_END.search(text):
        number = text.count("\n", 0, dotted.start()) + 1
        raise NotTomlError(f"{path.name}, line {number}", " (a key has too many parts)")
    try:
        return file, tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        detail, _, where = str(error).partition(" (at ")
        detail = detail[:1].lower() + detail[1:]
        line = re.search(r"line (\d+)", where)
        slip = slip_of(text, int(line[1]) if line else None, detail)
        place = f"{path.name}, line {slip.line}" if slip.line else path.name
        why = f" ({detail})" if slip.mend == USUAL_MEND else ""
        raise NotTomlError(place, why, slip.what, slip.mend) from error
    except (RecursionError, ValueError) as error:  # lists in lists without end; a date 2024-99-99
        raise NotTomlError(path.name, " (it cannot be made sense of)") from error


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlTable:
    """One table: the top level, or one of ``[[header]]``.

    Attributes
    ----------
    label
        What a refusal calls the table, as in "marker 3"; empty at the top level.
    """

    file: TomlFile
    values: Mapping[str, Any]
    header: str | None = None
    index: int = 0
    label: str = ""

    def place(self, key: str | None = None) -> str:
        """File, line and label, for a refusal."""
        place = self.file.place(key, table=self.header, index=self.index)
        return f"{place}, {self.label}" if self.label else place

    def refusal(self, key: str, needed: str) -> WrongValueError:
        """Refusal of a key's value."""
        found = repr(self.values.get(key))
        if len(found) > _SHOWN_CHARACTERS:
            found = found[: _SHOWN_CHARACTERS - 1] + "…"
        return WrongValueError(self.place(key), key, found, needed)

    def refuse_misspelt(self, known: Sequence[str]) -> None:
        """Refuse a key that differs a little from a known one; others may be anybody's own."""
        for key in self.values:
            nearest = difflib.get_close_matches(key.lower(), known, n=1, cutoff=0.8)
            if key not in known and nearest:
                raise MisspeltKeyError(self.place(key), key, nearest[0])

    def demanded(self, key: str, example: str) -> object:
        """Value of a key that must be there."""
        if key not in self.values:
            raise MissingKeyError(self.place(), key, example)
        value: object = self.values[key]
        return value

    def text(self, key: str, example: str) -> str:
        """Text in quotes, on one line."""
        value = self.demanded(key, example)
        if not isinstance(value, str) or not value.strip() or not value.isprintable():
            raise self.refusal(key, f"words in quotes, as in: {example}")
        return value

    def number(self, key: str, lowest: float, highest: float, *, example: str) -> float:
        """Finite number in a range that makes sense."""
        value = _as_number(self.demanded(key, example))
        if not lowest <= value <= highest:
            raise self.refusal(key, f"a number from {lowest:g} to {highest:g}, as in: {example}")
        return value

    def whole_number(self, key: str, lowest: int, highest: int, *, example: str) -> int:
        """Whole number in a range."""
        value = self.demanded(key, example)
        if not isinstance(value, int) or isinstance(value, bool) or not lowest <= value <= highest:
            raise self.refusal(key, f"a whole number from {lowest} to {highest}")
        return value

    def numbers(self, key: str, example: str) -> tuple[float, ...]:
        """List of finite numbers."""
        value = self.demanded(key, example)
        numbers = tuple(map(_as_number, value)) if isinstance(value, list) else (math.nan,)
        if not all(map(math.isfinite, numbers)):
            raise self.refusal(key, f"a list of numbers, as in: {example}")
        return numbers

    def points(self, key: str, example: str) -> NDArray[np.float64]:
        """List of points, (N, 2)."""
        value = self.demanded(key, example)
        rows = value if isinstance(value, list) else []
        pairs = [list(map(_as_number, row)) for row in rows if isinstance(row, list)]
        fit = rows and len(pairs) == len(rows) and all(len(pair) == 2 for pair in pairs)
        if not fit or not np.isfinite(pairs).all():
            raise self.refusal(key, f"points of two numbers each, as in: {example}")
        return np.array(pairs, dtype=np.float64)

    def tables(self, header: str, example: str) -> "tuple[TomlTable, ...]":
        """Every table ``[[header]]``."""
        value = self.demanded(header, example)
        rows = value if isinstance(value, list) else []
        if not rows or not all(isinstance(row, dict) for row in rows):
            raise self.refusal(header, f"written as tables, each beginning with {example}")
        return tuple(
            TomlTable(file=self.file, values=row, header=header, index=k)
            for k, row in enumerate(rows)
        )


def _as_number(value: object) -> float:
    """Float of an int or a float, NaN of anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return math.nan
    try:
        return float(value)
    except OverflowError:
        return math.nan
