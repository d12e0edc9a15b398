"""Cells of a limit file: words of closed sets, and lengths in mm or in inches as printed."""

import difflib
import re
from collections.abc import Sequence
from enum import StrEnum
from typing import Final, TypeVar

from beadcheck.errors.input_file import MisspeltKeyError
from beadcheck.errors.limit_file import UnknownLimitKeyError, WrongWordError
from beadcheck.limits.printed import LengthSystem
from beadcheck.target.toml_table import TomlTable
from beadcheck.units import MM_PER_INCH

HIGHEST_VALUE: Final = 1000.0
"""No limit on a weld, in mm, degrees or any unit here, is larger."""
ALIKE: Final = 0.75
"""Likeness from which one word is taken for another misspelt (difflib's ratio)."""

TIE: Final = 0.02
"""Likeness by which words may differ and still be as good a guess."""

_Word = TypeVar("_Word", bound=StrEnum)


def key_of(table: TomlTable, key: str, system: LengthSystem) -> str:
    """Key of the file that a length is read from: that of the system, or else of the other."""
    first, second = (f"{key}_mm", f"{key}_inch")
    if system is LengthSystem.INCH:
        first, second = second, first
    return first if first in table.values else second


def length_mm(
    table: TomlTable, key: str, system: LengthSystem, *, lowest: float = 0.0
) -> float | None:
    """Length in mm, as it is printed in this system or as the only one there is; None without one.

    Raises
    ------
    InputFileError
    """
    key = key_of(table, key, system)
    if key not in table.values:
        return None
    if key.endswith("_mm"):
        return table.number(key, lowest, HIGHEST_VALUE, example=f"{key} = 1.0")
    inches = _inches(table.values[key])
    if inches is not None:
        return inches * MM_PER_INCH
    span = (round(lowest / MM_PER_INCH), round(HIGHEST_VALUE / MM_PER_INCH))
    return table.number(key, *span, example=f'{key} = "1/32"') * MM_PER_INCH


def _inches(value: object) -> float | None:
    """Inches of a fraction such as "1/32" or "1-1/8"; None of anything else."""
    fraction = re.fullmatch(r"(?:(\d{1,2})[ -])?(\d{1,3})/([1-9]\d{0,2})", str(value))
    if fraction is None or not isinstance(value, str):
        return None
    whole, upper, lower = (int(part or 0) for part in fraction.groups())
    return whole + upper / lower


def nearest_word(written: str, known: Sequence[str]) -> str:
    """Word that was probably meant; empty where none looks alike.

    Examples
    --------
    >>> nearest_word("tickness_to_mm", ("thickness_to_mm", "value_mm"))
    'thickness_to_mm'
    """
    nearest = difflib.get_close_matches(written.lower(), known, n=1, cutoff=ALIKE)
    return nearest[0] if nearest else ""


def near_words(written: str, known: Sequence[str]) -> tuple[str, ...]:
    """Words that may have been meant: those that look most alike, all of them, in their order.

    Examples
    --------
    >>> near_words("level-a", ("level-b", "level-c", "pipe"))
    ('level-b', 'level-c')
    """
    alike = {each: difflib.SequenceMatcher(None, each, written.lower()).ratio() for each in known}
    best = max(alike.values(), default=0.0)
    return tuple(each for each in known if best >= ALIKE and alike[each] >= best - TIE)


def refuse_unknown(table: TomlTable, known: Sequence[str]) -> None:
    """Refuse every key that is not known: one that is ignored could change the limit.

    Raises
    ------
    InputFileError
    """
    for key in table.values:
        if key in known:
            continue
        nearest = nearest_word(key, known) or _same_stem(key, known)
        if nearest:
            raise MisspeltKeyError(table.place(key), key, nearest)
        raise UnknownLimitKeyError(table.place(key), key, ", ".join(_folded(known)))


def _same_stem(key: str, known: Sequence[str]) -> str:
    """Key of the value in the unit that is wanted here, such as value_mm for value_deg."""
    stem = key.partition("_")[0]
    keys = (f"{stem}_{unit}" for unit in ("mm", "mm2", "mm_per_s", "deg", "ratio"))
    return next((each for each in keys if each in known), "")


def _folded(known: Sequence[str]) -> list[str]:
    """Known keys, those that end in _mm and in _inch as one."""
    pairs = {each for each in known if each.replace("_mm", "_inch") in known}
    folded = (
        f"{each} or _inch" if each.endswith("_mm") and each in pairs else each for each in known
    )
    return [each for each in folded if not each.endswith("_inch") or " or " in each]


def word(
    table: TomlTable, key: str, closed_set: type[_Word], default: _Word | None = None
) -> _Word:
    """Word of a closed set.

    Raises
    ------
    InputFileError
        It is none of them; where one of them looks alike, that is named.
    """
    if key not in table.values and default is not None:
        return default
    example = next(iter(closed_set)).value
    written = table.demanded(key, f'{key} = "{example}"')
    known = {each.value: each for each in closed_set}
    if isinstance(written, str) and written in known:
        return known[written]
    _refuse_misspelt_word(table, key, written, tuple(known))
    raise table.refusal(key, _choice(closed_set))


def words(table: TomlTable, key: str, closed_set: type[_Word]) -> tuple[_Word, ...]:
    """List of words of a closed set; none, where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return ()
    written = table.values[key]
    known = {each.value: each for each in closed_set}
    for each in written if isinstance(written, list) else ():
        if each not in tuple(known):
            _refuse_misspelt_word(table, key, each, tuple(known))
    if (
        not isinstance(written, list)
        or not written
        or not all(isinstance(each, str) and each in known for each in written)
    ):
        raise table.refusal(key, f"a list of {_choice(closed_set)}")
    return tuple(known[each] for each in written)


def _refuse_misspelt_word(
    table: TomlTable, key: str, written: object, known: Sequence[str]
) -> None:
    if not isinstance(written, str):
        return
    nearest = nearest_word(written, known)
    if nearest:
        raise WrongWordError(table.place(key), key, written, nearest)


def _choice(closed_set: type[StrEnum]) -> str:
    return " or ".join(f'"{each.value}"' for each in closed_set)


def text(table: TomlTable, key: str) -> str:
    """Text in quotes; empty where the key is not there.

    Raises
    ------
    InputFileError
    """
    return table.text(key, f'{key} = "words"') if key in table.values else ""


def texts(table: TomlTable, key: str, example: str) -> tuple[str, ...]:
    """List of texts; none, where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return ()
    written = table.values[key]
    if not isinstance(written, list) or not written:
        raise table.refusal(key, f"a list of words in quotes, as in: {example}")
    if not all(isinstance(each, str) and each.strip() for each in written):
        raise table.refusal(key, f"a list of words in quotes, as in: {example}")
    return tuple(written)


def number(table: TomlTable, key: str, lowest: float, highest: float) -> float | None:
    """Number in a range; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if key not in table.values:
        return None
    return table.number(key, lowest, highest, example=f"{key} = 1.0")


def yes(table: TomlTable, key: str) -> bool:
    """Whether the key is there and true.

    Raises
    ------
    InputFileError
    """
    written = table.values.get(key, False)
    if not isinstance(written, bool):
        raise table.refusal(key, "true or false, without quotes")
    return written
