"""The rules: which change is tried first for which symptom, by process and pass."""

from typing import Final

from beadcheck.advice.rules.evenness import EVENNESS_RULES
from beadcheck.advice.rules.face import FACE_RULES
from beadcheck.advice.rules.groove import GROOVE_RULES
from beadcheck.advice.rules.places import PLACE_RULES
from beadcheck.advice.rules.pulses import PULSE_RULES
from beadcheck.advice.rules.root_side import ROOT_SIDE_RULES
from beadcheck.advice.rules.rule import Change, Rule

__all__ = ["RULES", "Change", "Rule"]

RULES: Final[tuple[Rule, ...]] = (
    *PULSE_RULES,
    *ROOT_SIDE_RULES,
    *GROOVE_RULES,
    *FACE_RULES,
    *EVENNESS_RULES,
    *PLACE_RULES,
)
"""The first that holds for a symptom is the one that speaks: special cases stand before the general
one."""
