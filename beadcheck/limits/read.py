"""Limit sets from TOML: those that are shipped, and the user's own.

A file looks like this; `rows` names every key of a ``[[limit]]``::

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

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors.limit_file import (
    LimitTwiceError,
    NothingTakenError,
    UnknownLimitSetError,
    WrongWordError,
)
from beadcheck.limits.cells import near_words, refuse_unknown, text, texts, word, words
from beadcheck.limits.decision import DecisionRule
from beadcheck.limits.limit import Family, Limit, LimitSet, Verified
from beadcheck.limits.printed import Judging
from beadcheck.limits.rows import limit_of
from beadcheck.quantity import QuantityName
from beadcheck.target.toml_table import TomlTable, read_toml

FORMAT: Final = "beadcheck-limits/1"
SETS_FOLDER: Final = Path(__file__).with_name("sets")

_SET_KEYS: Final = (
    "format",
    "title",
    "family",
    "source",
    "edition",
    "rule",
    "note",
    "look_for",
    "limit",
    "take",
)
_TAKE_KEYS: Final = ("from", "quantities", "imperfections", "verified", "note")
_VERIFIED_ORDER: Final = tuple(Verified)


def limit_sets() -> tuple[str, ...]:
    """Names of the shipped limit sets, in alphabetical order."""
    return tuple(sorted(path.stem for path in SETS_FOLDER.glob("*.toml")))


def default_limit_set(coupon: Coupon) -> str:  # noqa: ARG001  # a school's default may differ by coupon
    """Name of the limit set that is used where none was chosen."""
    return "pipe-coupon"


def load_limit_set(name_or_path: str, judging: Judging | None = None) -> LimitSet:
    """Limit set of a shipped name, or of the user's own file.

    Parameters
    ----------
    judging
        By which rule, and which of a source's printed numbers; None takes the file's rule, and mm.

    Raises
    ------
    InputFileError
        There is no such set, or the file is broken: the message names file, line, key and mend.
    """
    judging = judging or Judging()
    if name_or_path in limit_sets():
        return _shipped(name_or_path).judged(judging)
    path = Path(name_or_path)
    if not (path.suffix.lower() == ".toml" or len(path.parts) > 1 or path.is_file()):
        near = near_words(name_or_path, limit_sets())
        raise UnknownLimitSetError(name_or_path, ", ".join(near or limit_sets()))
    return _limit_set(path, name=path.name).judged(judging)


@cache
def _shipped(name: str) -> LimitSet:
    """A set that comes with the package, which does not change while it runs."""
    return _limit_set(SETS_FOLDER / f"{name}.toml", name=name)


def _limit_set(path: Path, *, name: str) -> LimitSet:
    file, values = read_toml(path)
    table = TomlTable(file=file, values=values)
    if table.text("format", f'format = "{FORMAT}"') != FORMAT:
        raise table.refusal("format", f'"{FORMAT}"')
    refuse_unknown(table, _SET_KEYS)
    source = table.text("source", 'source = "Shop rule"')
    edition = table.text("edition", 'edition = "2026"')
    limits: list[Limit] = []
    if "take" in values:
        for row in table.tables("take", "[[take]]"):
            limits += _taken(row, f"{source} ({edition})")
    if "limit" in values or not limits:
        rows = table.tables("limit", "[[limit]]")
        limits += _written(rows, source, edition)
    return LimitSet(
        name=name,
        title=table.text("title", 'title = "Shop rule"'),
        source=source,
        edition=edition,
        family=word(table, "family", Family, Family.OWN),
        rule=word(table, "rule", DecisionRule, DecisionRule.FULL),
        note=text(table, "note"),
        look_for=_look_for(table),
        limits=tuple(limits),
    )


def _written(rows: Sequence[TomlTable], source: str, edition: str) -> list[Limit]:
    """Limits of the file's own tables; one that stands there twice was a copy to be changed."""
    limits: list[Limit] = []
    for row in rows:
        limit = limit_of(row, source=source, edition=edition)
        if limit in limits:
            raise LimitTwiceError(row.place(), rows[limits.index(limit)].place())
        limits.append(limit)
    return limits


def _look_for(top: TomlTable) -> dict[WeldPass, str]:
    """Sentence on each pass, of the table ``[look_for]``."""
    if "look_for" not in top.values:
        return {}
    values = top.values["look_for"]
    if not isinstance(values, dict):
        raise top.refusal("look_for", "written as a table that begins with [look_for]")
    table = TomlTable(file=top.file, values=values, header="look_for", label="look_for")
    refuse_unknown(table, tuple(WeldPass))
    return {each: text(table, each) for each in WeldPass if text(table, each)}


def _taken(table: TomlTable, source: str) -> Iterator[Limit]:
    """Limits of a shipped set, all or those of some quantities or imperfections."""
    refuse_unknown(table, _TAKE_KEYS)
    name = table.text("from", 'from = "iso-5817-c"')
    if name not in limit_sets():
        near = near_words(name, limit_sets())
        if len(near) == 1:
            raise WrongWordError(table.place("from"), "from", name, near[0])
        raise table.refusal("from", f"one of {', '.join(near or limit_sets())}")
    quantities = words(table, "quantities", QuantityName)
    imperfections = texts(table, "imperfections", 'imperfections = ["5011"]')
    note = text(table, "note")
    taken = [
        limit
        for limit in load_limit_set(name).limits
        if (not quantities or limit.quantity in quantities)
        and (not imperfections or set(imperfections) & set(limit.imperfections))
    ]
    if not taken:
        raise NothingTakenError(table.place(), name)
    for limit in taken:
        # A number is no surer than the statement that it applies.
        applies = word(table, "verified", Verified, limit.verified)
        yield _of_source(
            limit,
            source=f"{source}: {limit.source}",
            verified=max(limit.verified, applies, key=_VERIFIED_ORDER.index),
            note=" ".join(each for each in (limit.note, note) if each),
        )


def _of_source(limit: Limit, *, source: str, verified: Verified, note: str) -> Limit:
    """Return the limit, both of its printed numbers, as another source has it."""
    other = limit.other and replace(limit.other, source=source, verified=verified, note=note)
    return replace(limit, source=source, verified=verified, note=note, other=other)
