"""Rules on the fit-up and on passes in the groove: root face, second pass, fill."""

from typing import Final

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.rules.rule import PULSED, WIRE, Change, Rule
from beadcheck.advice.symptom import Symptom

_HOTTER: Final = Change(
    move=Move.RAISE_CURRENT,
    why="A pool that is too cold stands up in the middle instead of wetting the bevels.",
    basis=(Basis.WEAVE_MANUAL, Basis.WIRE_ARTICLE),
)

GROOVE_RULES: Final = (
    Rule(
        symptom=Symptom.MISALIGNED,
        changes=(
            Change(
                move=Move.FIT_BETTER,
                words=(
                    "Lay a rule across the joint all along it, and tack only where it shows no "
                    "step."
                ),
                why="A step between the parts cannot be welded away; it comes from the fit-up.",
                basis=(Basis.FIT_UP_TEXT,),
            ),
        ),
        look_first="Check whether the walls are alike: unlike walls step on one side only.",
    ),
    Rule(
        symptom=Symptom.OPENING_NARROW,
        beside=(Symptom.OPENING_WIDE,),
        changes=(
            Change(
                move=Move.FIT_BETTER,
                words=(
                    "Cut the tacks, set the joint on spacers of one thickness at four places, and "
                    "measure the opening again before each tack."
                ),
                why="A tack draws the joint together as it cools, and opens it on the far side.",
                basis=(Basis.PRACTICE,),
            ),
        ),
        explains=(Symptom.OPENING_WIDE,),
    ),
    Rule(
        symptom=Symptom.OPENING_NARROW,
        changes=(
            Change(
                move=Move.OPEN_ROOT,
                why="A tight opening keeps the arc from the root, and it is not melted through.",
                basis=(Basis.ROOT_NOTES, Basis.PRACTICE),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.OPENING_WIDE,
        changes=(
            Change(
                move=Move.CLOSE_ROOT,
                why="Through a wide opening the pool sinks, and the root stands too high inside.",
                basis=(Basis.INSPECTION_GUIDE, Basis.PRACTICE),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.CONVEX_IN_GROOVE,
        processes=PULSED,
        changes=(
            Change(
                move=Move.KEEP_TO_WEAVE,
                words=(
                    "Pause at one edge on the peak, cross on the background, and pause at the "
                    "other edge on the next peak."
                ),
                why=(
                    "The peak wets the bevel, and the background carries little metal across, so "
                    "that the middle stays flat. As the pauses alternate, the ripples on the "
                    "middle line are not one per pulse."
                ),
                basis=(Basis.PRACTICE,),
            ),
            _HOTTER,
        ),
    ),
    Rule(
        symptom=Symptom.CONVEX_IN_GROOVE,
        changes=(
            Change(
                move=Move.KEEP_TO_WEAVE,
                words="Pause at each edge until the bevel is wet, and cross the middle quickly.",
                why="The pass stands up in the middle where the arc leaves the edges too soon.",
                basis=(Basis.WEAVE_MANUAL, Basis.PRACTICE),
            ),
            _HOTTER,
        ),
    ),
    Rule(
        symptom=Symptom.HOLLOW_IN_GROOVE,
        changes=(
            Change(
                move=Move.ADD_METAL,
                words="Add a little more wire, and keep the rest as it was.",
                why="A pass is hollow where the pool spread and too little filler went into it.",
                basis=(Basis.DEFECTS_PAGE, Basis.PRACTICE),
                processes=WIRE,
            ),
            Change(
                move=Move.SLOW_DOWN,
                why="Slower travel leaves more metal on each millimetre of the pass.",
                basis=(Basis.PIPE_TEXTBOOK, Basis.PRACTICE),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.FILL_DEEP,
        changes=(
            Change(
                move=Move.ADD_METAL,
                words="Add a thin fill bead, until 0.8 to 1.6 mm are left, before you run the cap.",
                why="A cap covers the edges of the groove only if there is little left to fill.",
                basis=(Basis.PRACTICE,),
            ),
        ),
    ),
    Rule(
        symptom=Symptom.FILL_FULL,
        changes=(
            Change(
                move=Move.LEAVE_METAL,
                words="Run the last fill thinner, so that 0.8 to 1.6 mm are left for the cap.",
                why="With the edges of the groove gone a cap has no guide, and stands too high.",
                basis=(Basis.JOB_NOTES, Basis.PRACTICE),
            ),
        ),
    ),
)
