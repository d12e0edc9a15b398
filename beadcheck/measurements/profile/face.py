"""How the face of the weld stands over the base metal: highest and lowest point, area, width."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.measurements.profile.base_lines import Chord
from beadcheck.measurements.profile.opened import envelope_at
from beadcheck.measurements.profile.relief import Relief, relief_of
from beadcheck.measurements.profile.section import (
    Floats,
    Section,
    picked_excess_mm,
    rectangular,
    runs,
)
from beadcheck.measurements.profile.toe import Flank
from beadcheck.measurements.profile.value import (
    SectionValue,
    definition,
    height_effects,
    nothing_below_zero,
    shared,
    station,
)
from beadcheck.profiles import Profile
from beadcheck.quantity import Component, QuantityName
from beadcheck.units import Unit

NEAR_TOE_SHARE: Final = 0.12
NEAR_TOE_MM: Final = 0.8
"""What counts as at the toe, as a part of the width and at least: there every face is flush."""
LARGEST_NEAR_SHARE: Final = 0.3
LARGEST_HOLES: Final = 0.2
"""Share of the face that may be unseen when its area is given."""
LEAST_PLACES: Final = 3
"""Heights that an area needs."""
SLOPE_MM: Final = 0.6
"""Length beside a hole from which its edges' slopes are taken."""
LARGEST_UNSEEN_MM: Final = 0.5
"""What a hole may hide before the highest or lowest point counts as not seen."""

NEIGHBOURS_SHARE: Final = 1 / 6
TOP_SHARE: Final = 1 / 36
"""Of the width, to both sides of a point, and of a parabola's height, which rises by so much over
the median of that part."""

OUTLINE_EXCESS_MM, OUTLINE_TOE_MM = 0.16, 0.35
"""By how much the face stands higher on an outline than at its own station, on average over it, and
how far outside either toe lies, at most: an outline is the highest metal of several mm along the
weld (renders: half of this is usual)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Face:
    """The face between its toes.

    Attributes
    ----------
    inner_mm
        Where it begins and ends once what is at the toes is left out.
    relief
        Its heights there; None where too little is seen.
    """

    section: Section
    profile: Profile
    chord: Chord
    inner_mm: tuple[float, float]
    relief: Relief | None

    @property
    def width_mm(self) -> float:
        """Distance of the toes."""
        return self.chord.right_mm - self.chord.left_mm


def face_between(section: Section, profile: Profile, chord: Chord) -> Face:
    """Face between two toes, and its part away from them."""
    width = chord.right_mm - chord.left_mm
    near = min(max(NEAR_TOE_SHARE * width, NEAR_TOE_MM), LARGEST_NEAR_SHARE * width)
    inner_mm = (chord.left_mm + near, chord.right_mm - near)
    return Face(
        section=section,
        profile=profile,
        chord=chord,
        inner_mm=inner_mm,
        relief=relief_of(section, chord, inner_mm),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Extreme:
    """Highest point over the chord (of the face, or of the face turned over), with its effects."""

    height_mm: float
    across_mm: float
    u_noise_mm: float
    u_picked_mm: float
    u_averaged_mm: float
    u_unseen_mm: float
    u_apart_mm: float


def highest_point(face: Face, name: QuantityName) -> SectionValue | None:
    """Reinforcement: the highest point of the face away from its toes, over the line.

    Below zero the whole face lies below flush. None where too little of it is seen.
    """
    found = _extreme(face, 1.0)
    if found is None:
        return None
    return SectionValue(
        name=name,
        value=found.height_mm,
        unit=Unit.MM,
        budget=(*_extreme_budget(face, found), *_edge_effect(face, found)),
        across_mm=found.across_mm,
    )


def lowest_point(face: Face, name: QuantityName) -> SectionValue | None:
    """Depth of the lowest point of the face, away from its toes, below the line; 0 where none is.

    None where too little of the face is seen.
    """
    found = _extreme(face, -1.0)
    if found is None:
        return None
    filled = 0.25 * OUTLINE_EXCESS_MM if face.profile.crests else 0.0
    depth, budget = nothing_below_zero(
        found.height_mm + filled,
        (*_extreme_budget(face, found), station("weld beside the outline", rectangular(filled))),
    )
    return SectionValue(
        name=name, value=depth, unit=Unit.MM, budget=budget, across_mm=found.across_mm
    )


def _extreme(face: Face, sign: float) -> _Extreme | None:
    section, relief = face.section, face.relief
    if relief is None:
        return None
    over = np.where(np.isfinite(relief.over_mm), sign * relief.over_mm, -np.inf)
    at = int(over.argmax())
    noise = float(relief.u_mm[at])
    apart = max(section.independent_mm, 0.5 * relief.window_mm)
    excess = picked_excess_mm(over, at, noise, apart, section.step_mm)
    taken_off = _taken_off_mm(section, float(relief.bend_per_mm[at]), sign)
    unseen = _unseen_mm(section, over, float(over[at]), face.inner_mm)
    if unseen > LARGEST_UNSEEN_MM:
        return None
    return _Extreme(
        height_mm=float(over[at]) - 0.8 * excess + taken_off + 0.5 * unseen,
        across_mm=float(section.x_mm[at]),
        u_noise_mm=noise,
        u_picked_mm=rectangular(0.5 * excess),
        u_averaged_mm=rectangular(taken_off),
        u_unseen_mm=rectangular(0.5 * unseen),
        u_apart_mm=rectangular(_apart_mm(face, over, at)),
    )


def _apart_mm(face: Face, over_mm: Floats, at: int) -> float:
    """How far the highest point stands out over the face about it, more than a crown's top does.

    A ripple does, a little; so does an edge on the face that was taken for the line or the outline.
    """
    near = np.isfinite(over_mm)
    near &= np.abs(face.section.x_mm - face.section.x_mm[at]) < NEIGHBOURS_SHARE * face.width_mm
    out_mm = float(over_mm[at] - np.median(over_mm[near]))
    return max(0.0, out_mm - TOP_SHARE * abs(float(over_mm[at])))


def _unseen_mm(
    section: Section, over_mm: Floats, highest_mm: float, inner_mm: tuple[float, float]
) -> float:
    """How much higher than what is seen the face may be inside a hole.

    A face that bends one way only stays below the lines that go on from both edges of a hole.
    """
    span = section.span(*inner_mm)
    hole = ~np.isfinite(over_mm[span])
    reach = max(2, round(SLOPE_MM / section.step_mm))
    most = 0.0
    for start, end in ((span.start + first, span.start + last) for first, last in runs(hole)):
        left, right = over_mm[max(0, start - 1 - reach) : start], over_mm[end : end + 1 + reach]
        if min(len(left), len(right)) <= reach or not np.isfinite([*left, *right]).all():
            continue
        width = (end - start + 1) * section.step_mm
        up_left = (left[-1] - left[0]) / (reach * section.step_mm)
        up_right = (right[0] - right[-1]) / (reach * section.step_mm)
        if up_left + up_right <= 0.0:
            continue
        meet = (right[0] + up_right * width - left[-1]) / (up_left + up_right)
        top = left[-1] + up_left * float(np.clip(meet, 0.0, width))
        most = max(most, float(top) - highest_mm)
    return most


def _taken_off_mm(section: Section, bend_per_mm: float, sign: float) -> float:
    """What averaging in the profile itself has taken off a crest: half its variance x the bend."""
    if not math.isfinite(bend_per_mm):
        return 0.0
    return 0.5 * section.smooth_mm**2 * max(0.0, -sign * bend_per_mm)


def _extreme_budget(face: Face, found: _Extreme) -> tuple[Component, ...]:
    return (
        station("heights at the highest or lowest point", found.u_noise_mm),
        station("picking the highest or lowest point", found.u_picked_mm),
        station("line of the base metal", face.chord.u_at(found.across_mm)),
        shared("averaging across the weld", found.u_averaged_mm),
        station("what a hole may hide", found.u_unseen_mm),
        station("highest or lowest point apart from its face", found.u_apart_mm),
        *height_effects(face.profile, found.height_mm),
    )


def _edge_effect(face: Face, found: _Extreme) -> tuple[Component, ...]:
    """Where the highest point lies at the end of what is left of the face, its choice counts."""
    low, high = face.inner_mm
    if min(found.across_mm - low, high - found.across_mm) > 2.0 * face.section.step_mm:
        return ()
    if found.height_mm >= 0.0:
        return ()
    return (definition("where the face begins at the toe", 0.5 * abs(found.height_mm)),)


def section_area(face: Face) -> SectionValue | None:
    """Area between face and line, in mm2; negative where the face lies below it.

    None where too much of the face is unseen.
    """
    section, chord = face.section, face.chord
    inside = section.span(chord.left_mm, chord.right_mm)
    seen = section.seen[inside]
    seen_x, seen_u = section.x_mm[inside][seen], section.u_mm[inside][seen]
    holes = 1.0 - len(seen_x) / max(1.0, len(seen))
    if holes > LARGEST_HOLES or len(seen_x) < LEAST_PLACES:
        return None
    over = section.z_mm[inside][seen] - chord.at(seen_x)
    x = np.concatenate([[chord.left_mm], seen_x, [chord.right_mm]])
    area = float(np.trapezoid(np.concatenate([[0.0], over, [0.0]]), x))
    noise = float(np.sqrt(np.mean(seen_u**2)))
    width = face.width_mm
    excess = 0.5 * OUTLINE_EXCESS_MM * width if face.profile.crests else 0.0
    return SectionValue(
        name=QuantityName.SECTION_AREA,
        value=area - excess,
        unit=Unit.MM2,
        budget=(
            station("heights of the face", noise * width / math.sqrt(section.independent(width))),
            station("line of the base metal", chord.u_mean * width),
            station("holes in the profile", rectangular(0.5 * holes * abs(area))),
            station("weld beside the outline", rectangular(excess)),
            *(each.times(area) for each in face.profile.gain_budget),
            *(each.times(area) for each in face.profile.across_budget),
            *(each.times(width) for each in face.profile.form_budget),
        ),
    )


def weld_width(profile: Profile, left: Flank, right: Flank) -> SectionValue:
    """Distance of the geometric toes, square to the weld, in mm."""
    width = right.toe_mm - left.toe_mm
    shift = 0.5 * sum(envelope_at(profile, toe.side) * abs(toe.slope) for toe in (left, right))
    doubt = OUTLINE_TOE_MM if profile.crests else 0.0
    # Half of it at either toe, outwards; but an outline makes a hollow narrower.
    excess = 0.5 * doubt * sum(math.copysign(1.0, toe.rise_mm) for toe in (left, right))
    return SectionValue(
        name=QuantityName.WELD_WIDTH,
        value=width - excess,
        unit=Unit.MM,
        budget=(
            station("geometric toes", math.hypot(left.u_toe_mm, right.u_toe_mm)),
            # Both toes err the same way, so their definitions add up.
            definition("definition of the toe", 0.5 * (left.tangent_mm + right.tangent_mm)),
            shared("outline seen at a slant", rectangular(0.5 * shift)),
            station("weld beside the outline", rectangular(doubt)),
            *(each.times(width) for each in profile.across_budget),
        ),
    )
