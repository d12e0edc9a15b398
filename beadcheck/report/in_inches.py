"""Inches beside the millimetres of a finished sentence, such as a piece of advice or a note."""

import re
from typing import Final

from beadcheck.report.wording import LengthUnit
from beadcheck.units import MM_PER_INCH

_NUMBER: Final = r"\d+(?:\.\d+)?"
_LENGTH: Final = re.compile(
    rf"(?P<first>-?{_NUMBER})(?: (?P<then>to|±) (?P<last>-?{_NUMBER}))? mm(?P<per>/min)?\b"
)
"""A length or a travel speed, alone, as a span, or with its uncertainty."""
_MORE_DECIMALS: Final = 2
_MOST_DECIMALS: Final = 3
"""A thousandth of an inch is less than any U of a phone photo."""


def in_unit(words: str, unit: LengthUnit) -> str:
    """Sentence with inches beside its millimetres, where inches are wanted.

    Examples
    --------
    >>> in_unit("Move about 1.6 mm instead of 3.1 mm per pulse.", LengthUnit.INCH)
    'Move about 1.6 mm (0.063 in) instead of 3.1 mm (0.122 in) per pulse.'
    >>> in_unit("Leave 0.8 to 1.6 mm (limit 3.2 mm).", LengthUnit.INCH)
    'Leave 0.8 to 1.6 mm (0.031 to 0.063 in) (limit 3.2 mm, 0.126 in).'
    >>> in_unit("They make a travel of 150 ± 8 mm/min.", LengthUnit.INCH)
    'They make a travel of 150 ± 8 mm/min (5.9 ± 0.3 in/min).'
    >>> in_unit("Travel at about 45 mm/min.", LengthUnit.MM)
    'Travel at about 45 mm/min.'
    """
    if unit is LengthUnit.MM:
        return words
    return _LENGTH.sub(lambda found: found[0] + _beside(found), words)


def _beside(found: re.Match[str]) -> str:
    """Inches of a length, in brackets unless they stand within brackets already."""
    inches = _inches(found["first"], found)
    if found["last"] is not None:
        inches += f" {found['then']} {_inches(found['last'], found)}"
    inches += f" in{found['per'] or ''}"
    before = found.string[: found.start()]
    return f", {inches}" if before.count("(") > before.count(")") else f" ({inches})"


def _inches(number: str, found: re.Match[str]) -> str:
    written = len(number.partition(".")[2])
    decimals = 1 if found["per"] else min(written + _MORE_DECIMALS, _MOST_DECIMALS)
    return f"{float(number) / MM_PER_INCH:.{decimals}f}"
