"""Limit sets from TOML: those that are shipped, and the user's own.

A file looks like this; every key that `_LIMIT_KEYS` names may stand in a ``[[limit]]``::

    format = "beadcheck-limits/1"
    title = "Shop rule for the first term"
    source = "Shop rule"
    edition = "2026"

    [[limit]]
    quantity = "weld_width"
    statistic = "max"
    relative_to = "mean"       # the widest place less the mean
    sense = "at most"
    value_mm = 2.0
"""

import difflib
from enum import StrEnum
from pathlib import Path
from typing import Final, TypeVar

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.errors.input_file import MisspeltKeyError
from beadcheck.errors.limit_file import UnknownLimitKeyError, UnknownLimitSetError
from beadcheck.limits.decision import DecisionRule, Sense
from beadcheck.limits.limit import Limit, LimitSet, Obligation, Thicknesses, Verified, limit_unit
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.target.toml_table import TomlTable, read_toml
from beadcheck.units import Unit

FORMAT: Final = "beadcheck-limits/1"
SETS_FOLDER: Final = Path(__file__).with_name("sets")
HIGHEST_VALUE: Final = 1000.0
"""No limit on a weld, in mm, degrees or any unit here, is larger."""

_SET_KEYS: Final = ("format", "title", "source", "edition", "rule", "note", "limit")
_VALUE_KEYS: Final = {
    Unit.MM: "value_mm",
    Unit.DEG: "value_deg",
    Unit.RATIO: "value_ratio",
    Unit.MM_PER_S: "value_mm_per_s",
}
_LENGTH_KEYS: Final = ("per_weld_width", "per_thickness", "no_more_than_mm")
_LIMIT_KEYS: Final = (
    "quantity",
    "statistic",
    "relative_to",
    "sense",
    "thickness_from_mm",
    "thickness_over_mm",
    "thickness_to_mm",
    "passes",
    "processes",
    "shapes",
    "short_only",
    "edition",
    "clause",
    "verified",
    "obligation",
    "printed",
    "note",
)
_Word = TypeVar("_Word", bound=StrEnum)


def limit_sets() -> tuple[str, ...]:
    """Names of the shipped limit sets, in alphabetical order."""
    return tuple(sorted(path.stem for path in SETS_FOLDER.glob("*.toml")))


def default_limit_set(coupon: Coupon) -> str:  # noqa: ARG001  # a school's default may differ by coupon
    """Name of the limit set that is used where none was chosen."""
    return "pipe-coupon"


def load_limit_set(name_or_path: str) -> LimitSet:
    """Limit set of a shipped name, or of the user's own file.

    Raises
    ------
    InputFileError
        There is no such set, or the file is broken: the message names file, line, key and mend.
    """
    if name_or_path in limit_sets():
        return _limit_set(SETS_FOLDER / f"{name_or_path}.toml", name=name_or_path)
    path = Path(name_or_path)
    if not (path.suffix.lower() == ".toml" or len(path.parts) > 1 or path.is_file()):
        raise UnknownLimitSetError(name_or_path, ", ".join(limit_sets()))
    return _limit_set(path, name=path.name)


def _limit_set(path: Path, *, name: str) -> LimitSet:
    file, values = read_toml(path)
    table = TomlTable(file=file, values=values)
    if table.text("format", f'format = "{FORMAT}"') != FORMAT:
        raise table.refusal("format", f'"{FORMAT}"')
    _refuse_unknown(table, _SET_KEYS)
    source = table.text("source", 'source = "Shop rule"')
    edition = table.text("edition", 'edition = "2026"')
    rows = table.tables("limit", "[[limit]]")
    return LimitSet(
        name=name,
        title=table.text("title", 'title = "Shop rule"'),
        source=source,
        edition=edition,
        rule=_word(table, "rule", DecisionRule, DecisionRule.FULL),
        note=_text(table, "note"),
        limits=tuple(_limit(row, source, edition) for row in rows),
    )


def _limit(table: TomlTable, source: str, edition: str) -> Limit:
    quantity = _word(table, "quantity", QuantityName)
    unit = limit_unit(quantity)
    value_key = _VALUE_KEYS[unit]
    lengths = _LENGTH_KEYS if unit is Unit.MM else ()
    _refuse_unknown(table, (*_LIMIT_KEYS, value_key, *lengths))
    statistic = _word(table, "statistic", Statistic)
    clause = _text(table, "clause")
    source = f"{source} ({_text(table, 'edition') or edition})"
    return Limit(
        quantity=quantity,
        statistic=statistic,
        relative_to=_reference(table, statistic),
        sense=_word(table, "sense", Sense),
        unit=unit,
        constant=table.number(
            value_key, -HIGHEST_VALUE, HIGHEST_VALUE, example=f"{value_key} = 3.2"
        ),
        per_weld_width=_number(table, "per_weld_width", 0.0, 10.0) or 0.0,
        per_thickness=_number(table, "per_thickness", 0.0, 10.0) or 0.0,
        no_more_than=_number(table, "no_more_than_mm", 0.0, HIGHEST_VALUE),
        thicknesses=_thicknesses(table),
        passes=_words(table, "passes", WeldPass),
        processes=_words(table, "processes", Process),
        shapes=_words(table, "shapes", Shape),
        short_only=_yes(table, "short_only"),
        source=f"{source}, {clause}" if clause else source,
        verified=_word(table, "verified", Verified, Verified.OWN),
        obligation=_word(table, "obligation", Obligation, Obligation.SHALL),
        printed=_text(table, "printed"),
        note=_text(table, "note"),
    )


def _reference(table: TomlTable, statistic: Statistic) -> Statistic | None:
    if "relative_to" not in table.values:
        return None
    reference = _word(table, "relative_to", Statistic)
    if reference is not Statistic.MEAN or statistic not in {Statistic.MIN, Statistic.MAX}:
        raise table.refusal("relative_to", '"mean", with the statistic "min" or "max"')
    return reference


def _thicknesses(table: TomlTable) -> Thicknesses:
    found = Thicknesses(
        from_mm=_number(table, "thickness_from_mm", 0.0, HIGHEST_VALUE),
        over_mm=_number(table, "thickness_over_mm", 0.0, HIGHEST_VALUE),
        to_mm=_number(table, "thickness_to_mm", 0.0, HIGHEST_VALUE),
    )
    lowest_mm = max(found.from_mm or 0.0, found.over_mm or 0.0)
    if found.to_mm is not None and found.to_mm < lowest_mm:
        raise table.refusal("thickness_to_mm", f"a number of at least {lowest_mm:g}")
    return found


def _refuse_unknown(table: TomlTable, known: tuple[str, ...]) -> None:
    """Refuse every key that is not known: one that is ignored could change the limit."""
    for key in table.values:
        if key in known:
            continue
        nearest = difflib.get_close_matches(key.lower(), known, n=1, cutoff=0.75)
        if nearest:
            raise MisspeltKeyError(table.place(key), key, nearest[0])
        raise UnknownLimitKeyError(table.place(key), key, ", ".join(known))


def _word(table: TomlTable, key: str, words: type[_Word], default: _Word | None = None) -> _Word:
    if key not in table.values and default is not None:
        return default
    example = next(iter(words)).value
    written = table.demanded(key, f'{key} = "{example}"')
    for word in words:
        if written == word.value:
            return word
    raise table.refusal(key, _choice(words))


def _words(table: TomlTable, key: str, words: type[_Word]) -> tuple[_Word, ...]:
    if key not in table.values:
        return ()
    written = table.values[key]
    known = {word.value: word for word in words}
    if (
        not isinstance(written, list)
        or not written
        or not all(isinstance(each, str) and each in known for each in written)
    ):
        raise table.refusal(key, f"a list of {_choice(words)}")
    return tuple(known[each] for each in written)


def _choice(words: type[StrEnum]) -> str:
    return " or ".join(f'"{word.value}"' for word in words)


def _text(table: TomlTable, key: str) -> str:
    return table.text(key, f'{key} = "words"') if key in table.values else ""


def _number(table: TomlTable, key: str, lowest: float, highest: float) -> float | None:
    if key not in table.values:
        return None
    return table.number(key, lowest, highest, example=f"{key} = 1.0")


def _yes(table: TomlTable, key: str) -> bool:
    written = table.values.get(key, False)
    if not isinstance(written, bool):
        raise table.refusal(key, "true or false, without quotes")
    return written
