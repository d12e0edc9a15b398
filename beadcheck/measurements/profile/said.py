"""The values that one levelled section gives, and those that it does not."""

from dataclasses import dataclass
from typing import Final

from beadcheck.coupon import WeldPass
from beadcheck.errors.profile_reading import TooLittleBaseMetalError
from beadcheck.measurements.profile.base_lines import (
    FARTHEST_FOR_A_STEP_MM,
    BaseLines,
    base_window,
    fit_base_lines,
)
from beadcheck.measurements.profile.face import (
    Face,
    face_between,
    highest_point,
    lowest_point,
    section_area,
    weld_width,
)
from beadcheck.measurements.profile.groove_pass import (
    bend_between_walls,
    depth_below_surface,
)
from beadcheck.measurements.profile.misalignment import linear_misalignment
from beadcheck.measurements.profile.names import (
    FOOT_UNSEEN,
    NOT_FROM_A_PAIR,
    WITH_A_LINE,
    height_names,
    lies_in_groove,
)
from beadcheck.measurements.profile.section import Section, smoothed
from beadcheck.measurements.profile.toe import Flank
from beadcheck.measurements.profile.toe_angle import toe_angle_budget
from beadcheck.measurements.profile.undercut import undercut_depth
from beadcheck.measurements.profile.value import SectionValue
from beadcheck.profiles import Profile, ProfileMethod
from beadcheck.quantity import (
    NotMeasured,
    QuantityName,
    Side,
    combined_standard_uncertainty,
)
from beadcheck.units import Unit

LOOK_MM: Final = 0.4
GENTLEST_FLANK_DEG: Final = 1.0
"""Below it the flank is level: the metal passes smoothly."""
HOLES_ON_FACE: Final = "Too little of the weld face is seen in this profile."
LESS_GLARE: Final = "Turn the lamp so that glare is kept off the face, and retake the photo."
NO_RISE: Final = "The face does not rise from the base metal at the {side} toe."
NO_FLANK: Final = "No flank of the weld can be made out at the {side} toe."
WITH_GAUGE: Final = "Look at the toe, and measure there with a gauge."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeveledWeld:
    """A section with the lines of its parent metal and its toes.

    Attributes
    ----------
    step_lines
        Lines fitted farther out, from which the step between the parts is taken.
    left, right
        Flanks; None where the face neither rises nor falls.
    """

    section: Section
    profile: Profile
    lines: BaseLines
    step_lines: BaseLines
    left: Flank | None
    right: Flank | None
    left_mm: float
    right_mm: float


Said = tuple[tuple[SectionValue, ...], tuple[NotMeasured, ...]]


def step_lines(section: Section, left_mm: float, right_mm: float, lines: BaseLines) -> BaseLines:
    """Lines of the parent metal from farther out, from which a step is told from a tilt."""
    try:
        windows = [
            base_window(
                section, side, toe_mm=toe, leaves_mm=leaves, farthest_mm=FARTHEST_FOR_A_STEP_MM
            )
            for side, toe, leaves in (
                (Side.LEFT, left_mm, lines.left.to_mm),
                (Side.RIGHT, right_mm, lines.right.from_mm),
            )
        ]
    except TooLittleBaseMetalError:
        return lines
    return fit_base_lines(section, *windows)


def said_of(weld: LeveledWeld, weld_pass: WeldPass | None) -> Said:
    """Everything that a section of this pass gives."""
    face = face_between(weld.section, weld.profile, weld.lines.chord(weld.left_mm, weld.right_mm))
    values: list[SectionValue] = []
    missing: list[NotMeasured] = []
    for name in height_names(weld_pass):
        for each in _said(name, weld, face, weld_pass):
            if isinstance(each, NotMeasured):
                missing.append(each)
            else:
                values.append(each)
    if weld.left is not None and weld.right is not None and not lies_in_groove(weld_pass):
        values.append(weld_width(weld.profile, weld.left, weld.right))
    return tuple(values), tuple(missing)


def _said(
    name: QuantityName, weld: LeveledWeld, face: Face, weld_pass: WeldPass | None
) -> tuple[SectionValue | NotMeasured, ...]:
    if weld.profile.method is ProfileMethod.PAIR and name in NOT_FROM_A_PAIR:
        return (NotMeasured(name=name, reason=FOOT_UNSEEN, how_to=WITH_A_LINE),)
    match name:
        case QuantityName.FACE_REINFORCEMENT | QuantityName.ROOT_REINFORCEMENT:
            found = highest_point(face, name)
        case QuantityName.UNDERFILL:
            found = lowest_point(face, name)
        case QuantityName.DEPTH_BELOW_SURFACE:
            found = depth_below_surface(face)
        case QuantityName.CONCAVITY | QuantityName.CONVEXITY:
            found = _bend(name, weld, face, weld_pass)
        case QuantityName.SECTION_AREA:
            found = section_area(face)
        case QuantityName.LINEAR_MISALIGNMENT:
            found = linear_misalignment(weld.profile, weld.step_lines)
        case QuantityName.UNDERCUT_DEPTH:
            return tuple(_undercut(weld, side) for side in Side)
        case QuantityName.TOE_ANGLE:
            return tuple(_toe_angle(weld, side) for side in Side)
        case _:
            # The length of an undercut takes several sections.
            return ()
    return (found or NotMeasured(name=name, reason=HOLES_ON_FACE, how_to=LESS_GLARE),)


def _bend(
    name: QuantityName, weld: LeveledWeld, face: Face, weld_pass: WeldPass | None
) -> SectionValue | None:
    if not lies_in_groove(weld_pass):
        return lowest_point(face, name)
    if weld.left is None or weld.right is None:
        return None
    return bend_between_walls(name, weld.section, weld.profile, weld.left, weld.right)


def _undercut(weld: LeveledWeld, side: Side) -> SectionValue | NotMeasured:
    flank = weld.left if side is Side.LEFT else weld.right
    if flank is None or flank.angle_deg < 0.0:
        return _no_rise(QuantityName.UNDERCUT_DEPTH, side, flank)
    return undercut_depth(weld.section, weld.profile, weld.lines, flank)


def _toe_angle(weld: LeveledWeld, side: Side) -> SectionValue | NotMeasured:
    flank = weld.left if side is Side.LEFT else weld.right
    if flank is None or flank.angle_deg < GENTLEST_FLANK_DEG:
        return _no_rise(QuantityName.TOE_ANGLE, side, flank)
    relative = combined_standard_uncertainty(
        (*weld.profile.gain_budget, *weld.profile.across_budget)
    )
    soft = smoothed(weld.section, LOOK_MM)
    return SectionValue(
        name=QuantityName.TOE_ANGLE,
        value=180.0 - flank.angle_deg,
        unit=Unit.DEG,
        budget=toe_angle_budget(
            weld.section,
            soft.z_mm,
            weld.lines,
            flank,
            chord=weld.lines.chord(weld.left_mm, weld.right_mm),
            relative=relative,
            on_outline=weld.profile.crests,
        ),
        side=side,
        across_mm=flank.toe_mm,
    )


def _no_rise(name: QuantityName, side: Side, flank: Flank | None) -> NotMeasured:
    words = NO_FLANK if flank is None else NO_RISE
    return NotMeasured(name=name, reason=words.format(side=side.value), how_to=WITH_GAUGE)
