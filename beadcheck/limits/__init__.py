"""Limit sets as data, and the comparison of quantities with them."""

from beadcheck.limits.check import Check, check
from beadcheck.limits.decision import (
    DecisionRule,
    Finding,
    Sense,
    conformity_probability,
    decide,
)
from beadcheck.limits.limit import Limit, LimitSet, Obligation, Verified
from beadcheck.limits.read import default_limit_set, limit_sets, load_limit_set

__all__ = [
    "Check",
    "DecisionRule",
    "Finding",
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
    "load_limit_set",
]
