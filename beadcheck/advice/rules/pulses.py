"""Rules on the spots of a pulsed pass."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import Change, Rule
from beadcheck.advice.symptom import Symptom

_CLOSER: Final = (
    Change(
        move=Move.STEP_LESS,
        why="Overlap is what is left of a spot when the next one has stepped on.",
        basis=(Basis.OVERLAP_FORMULA, Basis.PULSE_ARTICLE),
    ),
    Change(
        move=Move.LENGTHEN_PEAK,
        why="A longer peak makes a larger spot, which reaches the next one at the same step.",
        basis=(Basis.OVERLAP_FORMULA, Basis.PRACTICE),
    ),
)

PULSE_RULES: Final = (
    Rule(
        symptom=Symptom.GAP_BETWEEN_SPOTS,
        changes=_CLOSER,
        explains=(Symptom.GAP_AT_ONE_PLACE, Symptom.LOW_OVERLAP),
        look_first="Check whether metal between two spots is unmelted.",
    ),
    Rule(
        symptom=Symptom.GAP_AT_ONE_PLACE,
        beside=(Symptom.LOW_OVERLAP,),
        changes=_CLOSER,
        explains=(Symptom.LOW_OVERLAP,),
        look_first="Check whether metal between these two spots is unmelted.",
    ),
    Rule(
        symptom=Symptom.GAP_AT_ONE_PLACE,
        changes=(
            Change(
                move=Move.KEEP_RHYTHM,
                words="Step equally far on every background, with your hand on a rest.",
                why="The average step is close enough; it is the one long step that left a gap.",
                basis=(Basis.OVERLAP_FORMULA, Basis.PRACTICE),
            ),
        ),
        explains=(Symptom.RIPPLE_JUMP,),
        look_first="Check whether metal between these two spots is unmelted.",
    ),
    Rule(symptom=Symptom.LOW_OVERLAP, changes=_CLOSER),
    Rule(
        symptom=Symptom.SPOTS_MERGE,
        changes=(
            Change(
                move=Move.STEP_MORE,
                why="Spots this close put more heat into the metal than they need to seal.",
                basis=(Basis.OVERLAP_FORMULA, Basis.PULSE_ARTICLE),
            ),
        ),
    ),
)
