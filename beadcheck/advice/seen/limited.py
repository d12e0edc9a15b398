"""How urgent a finding against a limit is."""

from typing import Final

from beadcheck.advice.piece import Urgency
from beadcheck.limits import Check, Finding

LIKELY_BEYOND: Final = 0.75
"""Probability of not meeting the limit from which an undecided finding gets advice: three to one
(our choice, no published source)."""


def urgency_of(check: Check) -> Urgency | None:
    """How urgent a finding is; None where nothing is wrong, or nobody knows.

    Of a limit of zero the guard band always covers some good values, so there only what is surely
    outside counts.
    """
    if check.finding is Finding.OUTSIDE:
        return Urgency.OUTSIDE
    meets = check.conformity_probability
    if check.finding is not Finding.UNDECIDED or meets is None or not check.limit_value:
        return None
    return Urgency.UNDECIDED if 1.0 - meets >= LIKELY_BEYOND else None
