"""Rules on an unsteady hand."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import Change, Rule
from beadcheck.advice.symptom import Symptom


def _rule(symptom: Symptom, move: Move, words: str, why: str, *basis: Basis) -> Rule:
    change = Change(move=move, words=words, why=why, basis=(*basis, Basis.PRACTICE))
    return Rule(symptom=symptom, changes=(change,))


EVENNESS_RULES: Final = (
    Rule(
        symptom=Symptom.RIPPLES_LONG,
        changes=(
            Change(
                move=Move.SLOW_DOWN,
                why="Travel that is too fast draws the pool out, and its ripples with it.",
                basis=(Basis.HANDBOOKS,),
            ),
        ),
    ),
    _rule(
        Symptom.WEAVE_UNEVEN,
        Move.KEEP_TO_WEAVE,
        "Count the same beat for every weave, and pause equally long at each edge.",
        "On a weave the width follows how far you swing and how long you stay at the edges.",
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.STRINGER_UNEVEN,
        Move.KEEP_RHYTHM,
        "Keep one steady travel speed: mark equal steps, such as every 25 mm, beside the joint and "
        "take the same count from mark to mark.",
        "On a straight bead the width grows wherever the pool stays longer.",
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.TOE_WAVY,
        Move.KEEP_TO_WEAVE,
        "Pause at the {edge} as steadily as you do at the other.",
        "A toe is straight where the pool has wetted the edge equally long at every swing.",
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.TOES_WAVY,
        Move.KEEP_TO_WEAVE,
        "Pause for the same short count at both edges, every time, before you cross over.",
        "A toe is straight where the pool has wetted the edge equally long at every swing.",
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.RIPPLES_UNEVEN,
        Move.KEEP_RHYTHM,
        "Brace your forearm or slide your hand on a rest, and keep one even rhythm.",
        "Each ripple marks one step of the pool, so uneven spacing is uneven travel.",
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.RIPPLE_JUMP,
        Move.KEEP_RHYTHM,
        "Settle your stance so that you can reach the whole run before you strike the arc.",
        "A long gap is a jump of the pool, mostly made where the arm runs out of reach.",
    ),
    _rule(
        Symptom.WANDERS,
        Move.AIM_BETTER,
        "Sit so that you look along the joint, and make a dry run over its whole length.",
        "Seen along the joint, the pool shows a drift before it becomes a bend.",
    ),
)
