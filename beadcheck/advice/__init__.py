"""What to change on the next run, from what was measured and from nothing else.

A symptom is seen where a value exceeds its limit, or what is usual, by more than its expanded
uncertainty, or where it is likelier than not to exceed a limit (then the advice says so). Rules
lead from symptoms to changes; amounts come from what is measured and set.
"""

from beadcheck.advice.advise import advise
from beadcheck.advice.choose import MOST_ADVICE, joined
from beadcheck.advice.piece import Advice, Basis, Sureness, Urgency
from beadcheck.advice.push import Lever, Push, opposed
from beadcheck.advice.situation import CurrentRange, LookedAt, Place, StatedBy

__all__ = [
    "MOST_ADVICE",
    "Advice",
    "Basis",
    "CurrentRange",
    "Lever",
    "LookedAt",
    "Place",
    "Push",
    "StatedBy",
    "Sureness",
    "Urgency",
    "advise",
    "joined",
    "opposed",
]
