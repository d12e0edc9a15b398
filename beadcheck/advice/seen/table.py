"""The table of signs: which value shows which symptom.

Thresholds are common practice, no published source, where nothing else is said. They speak only
where no limit of the chosen set does, and only for what exceeds them by more than its uncertainty.
"""

from typing import Final

from beadcheck.advice.piece import Urgency
from beadcheck.advice.seen.sign import ON_FACE, ON_ROOT_SIDE, Sign
from beadcheck.advice.symptom import Symptom
from beadcheck.coupon import WeldPass
from beadcheck.limits import Sense
from beadcheck.quantity import QuantityName, Statistic

CAP_HEIGHT_MM: Final = 3.2
"""1/8 in, as practice coupons are judged."""
FLUSH_MM: Final = 0.2
"""A cap that lies less than this below flush shows it no more than its ripples."""
ROOT_HEIGHT_MM: Final = 1.6
"""1/16 in, as the root side of practice coupons is judged."""
ROOT_CONCAVITY_MM: Final = 0.5
"""ISO 5817 level B, no. 515, at its highest (verified in a level sheet)."""
UNDERCUT_MM: Final = 0.5
"""ISO 5817 levels B and C, no. 5011, at its highest (verified in public text)."""
TOE_ANGLE_DEG: Final = 110.0
"""Inside the weld metal; ISO 5817 level C, no. 505 (verified in public text)."""
MISALIGNMENT_MM: Final = 1.6
"""1/16 in, as fit-up is judged."""
FILL_LEFT_MM: Final = (0.8, 1.6)
"""What the last fill leaves for the cap."""
HOLLOW_ROOT_MM: Final = 1.0
HOLLOW_SECOND_MM: Final = 0.5
CONVEX_SECOND_MM: Final = 1.6
"""A root pass is flat to slightly concave, a second pass flat to slightly convex: 1/16 in."""
CENTRELINE_MM: Final = 1.0
HIGHEST_OVERLAP_RATIO: Final = 0.90

HIGH: Final = (Statistic.MAX, Statistic.MEAN)
LOW: Final = (Statistic.MIN, Statistic.MEAN)
LENGTHS: Final = (Statistic.MAX, Statistic.TOTAL)

SIGNS: Final = (
    Sign(
        symptom=Symptom.GAP_BETWEEN_SPOTS,
        name=QuantityName.PULSE_OVERLAP,
        statistics=(Statistic.MEAN,),
        wanted=Sense.AT_LEAST,
        threshold=0.0,
        urgency=Urgency.UNWELDED,
        by_limits=False,
        words="The pulse spots{spots} do not touch: their overlap is {value}, which is a gap.",
    ),
    Sign(
        symptom=Symptom.SPOTS_MERGE,
        name=QuantityName.PULSE_OVERLAP,
        statistics=(Statistic.MEAN,),
        wanted=Sense.AT_MOST,
        threshold=HIGHEST_OVERLAP_RATIO,
        words="The pulse spots{spots} almost lie on each other: they overlap by {value}{limit}.",
    ),
    Sign(
        symptom=Symptom.CAP_HIGH,
        name=QuantityName.FACE_REINFORCEMENT,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=CAP_HEIGHT_MM,
        words="The cap stands {value} above the base metal at its highest{limit}{at}.",
        passes=ON_FACE,
    ),
    Sign(
        symptom=Symptom.LOW_FILL,
        name=QuantityName.UNDERFILL,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=FLUSH_MM,
        words="The cap lies {value} below the base metal at its lowest{limit}{at}.",
        passes=ON_FACE,
    ),
    Sign(
        symptom=Symptom.LOW_FILL,
        name=QuantityName.UNDERFILL_LENGTH,
        statistics=LENGTHS,
        wanted=Sense.AT_MOST,
        words="The cap lies below the base metal over {value}{limit}{at}.",
        passes=ON_FACE,
    ),
    Sign(
        symptom=Symptom.LOW_FILL,
        name=QuantityName.FACE_REINFORCEMENT,
        statistics=LOW,
        wanted=Sense.AT_LEAST,
        words="Somewhere the height of the cap is only {value}{limit}{at}.",
        passes=ON_FACE,
    ),
    Sign(
        symptom=Symptom.UNDERCUT,
        name=QuantityName.UNDERCUT_DEPTH,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=UNDERCUT_MM,
        words="There is undercut at the {edge}, {value} at its deepest{limit}{at}.",
    ),
    Sign(
        symptom=Symptom.UNDERCUT,
        name=QuantityName.UNDERCUT_LENGTH,
        statistics=LENGTHS,
        wanted=Sense.AT_MOST,
        words="The undercut at the {edge} is {value} long{limit}{at}.",
    ),
    Sign(
        symptom=Symptom.STEEP_TOE,
        name=QuantityName.TOE_ANGLE,
        statistics=LOW,
        wanted=Sense.AT_LEAST,
        threshold=TOE_ANGLE_DEG,
        words=(
            "The weld rises steeply at {toe}: {value} inside the metal, where 180° is smooth"
            "{limit}{at}."
        ),
        passes=(*ON_FACE, *ON_ROOT_SIDE),
    ),
    Sign(
        symptom=Symptom.CONVEX_IN_GROOVE,
        name=QuantityName.CONVEXITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        words="The face of the root pass is convex, {value} above its edges{limit}{at}.",
        passes=(WeldPass.ROOT,),
    ),
    Sign(
        symptom=Symptom.CONVEX_IN_GROOVE,
        name=QuantityName.CONVEXITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=CONVEX_SECOND_MM,
        words="The face of the second pass is convex, {value} above its edges{limit}{at}.",
        passes=(WeldPass.SECOND,),
    ),
    Sign(
        symptom=Symptom.CONVEX_IN_GROOVE,
        name=QuantityName.CONVEXITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=CONVEX_SECOND_MM,
        words="The face of the fill is convex, {value} above its edges{limit}{at}.",
        passes=(WeldPass.FILL,),
    ),
    Sign(
        symptom=Symptom.MISALIGNED,
        name=QuantityName.LINEAR_MISALIGNMENT,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=MISALIGNMENT_MM,
        words="The two parts stand {value} out of line{limit}{at}.",
    ),
    Sign(
        symptom=Symptom.OPENING_NARROW,
        name=QuantityName.ROOT_OPENING,
        statistics=LOW,
        wanted=Sense.AT_LEAST,
        words="The root opening is only {value} at its narrowest{limit}{at}.",
        passes=(WeldPass.FIT_UP,),
    ),
    Sign(
        symptom=Symptom.OPENING_WIDE,
        name=QuantityName.ROOT_OPENING,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        words="The root opening is {value} at its widest{limit}{at}.",
        passes=(WeldPass.FIT_UP,),
    ),
    Sign(
        symptom=Symptom.ROOT_HIGH,
        name=QuantityName.ROOT_REINFORCEMENT,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=ROOT_HEIGHT_MM,
        words="The root stands {value} above the base metal at its highest{limit}{at}.",
        passes=ON_ROOT_SIDE,
    ),
    Sign(
        symptom=Symptom.ROOT_NOT_THROUGH,
        name=QuantityName.ROOT_REINFORCEMENT,
        statistics=(Statistic.MAX,),
        wanted=Sense.AT_LEAST,
        threshold=0.0,
        words="The root nowhere reaches the base metal: its highest point lies {under} below it.",
        passes=ON_ROOT_SIDE,
    ),
    Sign(
        symptom=Symptom.ROOT_CONCAVE,
        name=QuantityName.ROOT_REINFORCEMENT,
        statistics=LOW,
        wanted=Sense.AT_LEAST,
        words="Somewhere the height of the root is only {value}{limit}{at}.",
        passes=ON_ROOT_SIDE,
    ),
    Sign(
        symptom=Symptom.ROOT_CONCAVE,
        name=QuantityName.CONCAVITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=ROOT_CONCAVITY_MM,
        words="The root is concave, {value} at its deepest{limit}{at}.",
        passes=ON_ROOT_SIDE,
    ),
    Sign(
        symptom=Symptom.ROOT_CONCAVE,
        name=QuantityName.CONCAVITY_LENGTH,
        statistics=LENGTHS,
        wanted=Sense.AT_MOST,
        words="The root is concave over {value}{limit}{at}.",
        passes=ON_ROOT_SIDE,
    ),
    Sign(
        symptom=Symptom.HOLLOW_IN_GROOVE,
        name=QuantityName.CONCAVITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=HOLLOW_ROOT_MM,
        words="The face of the root pass dips {value} below its edges{limit}{at}.",
        passes=(WeldPass.ROOT,),
    ),
    Sign(
        symptom=Symptom.HOLLOW_IN_GROOVE,
        name=QuantityName.CONCAVITY,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=HOLLOW_SECOND_MM,
        words="The face of the second pass dips {value} below its edges{limit}{at}.",
        passes=(WeldPass.SECOND,),
    ),
    Sign(
        symptom=Symptom.FILL_DEEP,
        name=QuantityName.DEPTH_BELOW_SURFACE,
        statistics=(Statistic.MEAN, Statistic.MAX),
        wanted=Sense.AT_MOST,
        threshold=FILL_LEFT_MM[1],
        words="If this is the last fill, it leaves much for the cap: {value}{limit}.",
        passes=(WeldPass.FILL,),
    ),
    Sign(
        symptom=Symptom.FILL_FULL,
        name=QuantityName.DEPTH_BELOW_SURFACE,
        statistics=(Statistic.MEAN, Statistic.MIN),
        wanted=Sense.AT_LEAST,
        threshold=FILL_LEFT_MM[0],
        words="The fill leaves little for the cap: {value} below the base metal{limit}.",
        passes=(WeldPass.FILL,),
    ),
    Sign(
        symptom=Symptom.TOO_WIDE,
        name=QuantityName.WELD_WIDTH,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        words="The weld is too wide: {value}{limit}{at}.",
    ),
    Sign(
        symptom=Symptom.TOO_NARROW,
        name=QuantityName.WELD_WIDTH,
        statistics=LOW,
        wanted=Sense.AT_LEAST,
        words="The weld is too narrow: {value}{limit}{at}.",
    ),
    *(
        Sign(
            symptom=symptom,
            name=name,
            statistics=(Statistic.MEAN,),
            wanted=wanted,
            words=f"The {called} is {{value}}{{limit}}.",
        )
        for name, called in (
            (QuantityName.HEAT_INPUT, "heat input"),
            (QuantityName.ARC_ENERGY, "arc energy"),
        )
        for symptom, wanted in (
            (Symptom.HEAT_HIGH, Sense.AT_MOST),
            (Symptom.HEAT_LOW, Sense.AT_LEAST),
        )
    ),
    Sign(
        symptom=Symptom.WANDERS,
        name=QuantityName.CENTRELINE_DEVIATION,
        statistics=HIGH,
        wanted=Sense.AT_MOST,
        threshold=CENTRELINE_MM,
        urgency=Urgency.EVENNESS,
        words="The weld wanders up to {value} off a straight line over {length}{limit}{at}.",
    ),
)
