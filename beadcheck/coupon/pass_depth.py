"""How far below the base metal's surface the toes of a pass lie, and how far each wall leans."""

import math
from typing import Final

from beadcheck.coupon.groove import DepthBy, Groove, GrooveForm, PassDepth
from beadcheck.coupon.shape import IN_THE_GROOVE, Coupon, WeldPass

DEEPEST_MM: Final = 20.0
"""Wall of a practice coupon of which nothing is known, at most: a guess, told as one."""
STATED_U_MM: Final = 0.5
"""Standard uncertainty of a depth that is stated alone: read with a rule or a depth gauge down to
the edge of a rough pass (common practice, no published source)."""
WALL_TOLERANCE: Final = 0.125
"""Part by which a wall may be thinner than its nominal thickness (ASTM A530/A530M, from memory);
taken as rectangular both ways."""
_LAID_MM: Final = {WeldPass.ROOT: (3.0, 1.5), WeldPass.SECOND: (5.5, 2.5)}
"""Weld metal under the toes once the pass is in, and half the range in which it lies, rectangular:
a root pass about 1/8 in, the second pass as much again or a little less (common practice, no
published source)."""
ANGLE_TOLERANCE_DEG: Final = 5.0
"""Of an included angle as prepared by hand, rectangular (common practice, no published source)."""
GAP_TOLERANCE_MM: Final = 1.0
"""Of the root gap after the root has pulled it, rectangular (likewise)."""
FACE_TOLERANCE_MM: Final = 0.8
"""Of the root face as ground by hand, rectangular (likewise)."""
MELTED_MM: Final = 0.5
"""Each wall may have melted back by up to this where a toe lies, rectangular (likewise)."""
_OF_WALLS: Final = frozenset({GrooveForm.SINGLE_V, GrooveForm.SINGLE_BEVEL})
_USUAL_WALL_DEG: Final = {GrooveForm.SINGLE_U: 10.0, GrooveForm.SQUARE: 0.0}
USUAL_V_WALL_DEG: Final = 30.0
"""Lean of a wall of the narrowest usual V (included angle 60 degrees; common practice, no published
source), taken where no angle was entered."""


def lies_below(coupon: Coupon) -> bool:
    """Tell whether the pass under the camera lies between the walls of a groove, below them."""
    grooved = coupon.groove is None or coupon.groove.form is not GrooveForm.NONE
    return grooved and coupon.weld_pass in IN_THE_GROOVE


def usual_depth(coupon: Coupon) -> PassDepth:
    """Depth that follows from wall and pass alone, or from nothing.

    A root pass leaves the wall less about 3 mm open, the second pass the wall less about 5.5 mm, a
    fill anything from there to flush; of a wall that nobody entered, anything up to 20 mm.
    """
    wall_mm = coupon.wall_thickness_mm
    if wall_mm is None:
        return _between(0.0, DEEPEST_MM, DepthBy.NOTHING)
    if coupon.weld_pass is WeldPass.FILL:
        laid_mm, _ = _LAID_MM[WeldPass.ROOT]
        return _between(0.0, max(0.5, wall_mm - laid_mm), DepthBy.WALL)
    laid_mm, half_mm = _LAID_MM.get(coupon.weld_pass or WeldPass.ROOT, _LAID_MM[WeldPass.ROOT])
    deepest_mm = max(0.5, wall_mm - laid_mm + half_mm)
    found = _between(max(0.0, wall_mm - laid_mm - half_mm), deepest_mm, DepthBy.WALL)
    u_wall_mm = WALL_TOLERANCE * wall_mm / math.sqrt(3.0)
    return PassDepth(
        depth_mm=found.depth_mm, u_depth_mm=math.hypot(found.u_depth_mm, u_wall_mm), by=found.by
    )


def depth_by_walls(coupon: Coupon, width_mm: float, u_width_mm: float) -> PassDepth | None:
    """Depth at which the walls of the groove are as far apart as the pass is wide.

    Parameters
    ----------
    width_mm, u_width_mm
        Toe to toe, and its standard uncertainty.

    Returns
    -------
    PassDepth or None
        None where wall, angle or gap is not known, the form has no straight slanting walls, or the
        pass is not wider than the gap.
    """
    groove, wall_mm = coupon.groove, coupon.wall_thickness_mm
    if groove is None or wall_mm is None or groove.form not in _OF_WALLS:
        return None
    if groove.angle_deg is None or groove.root_gap_mm is None or not groove.angle_deg < 170.0:
        return None
    walls = 1.0 if groove.form is GrooveForm.SINGLE_BEVEL else 2.0
    lean = math.radians(groove.angle_deg / walls)
    u_lean = math.radians(ANGLE_TOLERANCE_DEG / walls) / math.sqrt(3.0)
    opened_mm = width_mm - groove.root_gap_mm
    if opened_mm <= 0.0 or lean <= 0.0:
        return None
    up_mm = opened_mm / (walls * math.tan(lean))
    face_mm = groove.root_face_mm or 0.0
    depth_mm = wall_mm - face_mm - up_mm
    opened_u_mm = math.hypot(
        u_width_mm, GAP_TOLERANCE_MM / math.sqrt(3.0), MELTED_MM * math.sqrt(2.0 / 3.0)
    )
    u_mm = math.hypot(
        opened_u_mm / (walls * math.tan(lean)),
        up_mm * u_lean / (math.sin(lean) * math.cos(lean)),
        FACE_TOLERANCE_MM / math.sqrt(3.0),
        WALL_TOLERANCE * wall_mm / math.sqrt(3.0),
    )
    if depth_mm < -2.0 * u_mm:
        return None
    return PassDepth(depth_mm=max(0.0, depth_mm), u_depth_mm=u_mm, by=DepthBy.GROOVE)


def wall_lean_deg(groove: Groove | None) -> float:
    """Lean of the steeper wall from the metal's normal, in degrees: 0 is a square edge.

    Examples
    --------
    >>> wall_lean_deg(Groove(form=GrooveForm.SINGLE_V, angle_deg=75.0)), wall_lean_deg(None)
    (37.5, 30.0)
    """
    if groove is None:
        return USUAL_V_WALL_DEG
    if groove.form in {GrooveForm.SINGLE_BEVEL, GrooveForm.SINGLE_J, GrooveForm.SQUARE}:
        return 0.0
    if groove.angle_deg is not None:
        return 0.5 * groove.angle_deg
    return _USUAL_WALL_DEG.get(groove.form, USUAL_V_WALL_DEG)


def _between(least_mm: float, most_mm: float, by: DepthBy) -> PassDepth:
    """Middle of a range, rectangular."""
    half_mm = 0.5 * (most_mm - least_mm)
    return PassDepth(depth_mm=least_mm + half_mm, u_depth_mm=half_mm / math.sqrt(3.0), by=by)
