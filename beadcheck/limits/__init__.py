"""Limit sets as data, and the comparison of quantities with them."""

from beadcheck.limits.check import Check, check, limits_for
from beadcheck.limits.decision import (
    DecisionRule,
    Finding,
    Sense,
    conformity_probability,
    decide,
)
from beadcheck.limits.limit import Limit, LimitSet, Obligation, Verified
from beadcheck.limits.printed import Judging, LengthSystem
from beadcheck.limits.read import default_limit_set, limit_sets, load_limit_set

__all__ = [
    "Check",
    "DecisionRule",
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
    "limit_sets",
    "limits_for",
    "load_limit_set",
]
