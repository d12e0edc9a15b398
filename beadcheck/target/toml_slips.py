"""Slips of the pen that break the grammar of TOML: which line, which key, and the mend."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

USUAL_MEND: Final = (
    "Mend that line: words stand in quotes, every list is closed, no key comes twice."
)
_LONGEST_LINE: Final = 200
"""Characters of a line that are looked at: nobody types longer ones by a slip of the pen."""
_LINES_OF_LIST: Final = 50
"""Lines above the fault in which a list that it stands in may have begun."""

_PAIR: Final = re.compile(r"\s*([\w.-]+)\s*=\s*(.*?)\s*$")
_HEADER: Final = re.compile(r"\s*(\[{1,2})\s*([\w.-]+)\s*\]{0,2}\s*$")
_WITHOUT_EQUALS: Final = re.compile(r"\s*([\w-]+)\s*[:\s]\s*(\S.*?)\s*$")
_CURLY_QUOTES: Final = "“”„‟«»‘’"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip of the pen.

    Attributes
    ----------
    line
        Number of the line, from 1; None where the file has none.
    what
        The key at fault, or "this".
    """

    line: int | None
    what: str = "this"
    mend: str = USUAL_MEND


def slip_of(text: str, line: int | None, detail: str) -> Slip:
    """Name the slip that a reader of TOML stumbled over.

    Parameters
    ----------
    line
        Where it stumbled; None at the end of the file.
    detail
        Its own words.

    Examples
    --------
    >>> slip_of("value_mm = 3,2", 1, "expected newline").mend
    'Write value_mm = 3.2, with a point.'
    """
    lines = text.splitlines()
    while line is None and lines and not lines[-1].strip():
        lines.pop()
    number = min(line or len(lines), len(lines))
    if number == 0:
        return Slip(line=None)
    number = _start_of_list(lines, number, detail) or number
    written = lines[number - 1]
    if len(written) > _LONGEST_LINE or not written.replace("\t", " ").isprintable():
        return Slip(line=number)
    if header := _HEADER.match(written):
        return _slip_of_header(number, header[2], detail)
    if pair := _PAIR.match(written):
        key, value = pair[1], _without_comment(pair[2])
        twice = detail.startswith(("cannot overwrite", "cannot mutate"))
        mend = "It stands there twice: keep one of the two." if twice else _mend(key, value)
        return Slip(line=number, what=key, mend=mend or USUAL_MEND)
    if bare := _WITHOUT_EQUALS.match(written):
        key, value = bare[1], bare[2]
        value = value if _is_value(value) else f'"{value}"'
        return Slip(line=number, what=key, mend=f"Write {key} = {value}.")
    return Slip(line=number)


def _start_of_list(lines: Sequence[str], number: int, detail: str) -> int | None:
    """Line on which a list begins that is still open on this one; None where none is."""
    # A list that is left open is noticed at whatever follows it.
    last = number - 1 if detail.startswith("unclosed array") else number
    for start in (number, *range(last, max(0, number - _LINES_OF_LIST), -1)):
        pair = _PAIR.match(lines[start - 1][:_LONGEST_LINE])
        if pair is None or (start > last and not pair[2].startswith("[")):
            continue
        inside = "\n".join(lines[start - 1 : number])
        unclosed = inside.count("[") > inside.count("]")
        return start if pair[2].startswith("[") and unclosed else None
    return None


def _slip_of_header(number: int, name: str, detail: str) -> Slip:
    if detail.startswith("cannot"):
        mend = f"It stands there twice: keep one, or write [[{name}]] for each of several."
        return Slip(line=number, what=f"[{name}]", mend=mend)
    return Slip(line=number, what=name, mend=f"Write [[{name}]], or [{name}] for a single table.")


def _without_comment(value: str) -> str:
    quoted = value.startswith(('"', "'"))
    return value if quoted else value.partition("#")[0].strip()


def _is_value(value: str) -> bool:
    return value in {"true", "false"} or value[0] in "\"'[{" or value.replace(".", "").isdigit()


def _mend(key: str, value: str) -> str:
    """Mend of a value, by what it looks like; empty where it looks like nothing known."""
    for looks, mend in _MENDS:
        if found := looks.fullmatch(value):
            return mend(key, found)
    return ""


def _quoted(key: str, found: re.Match[str]) -> str:
    return f'Put it in quotes: {key} = "{found[1]}".'


def _straight(key: str, found: re.Match[str]) -> str:
    inside = found[0].strip(f"{_CURLY_QUOTES}\"'")
    return f'Write straight quotes: {key} = "{inside}".'


def _list_closed(key: str, found: re.Match[str]) -> str:
    return f"Close the list: {key} = {found[0]}]."


def _list_quoted(key: str, found: re.Match[str]) -> str:
    words = ", ".join(f'"{each.strip()}"' for each in found[1].split(",") if each.strip())
    return f"Put each word in quotes: {key} = [{words}]."


_MENDS: Final[tuple[tuple[re.Pattern[str], Callable[[str, re.Match[str]], str]], ...]] = (
    (re.compile(""), lambda key, _: f'Write a number or "words" after {key} =.'),
    (re.compile(f"[{_CURLY_QUOTES}].*|.*[{_CURLY_QUOTES}]"), _straight),
    (
        re.compile(r"(-?\d+),(\d+)"),
        lambda key, m: f"Write {key} = {m[1]}.{m[2]}, with a point.",
    ),
    (re.compile(r"((?:\d+[ -])?\d+/\d+)\s*(?:\"|in|inch)?"), _quoted),
    (re.compile(r"(-?)(\.\d+)"), lambda key, m: f"Write {key} = {m[1]}0{m[2]}."),
    (re.compile(r"(-?\d+)\."), lambda key, m: f"Write {key} = {m[1]}.0."),
    (
        re.compile(r"(\d+(?:\.\d+)?)\s*%"),
        lambda key, m: f"Write {key} = {float(m[1]) / 100.0:.6g}, which is {m[0]}.",
    ),
    (
        re.compile(r"(-?\d+(?:\.\d+)?)\s*[A-Za-z°µ\"'].*"),
        lambda key, m: f"Write the number alone: {key} = {m[1]}.",
    ),
    (re.compile(r"(?i:true|yes)"), lambda key, _: f"Write {key} = true."),
    (re.compile(r"(?i:false|no)"), lambda key, _: f"Write {key} = false."),
    (
        re.compile(r"\"([^\"]*)|'([^']*)"),
        lambda key, m: f'Close the quotes: {key} = "{m[1] or m[2] or ""}".',
    ),
    (re.compile(r"\["), lambda key, _: f"Close the list of {key} with ] after its last word."),
    (re.compile(r"\[[^\]]*[\"'\d]\s*"), _list_closed),
    (re.compile(r"\[([A-Za-z][\w ,-]*)\]"), _list_quoted),
    (re.compile(r"([A-Za-z<>=≤≥][^\"'\[\]{}]*)"), _quoted),
)
"""What a value looks like, and the mend; the first that fits speaks."""
