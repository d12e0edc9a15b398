"""Rules on the shape of the cap: heights, edges, width."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import PULSED, STICK, WIRE, Change, Rule
from beadcheck.advice.symptom import Symptom

_PAUSE: Final = Change(
    move=Move.KEEP_TO_WEAVE,
    words="Pause at the {edge} until the pool has filled what the arc has cut.",
    why="Undercut is base metal that the arc melted away and the pool did not refill.",
    basis=(Basis.DEFECTS_TABLE, Basis.ARMY_COURSE),
)
_SHORTER_ARC: Final = Change(
    move=Move.SHORTEN_ARC,
    words="Shorten the arc to about one core diameter of the electrode.",
    why="A long arc melts more of both edges than the pool can refill.",
    basis=(Basis.DEFECTS_TABLE,),
    processes=STICK,
)
_LESS_CURRENT: Final = Change(
    move=Move.LOWER_CURRENT,
    why="Too much current melts the edges away faster than the pool refills them.",
    basis=(Basis.DEFECTS_TABLE, Basis.ARMY_COURSE, Basis.BEAD_GLOSSARY),
)
_PAUSE_ON_PEAK: Final = Change(
    move=Move.KEEP_TO_WEAVE,
    words="Pause on the peak at the {edge}, and cross on the background.",
    why="The peak wets the edge, and the pool then refills what the arc has cut.",
    basis=(Basis.DEFECTS_TABLE, Basis.PRACTICE),
)
_WET_THE_TOE: Final = Change(
    move=Move.RAISE_CURRENT,
    why="A pool that is too cold stands up at the edge instead of wetting it.",
    basis=(Basis.WIRE_ARTICLE, Basis.WEAVE_MANUAL),
)
_DO_NOT_PILE: Final = Change(
    move=Move.SPEED_UP,
    why="Where travel is too slow the metal piles up, and rolls over the toe without fusing.",
    basis=(Basis.ARC_MANUAL,),
)
_STAY_AT_THE_TOE: Final = Change(
    move=Move.KEEP_TO_WEAVE,
    words="Pause at the {edge} until the pool has wetted it.",
    why="The bead stands up where the arc leaves the edge too soon.",
    basis=(Basis.WEAVE_MANUAL, Basis.PRACTICE),
)
_LET_IT_SPREAD: Final = Change(
    move=Move.SLOW_DOWN,
    why="A bead is narrow and stands up where the pool had no time to spread.",
    basis=(Basis.ARC_MANUAL, Basis.WIRE_ARTICLE),
)
_LESS_ON_EACH_MM: Final = Change(
    move=Move.SPEED_UP,
    why="The height is the metal that you leave on each millimetre of travel.",
    basis=(Basis.JOB_NOTES, Basis.DEFECTS_PAGE),
)

# What the hand does differently at one edge shows at one edge; what is set shows at both, and the
# tables of causes name the current first.
FACE_RULES: Final = (
    Rule(
        symptom=Symptom.UNDERCUT,
        processes=PULSED,
        changes=(_PAUSE_ON_PEAK, _LESS_CURRENT),
        explains=(Symptom.LINE_AT_TOE,),
    ),
    Rule(
        symptom=Symptom.UNDERCUT_BOTH,
        processes=PULSED,
        changes=(_LESS_CURRENT, _PAUSE_ON_PEAK),
        explains=(Symptom.LINE_AT_TOE,),
    ),
    Rule(
        symptom=Symptom.UNDERCUT,
        changes=(_PAUSE, _SHORTER_ARC, _LESS_CURRENT),
        explains=(Symptom.LINE_AT_TOE,),
    ),
    Rule(
        symptom=Symptom.UNDERCUT_BOTH,
        changes=(_LESS_CURRENT, _SHORTER_ARC, _PAUSE),
        explains=(Symptom.LINE_AT_TOE,),
    ),
    Rule(
        symptom=Symptom.STEEP_TOE,
        beside=(Symptom.ROPY,),
        changes=(_WET_THE_TOE, _LET_IT_SPREAD),
        explains=(
            Symptom.ROPY,
            Symptom.CAP_HIGH,
            Symptom.TOO_NARROW,
            Symptom.IRREGULAR_HIGH,
        ),
    ),
    Rule(
        symptom=Symptom.STEEP_TOE,
        beside=(Symptom.CAP_HIGH,),
        changes=(_DO_NOT_PILE, _WET_THE_TOE),
        explains=(Symptom.CAP_HIGH,),
    ),
    Rule(symptom=Symptom.STEEP_TOE, changes=(_WET_THE_TOE, _STAY_AT_THE_TOE)),
    Rule(
        symptom=Symptom.LOW_FILL,
        changes=(
            Change(
                move=Move.ADD_METAL,
                words=(
                    "Bring the last fill to 0.8 to 1.6 mm below the surface, with one more bead if "
                    "need be, before you run the cap."
                ),
                why="A cap covers the edges of the groove only if there is little left to fill.",
                basis=(Basis.PRACTICE,),
            ),
            Change(
                move=Move.SLOW_DOWN,
                why="Slower travel leaves more metal on each millimetre of the cap.",
                basis=(Basis.PIPE_TEXTBOOK,),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.ROPY,
        changes=(
            _LET_IT_SPREAD,
            Change(
                move=Move.RAISE_CURRENT,
                why="A bead is narrow and stands up where the pool was too cold to spread.",
                basis=(Basis.WIRE_ARTICLE,),
            ),
        ),
        explains=(Symptom.CAP_HIGH, Symptom.TOO_NARROW, Symptom.IRREGULAR_HIGH),
        look_first=(
            "Check the ripples: long and pointed ones say that travel was too fast, round "
            "ones that it was too cold."
        ),
    ),
    Rule(
        symptom=Symptom.IRREGULAR_HIGH,
        processes=STICK,
        changes=(
            Change(
                move=Move.RAISE_CURRENT,
                why="With too little current the electrode sticks, and the bead grows in lumps.",
                basis=(Basis.ARC_MANUAL,),
            ),
            Change(
                move=Move.KEEP_RHYTHM,
                words="Keep the arc at one length, about one core diameter of the electrode.",
                why="An arc that nearly goes out leaves lumps.",
                basis=(Basis.PRACTICE,),
            ),
        ),
        explains=(Symptom.CAP_HIGH,),
    ),
    Rule(
        symptom=Symptom.CAP_HIGH,
        changes=(
            _LESS_ON_EACH_MM,
            Change(
                move=Move.LEAVE_METAL,
                words="Add less wire to the cap, at the same travel.",
                why="The height is the metal that you leave on each millimetre of travel.",
                basis=(Basis.JOB_NOTES,),
                processes=WIRE,
            ),
            Change(
                move=Move.LEAVE_METAL,
                words="Run the last fill thinner, so that 0.8 to 1.6 mm are left for the cap.",
                why="A cap over a groove that is full already stands too high.",
                basis=(Basis.JOB_NOTES, Basis.PRACTICE),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.TOO_WIDE,
        changes=(
            Change(
                move=Move.SPEED_UP,
                why="A bead is wide and heavy where the pool stays too long.",
                basis=(Basis.ARC_MANUAL, Basis.WIRE_ARTICLE),
            ),
            Change(
                move=Move.KEEP_TO_WEAVE,
                words="Swing less far: turn where the pool touches the edge of the groove.",
                why="On a weave the width follows how far you swing.",
                basis=(Basis.PRACTICE,),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.TOO_NARROW,
        changes=(
            Change(
                move=Move.SLOW_DOWN,
                why="A bead is narrow where the pool had no time to spread.",
                basis=(Basis.ARC_MANUAL, Basis.WIRE_ARTICLE),
            ),
            Change(
                move=Move.RAISE_CURRENT,
                why="A bead is narrow where the pool was too cold to spread.",
                basis=(Basis.WIRE_ARTICLE,),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.HEAT_HIGH,
        changes=(
            Change(
                move=Move.SPEED_UP,
                why="Heat is spread over the length that you weld in the same time.",
                basis=(Basis.HEAT_FORMULA,),
            ),
            Change(
                move=Move.LOWER_CURRENT,
                why="Heat grows with the current, at the same voltage and travel.",
                basis=(Basis.HEAT_FORMULA,),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.HEAT_LOW,
        changes=(
            Change(
                move=Move.SLOW_DOWN,
                why="Heat gathers on the length that you weld in the same time.",
                basis=(Basis.HEAT_FORMULA,),
            ),
            Change(
                move=Move.RAISE_CURRENT,
                why="Heat grows with the current, at the same voltage and travel.",
                basis=(Basis.HEAT_FORMULA,),
            ),
        ),
    ),
)
