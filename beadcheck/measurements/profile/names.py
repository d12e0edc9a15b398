"""Which heights a profile of each pass gives."""

from typing import Final

from beadcheck.coupon import WeldPass
from beadcheck.quantity import QuantityName

OF_A_FACE: Final = (
    QuantityName.FACE_REINFORCEMENT,
    QuantityName.UNDERFILL,
    QuantityName.UNDERCUT_DEPTH,
    QuantityName.UNDERCUT_LENGTH,
    QuantityName.TOE_ANGLE,
    QuantityName.LINEAR_MISALIGNMENT,
    QuantityName.SECTION_AREA,
)
OF_A_ROOT_SIDE: Final = (
    QuantityName.ROOT_REINFORCEMENT,
    QuantityName.CONCAVITY,
    QuantityName.UNDERCUT_DEPTH,
    QuantityName.UNDERCUT_LENGTH,
    QuantityName.TOE_ANGLE,
    QuantityName.LINEAR_MISALIGNMENT,
    QuantityName.SECTION_AREA,
)
IN_THE_GROOVE: Final = (
    QuantityName.CONCAVITY,
    QuantityName.CONVEXITY,
    QuantityName.DEPTH_BELOW_SURFACE,
    QuantityName.LINEAR_MISALIGNMENT,
)
OF_A_FIT_UP: Final = (QuantityName.LINEAR_MISALIGNMENT,)
NOT_FROM_A_PAIR: Final = frozenset(
    {
        QuantityName.UNDERCUT_DEPTH,
        QuantityName.TOE_ANGLE,
        QuantityName.LINEAR_MISALIGNMENT,
        QuantityName.SECTION_AREA,
    }
)
"""Two views average over half a millimetre and lose the foot of the flanks: toe angles came out
30 degrees too gentle on renders."""
FOOT_UNSEEN: Final = "A pair of photos does not show the foot of the weld sharply enough."
WITH_A_LINE: Final = "Take a light-line photo across the weld, or measure with a gauge."


def height_names(weld_pass: WeldPass | None) -> tuple[QuantityName, ...]:
    """Heights that a profile of this pass gives; a pass that is not given is taken as the cap."""
    if weld_pass is WeldPass.ROOT_SIDE:
        return OF_A_ROOT_SIDE
    if weld_pass in {WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL}:
        return IN_THE_GROOVE
    if weld_pass is WeldPass.FIT_UP:
        return OF_A_FIT_UP
    return OF_A_FACE


def lies_in_groove(weld_pass: WeldPass | None) -> bool:
    """Tell whether the pass lies between the walls of a groove."""
    return weld_pass in {WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL, WeldPass.FIT_UP}
