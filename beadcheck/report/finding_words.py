"""A finding in words: what was compared with what, and by which rule."""

from typing import Final

from beadcheck.limits import SIGNED, Finding, LengthSystem, limit_length_words
from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck.result import CheckRecord

SURE: Final = 0.999
"""Probability beyond which more digits would claim too much of a normal distribution's tail."""


def check_words(check: CheckRecord, show: LengthUnit) -> str:
    """What was compared with what, without the finding: value, sense, limit."""
    words = full_words(check.name, check.statistic, check.side)
    parts = []
    if check.value is not None:
        parts.append(value_words(check.value, check.expanded_uncertainty, check.unit, show))
    if check.limit is not None:
        parts.append(f"{check.obligation} be {limit_words(check)}")
    return f"{words}: {', '.join(parts)}" if parts else words


def limit_words(check: CheckRecord) -> str:
    """Sense and limit of a comparison, by the number that its source prints.

    Sources print inches and mm apart: neither is made from the other, whatever is shown.
    """
    if check.limit is None:
        return ""
    if _forbids_any(check):
        return "none"
    limit = _size_words(check, check.limit)
    if check.lowest is not None:
        return f"{check.sense} {_size_words(check, check.lowest)} and {limit}"
    return f"{check.sense} {limit}"


def _forbids_any(check: CheckRecord) -> bool:
    """Whether nothing at all is permitted of something that cannot lie below zero."""
    difference = "-" in (check.statistic or "")
    signed = check.name in SIGNED or difference or check.unit != "mm"
    return check.limit == 0.0 and check.sense == "at most" and not signed


def judged_words(check: CheckRecord) -> str:
    """By which guard band it was judged, and how likely the limit is met; empty if nothing was.

    Examples
    --------
    >>> from beadcheck.result import CheckRecord
    >>> judged_words(CheckRecord(name="underfill", finding=Finding.WITHIN, value=0.1, limit=0.5,
    ...     unit="mm", source="Shop rule", rule="w = U", conformity_probability=0.99991))
    'guard band w = U; over 99.9 % likely to conform'
    """
    if check.finding is Finding.NOT_MEASURED or not check.rule:
        return ""
    rule = f"guard band {check.rule}"
    probability = check.conformity_probability
    return rule if probability is None else f"{rule}; {likely_words(probability)} likely to conform"


def likely_words(probability: float) -> str:
    """Probability as a percentage that never claims certainty.

    Examples
    --------
    >>> likely_words(0.9772), likely_words(0.25), likely_words(1.0), likely_words(0.0)
    ('97.7 %', '25 %', 'over 99.9 %', 'under 0.1 %')
    """
    if probability > SURE:
        return f"over {100.0 * SURE:g} %"
    if probability < 1.0 - SURE:
        return f"under {100.0 * (1.0 - SURE):.1g} %"
    decimals = 1 if probability > 0.95 or probability < 0.05 else 0
    return f"{100.0 * probability:.{decimals}f} %"


def _size_words(check: CheckRecord, limit: float) -> str:
    if check.unit == "mm":
        return limit_length_words(limit, LengthSystem(check.printed_in))
    return value_words(limit, None, check.unit, LengthUnit.MM)
