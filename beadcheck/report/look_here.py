"""The words about places to look at, the same in pictures, tables and on the page."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from beadcheck.indications import CandidateKind
from beadcheck.report.wording import LengthUnit, clock_words
from beadcheck.result import IndicationRecord
from beadcheck.units import MM_PER_INCH, Unit

LOOK_HERE: Final = "Look here"
HEADING: Final = "Look here: candidates only, for an inspector to judge"
DECIMALS: Final = {"mm": 1, "in": 2, "px": 0}


@dataclass(frozen=True, slots=True, kw_only=True)
class LookHereGroup:
    """Places that look alike, and what to do about them."""

    indications: tuple[IndicationRecord, ...]
    look_here: str


def look_here_groups(indications: Iterable[IndicationRecord]) -> list[LookHereGroup]:
    """Put places that look alike together, in the order of their first number."""
    groups: dict[str, list[IndicationRecord]] = {}
    for each in sorted(indications, key=lambda each: each.number):
        groups.setdefault(each.look_here, []).append(each)
    return [
        LookHereGroup(indications=tuple(each), look_here=words) for words, each in groups.items()
    ]


def place_words(indication: IndicationRecord, show: LengthUnit) -> str:
    """Return what is seen, how large, and where; its number stands before it.

    "Look here: dark round spot on the weld face, 0.9 × 0.7 ± 0.2 mm, at 42 mm"
    """
    lengths = _lengths(indication)
    words = [indication.words]
    if indication.kind == CandidateKind.LINE_AT_TOE:
        words += [
            f"{_one_length(lengths.along, lengths.along_u, lengths.unit, show)} long",
            f"{_one_length(lengths.across, lengths.across_u, lengths.unit, show)} wide",
        ]
    else:
        both = (lengths.along, lengths.across)
        expanded = max(lengths.along_u, lengths.across_u)
        metric = size_words(both, expanded, lengths.unit)
        words.append(
            f"{metric} ({size_words(both, expanded, 'in', per_unit=MM_PER_INCH)})"
            if show is LengthUnit.INCH and lengths.unit == Unit.MM
            else metric
        )
    return f"{LOOK_HERE}: {', '.join(words)}, {_where(indication, lengths)}"


def size_words(
    lengths: Sequence[float], expanded: float, unit: str, *, per_unit: float = 1.0
) -> str:
    """Length by length ± the larger U, rounded up.

    Examples
    --------
    >>> size_words((0.91, 0.68), 0.13, "mm")
    '0.9 × 0.7 ± 0.2 mm'
    """
    decimals = DECIMALS[unit]
    numbers = " × ".join(f"{length / per_unit:.{decimals}f}" for length in lengths)
    steps = math.ceil(expanded / per_unit * 10**decimals - 1e-6)
    return f"{numbers} ± {steps / 10**decimals:.{decimals}f} {unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lengths:
    """Both lengths with their U, and the place along the weld, in one unit."""

    along: float
    along_u: float
    across: float
    across_u: float
    s: float
    unit: Unit


def _lengths(each: IndicationRecord) -> _Lengths:
    in_mm = (
        each.length_along_mm,
        each.length_along_U_mm,
        each.length_across_mm,
        each.length_across_U_mm,
        each.s_mm,
    )
    in_px = (
        each.length_along_px,
        each.length_along_U_px,
        each.length_across_px,
        each.length_across_U_px,
        each.s_px,
    )
    unit = Unit.MM if each.s_px is None else Unit.PX
    along, along_u, across, across_u, s = (
        0.0 if length is None else length for length in (in_mm if unit == Unit.MM else in_px)
    )
    return _Lengths(along=along, along_u=along_u, across=across, across_u=across_u, s=s, unit=unit)


def _one_length(length: float, expanded: float, unit: Unit, show: LengthUnit) -> str:
    metric = size_words((length,), expanded, unit)
    if show is LengthUnit.MM or unit != Unit.MM:
        return metric
    return f"{metric} ({size_words((length,), expanded, 'in', per_unit=MM_PER_INCH)})"


def _where(indication: IndicationRecord, lengths: _Lengths) -> str:
    """Where its middle lies; of a line, where it begins and ends."""
    if indication.kind == CandidateKind.LINE_AT_TOE:
        first, last = (lengths.s + share * lengths.along for share in (-0.5, 0.5))
        return f"from {first:.0f} to {last:.0f} {lengths.unit}"
    along = f"{lengths.s:.0f} {lengths.unit}"
    if indication.clock_deg is None:
        return f"at {along}"
    return f"at {clock_words(indication.clock_deg)}, {along}"
