"""Rules on places to look at: what to do if the eye confirms what they look like."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import SPATTERING, STICK, WIRE, Change, Rule
from beadcheck.advice.symptom import Symptom
from beadcheck.indications import CandidateKind, look_here_words

PLACE_RULES: Final = (
    Rule(
        symptom=Symptom.DIP_AT_END,
        processes=WIRE,
        changes=(
            Change(
                move=Move.END_BETTER,
                words="If it is a crater, slope the current down at the end, and feed on.",
                why="A crater stays where the arc goes out before the pool is filled.",
                basis=(Basis.PRACTICE,),
            ),
        ),
        look_first=look_here_words(CandidateKind.DIP_AT_END),
    ),
    Rule(
        symptom=Symptom.DIP_AT_END,
        changes=(
            Change(
                move=Move.END_BETTER,
                words="If it is a crater, pause at the end and step back before you break off.",
                why="A crater stays where the arc is broken off before the pool is filled.",
                basis=(Basis.PRACTICE,),
            ),
        ),
        look_first=look_here_words(CandidateKind.DIP_AT_END),
    ),
    Rule(
        symptom=Symptom.LINE_AT_TOE,
        changes=(
            Change(
                move=Move.KEEP_TO_WEAVE,
                words="If it is undercut, pause at the {edge} until the pool has filled it.",
                why="Undercut is base metal that the arc melted away and the pool did not refill.",
                basis=(Basis.DEFECTS_TABLE, Basis.SHAPE_NOTES),
            ),
        ),
        look_first=look_here_words(CandidateKind.LINE_AT_TOE),
    ),
    Rule(
        symptom=Symptom.SPOT_ON_FACE,
        processes=STICK,
        changes=(
            Change(
                move=Move.CLEAN,
                words="If it is a pore, clean the joint, use dry rods, and keep the arc short.",
                why="Pores come from dirt, damp electrodes or a long arc.",
                basis=(Basis.EXAM_ANSWERS, Basis.PORE_PAGE),
            ),
        ),
        look_first=look_here_words(CandidateKind.SPOT_ON_FACE),
    ),
    Rule(
        symptom=Symptom.SPOT_ON_FACE,
        changes=(
            Change(
                move=Move.CLEAN,
                words="If it is a pore, clean the joint and the filler, and check the gas.",
                why="Pores come from dirt, or from gas that does not cover the pool.",
                basis=(Basis.EXAM_ANSWERS, Basis.PORE_PAGE, Basis.WIRE_ARTICLE),
            ),
        ),
        look_first=look_here_words(CandidateKind.SPOT_ON_FACE),
    ),
    Rule(
        symptom=Symptom.SPOT_ON_BASE,
        processes=SPATTERING,
        changes=(
            Change(
                move=Move.SHORTEN_ARC,
                words="If it is spatter, shorten the arc.",
                why="A long arc throws drops out of the pool.",
                basis=(Basis.ARC_MANUAL,),
            ),
            Change(
                move=Move.LOWER_CURRENT,
                why="Too much current throws drops out of the pool.",
                basis=(Basis.ARC_MANUAL,),
            ),
        ),
        look_first=look_here_words(CandidateKind.SPOT_ON_BASE),
    ),
    Rule(
        symptom=Symptom.ROUGH_SPOT,
        changes=(
            Change(
                move=Move.END_BETTER,
                words="If it is the mark of an arc, strike up inside the joint, ahead of the pool.",
                why="A strike beside the joint leaves a mark, and the weld never covers it.",
                basis=(Basis.PRACTICE,),
            ),
        ),
        look_first=look_here_words(CandidateKind.ROUGH_SPOT),
    ),
)
