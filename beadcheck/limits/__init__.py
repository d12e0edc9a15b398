"""Limit sets as data, and the comparison of quantities with them."""

from beadcheck.limits.check import Check, check, limits_for, look_for
from beadcheck.limits.decision import (
    GUARD_BAND_IN_U,
    DecisionRule,
    Finding,
    Sense,
    conformity_probability,
    decide,
)
from beadcheck.limits.judge import otherwise_words
from beadcheck.limits.limit import (
    SIGNED,
    Family,
    Limit,
    LimitSet,
    Obligation,
    Verified,
)
from beadcheck.limits.not_judged import NOT_JUDGED, not_judged
from beadcheck.limits.printed import Judging, LengthSystem, inch_words, limit_length_words
from beadcheck.limits.read import default_limit_set, limit_sets, load_limit_set

__all__ = [
    "GUARD_BAND_IN_U",
    "NOT_JUDGED",
    "SIGNED",
    "Check",
    "DecisionRule",
    "Family",
    "Finding",
    "Judging",
    "LengthSystem",
    "Limit",
    "LimitSet",
    "Obligation",
    "Sense",
    "Verified",
    "check",
    "conformity_probability",
    "decide",
    "default_limit_set",
    "inch_words",
    "limit_length_words",
    "limit_sets",
    "limits_for",
    "load_limit_set",
    "look_for",
    "not_judged",
    "otherwise_words",
]
