"""Rules on the root side: too much, too little, drawn in."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import PULSED, STICK, WIRE, Change, Rule
from beadcheck.advice.symptom import Symptom
from beadcheck.coupon import WeldPass

THROUGH_OR_DRAWN_IN: Final = (
    "Check the two edges of the root: an edge that still shows is not through, and asks "
    "for heat; edges that are melted away were drawn in, and ask for wire."
)

_SHORTER_PEAK: Final = Change(
    move=Move.SHORTEN_PEAK,
    why="The peak melts through; the shorter it lasts, the less metal sinks to the root side.",
    basis=(Basis.PRACTICE, Basis.PULSE_MANUAL),
)
_LOWER_BACKGROUND: Final = Change(
    move=Move.LOWER_BACKGROUND,
    why="A background that is too hot keeps the pool from freezing before the next peak.",
    basis=(Basis.PRACTICE, Basis.PULSE_GUIDE),
)
_LONGER_BACKGROUND: Final = Change(
    move=Move.LENGTHEN_BACKGROUND,
    why="With too short a background the steps crowd, and each peak finds the metal still hot.",
    basis=(Basis.PRACTICE,),
)
_LARGER_STEPS: Final = Change(
    move=Move.STEP_MORE,
    why="Crowded steps heat the same place again and again, and it sinks through.",
    basis=(Basis.PRACTICE, Basis.OVERLAP_FORMULA),
)

# What sinks through hangs like a drop: its toes are steep, and a hotter pool would make it worse.
ROOT_SIDE_RULES: Final = (
    Rule(
        symptom=Symptom.ROOT_HIGH,
        processes=PULSED,
        beside=(Symptom.SPOTS_CROWDED,),
        changes=(_LARGER_STEPS, _SHORTER_PEAK, _LOWER_BACKGROUND, _LONGER_BACKGROUND),
        explains=(Symptom.SPOTS_MERGE, Symptom.STEEP_TOE),
    ),
    Rule(
        symptom=Symptom.ROOT_HIGH,
        processes=PULSED,
        changes=(_SHORTER_PEAK, _LOWER_BACKGROUND, _LONGER_BACKGROUND),
        explains=(Symptom.STEEP_TOE,),
    ),
    Rule(
        symptom=Symptom.ROOT_HIGH,
        changes=(
            Change(
                move=Move.LOWER_CURRENT,
                why="Less heat lets less metal sink through the root.",
                basis=(Basis.INSPECTION_GUIDE, Basis.EXAM_ANSWERS),
            ),
            Change(
                move=Move.SPEED_UP,
                why="A pool that moves on sooner sinks less.",
                basis=(Basis.INSPECTION_GUIDE, Basis.EXAM_ANSWERS, Basis.DEFECTS_PAGE),
            ),
            Change(
                move=Move.CLOSE_ROOT,
                words="Tack with a root opening 0.5 mm tighter.",
                why="A wide opening and a thin land let the pool sink through.",
                basis=(Basis.INSPECTION_GUIDE, Basis.EXAM_ANSWERS),
            ),
        ),
        explains=(Symptom.STEEP_TOE,),
    ),
    Rule(
        symptom=Symptom.ROOT_NOT_THROUGH,
        processes=WIRE,
        overhead_only=True,
        changes=(
            Change(
                move=Move.ADD_METAL,
                words="Push more wire through the root, and keep it at the front of the pool.",
                why="Overhead the pool sags away from the root unless wire holds it up.",
                basis=(Basis.DEFECTS_PAGE,),
            ),
            Change(
                move=Move.SHORTEN_ARC,
                words="Keep a shorter arc over the root.",
                why="A short arc keeps the pool small, so that it does not sag away.",
                basis=(Basis.PRACTICE, Basis.DEFECTS_PAGE),
            ),
        ),
        explains=(Symptom.ROOT_CONCAVE,),
        look_first=THROUGH_OR_DRAWN_IN,
    ),
    Rule(
        symptom=Symptom.ROOT_NOT_THROUGH,
        processes=PULSED,
        changes=(
            Change(
                move=Move.LENGTHEN_PEAK,
                why="The peak melts through; too short a one only warms the root.",
                basis=(Basis.PRACTICE, Basis.PULSE_MANUAL),
            ),
            Change(
                move=Move.RAISE_CURRENT,
                why="A peak current that is too low does not reach the root.",
                basis=(Basis.PRACTICE, Basis.PULSE_GUIDE),
            ),
        ),
        explains=(Symptom.ROOT_CONCAVE,),
        look_first=THROUGH_OR_DRAWN_IN,
    ),
    Rule(
        symptom=Symptom.ROOT_NOT_THROUGH,
        changes=(
            Change(
                move=Move.RAISE_CURRENT,
                why="Too little current penetrates poorly.",
                basis=(Basis.ARC_MANUAL, Basis.ARMY_COURSE),
            ),
            Change(
                move=Move.SLOW_DOWN,
                why="Travel that is too fast penetrates poorly.",
                basis=(Basis.ARC_MANUAL, Basis.ARMY_COURSE),
            ),
            Change(
                move=Move.OPEN_ROOT,
                words="Tack with a root opening 0.5 mm wider, or with a thinner land.",
                why="A tight opening and a thick land keep the arc from the root.",
                basis=(Basis.ROOT_NOTES,),
            ),
        ),
        explains=(Symptom.ROOT_CONCAVE,),
        look_first=THROUGH_OR_DRAWN_IN,
    ),
    Rule(
        symptom=Symptom.ROOT_CONCAVE,
        changes=(
            Change(
                move=Move.ADD_METAL,
                words="Push a little more wire through the root.",
                why="A root is drawn in where too little filler went through it.",
                basis=(Basis.DEFECTS_PAGE, Basis.PIPE_TEXTBOOK),
                processes=WIRE,
            ),
            Change(
                move=Move.SHORTEN_ARC,
                words="Keep a shorter arc over the root.",
                why="A long arc makes a wide pool, which droops away from the root.",
                basis=(Basis.PRACTICE, Basis.DEFECTS_PAGE),
            ),
            Change(
                move=Move.LOWER_CURRENT,
                why="A pool that is too hot droops away from the root.",
                basis=(Basis.DEFECTS_PAGE,),
            ),
        ),
        look_first=THROUGH_OR_DRAWN_IN,
    ),
    *(
        Rule(
            symptom=symptom,
            passes=(WeldPass.ROOT_SIDE,),
            changes=(
                Change(
                    move=Move.LOWER_CURRENT,
                    why="Too much current melts the edges of the root away.",
                    basis=(Basis.DEFECTS_TABLE, Basis.PRACTICE),
                ),
                Change(
                    move=Move.ADD_METAL,
                    words="Push a little more wire through the root.",
                    why="Wire fills what the arc has melted away.",
                    basis=(Basis.PRACTICE,),
                    processes=WIRE,
                ),
                Change(
                    move=Move.SHORTEN_ARC,
                    words="Keep a shorter arc over the root.",
                    why="A long arc melts more of the edges than the pool can fill.",
                    basis=(Basis.DEFECTS_TABLE,),
                    processes=STICK,
                ),
            ),
            explains=(Symptom.LINE_AT_TOE,),
        )
        for symptom in (Symptom.UNDERCUT, Symptom.UNDERCUT_BOTH)
    ),
)
