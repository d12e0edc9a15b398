"""Rules on places to look at: an eye says what they are, and only then is anything changed."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import SPATTERING, STICK, WIRE, Change, Rule
from beadcheck.advice.symptom import Symptom
from beadcheck.coupon import Process
from beadcheck.indications import CandidateKind, look_here_words


def _rule(
    symptom: Symptom,
    kind: CandidateKind,
    words: str,
    why: str,
    *basis: Basis,
    processes: tuple[Process, ...] = (),
) -> Rule:
    change = Change(
        move=Move.LOOK, words=f"Look before you change anything. {words}", why=why, basis=basis
    )
    return Rule(
        symptom=symptom,
        processes=processes,
        changes=(change,),
        look_first=look_here_words(kind),
    )


PLACE_RULES: Final = (
    _rule(
        Symptom.DIP_AT_END,
        CandidateKind.DIP_AT_END,
        "Only if it is a crater, slope the current down at the end, and feed on.",
        "A crater stays where the arc goes out before the pool is filled.",
        Basis.TIG_HANDBOOK,
        Basis.CRATER_GLOSSARY,
        processes=WIRE,
    ),
    _rule(
        Symptom.DIP_AT_END,
        CandidateKind.DIP_AT_END,
        "Only if it is a crater, pause at the end and step back before you break off.",
        "A crater stays where the arc is broken off before the pool is filled.",
        Basis.CRATER_GLOSSARY,
        Basis.PRACTICE,
    ),
    _rule(
        Symptom.LINE_AT_TOE,
        CandidateKind.LINE_AT_TOE,
        "Only if it is undercut, pause at the {edge} until the pool has filled it.",
        "Undercut is base metal that the arc melted away and the pool did not refill.",
        Basis.DEFECTS_TABLE,
        Basis.ARMY_COURSE,
    ),
    _rule(
        Symptom.SPOTS_ON_FACE,
        CandidateKind.SPOT_ON_FACE,
        "Only if they are pores, clean the joint, use dry rods, and keep the arc short.",
        "Pores come from dirt, damp electrodes or a long arc.",
        Basis.TROUBLE_TABLES,
        processes=STICK,
    ),
    _rule(
        Symptom.SPOTS_ON_FACE,
        CandidateKind.SPOT_ON_FACE,
        "Only if they are pores, clean the joint and the filler, and check the gas.",
        "Pores come from dirt, or from gas that does not cover the pool.",
        Basis.TIG_HANDBOOK,
        Basis.WIRE_ARTICLE,
    ),
    _rule(
        Symptom.SPOTS_ON_BASE,
        CandidateKind.SPOT_ON_BASE,
        "Only if they are spatter, shorten the arc.",
        "A long arc throws drops out of the pool.",
        Basis.TROUBLE_TABLES,
        processes=SPATTERING,
    ),
    _rule(
        Symptom.ROUGH_SPOT,
        CandidateKind.ROUGH_SPOT,
        "Only if it is the mark of an arc, strike the arc inside the joint, ahead of the pool.",
        "A strike beside the joint leaves a mark, and the weld never covers it.",
        Basis.PIPE_TEXTBOOK,
        Basis.PRACTICE,
    ),
)
