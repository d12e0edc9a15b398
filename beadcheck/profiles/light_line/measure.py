"""Profiles from one photo of lines of light across the weld."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors import ProfileError
from beadcheck.errors.profile_light import (
    LightOutOfFocusError,
    LightUprightError,
    LineBlurredError,
    LineMissesStepError,
    NoLightLineError,
    NoSlantError,
    TooLittleMetalError,
)
from beadcheck.photo import Photo
from beadcheck.profiles.light_line.base import Base, base_of
from beadcheck.profiles.light_line.beyond import (
    covered_by,
    not_the_part,
    over_metal_mm,
    require_crossing,
    require_part,
    weld_seen_mm,
)
from beadcheck.profiles.light_line.crossing import on_bare_metal, on_paper, weld_and_lines
from beadcheck.profiles.light_line.doubt import form_budget_of, require_sure
from beadcheck.profiles.light_line.either_edge import in_doubt_of_edge
from beadcheck.profiles.light_line.follow import FollowedLine, followed_line
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle, LightReference
from beadcheck.profiles.light_line.scaled import (
    Seen,
    across_gain,
    angle_gain,
    step_gain,
)
from beadcheck.profiles.light_line.search import RoughLine
from beadcheck.profiles.light_line.section import even_section
from beadcheck.profiles.light_line.sheet import Sheet
from beadcheck.profiles.light_line.step import StepTop, flat_pieces, foot_on_paper, step_top
from beadcheck.profiles.light_line.upward import (
    LEAST_BLOCK_MM,
    require_upward,
    slope_of_light,
    upward_of,
)
from beadcheck.profiles.profile import Profile, ProfileMethod
from beadcheck.quantity import Component
from beadcheck.surface import SolvedSurface
from beadcheck.toes import LocatedWeld

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_SHIFT: Final = 0.5
"""K below which the light has no slant: errors of the line count double and more, and the accuracy
study has no figures (2.4)."""
STEP_SHIFTS: Final = (0.3, 3.0)
"""Least and most K of a step that is looked for: less shows the paper's edge, too, and more grazes
metal or camera."""
NO_SHIFT: Final = 0.1
"""K that a line shows which nothing displaces, not even the weld."""
MOST_BLUR_MM: Final = 0.155
"""Standard deviation of the photo's own blur, beyond which an undercut 1 mm wide loses more than a
third of its depth: 1 - exp(-2 (pi x 0.155)²)."""
LEAST_ANGLE_DEG: Final = 10.0
"""Nearer to the normal, height would show through the camera's own tilt alone."""
LEAST_PAPER_MM: Final = 4.0
"""Of the target's paper under a shadow's edge: off it, a plate's end may look like a shadow."""
SHARPER_SHARE: Final = 0.6
"""An edge with this share of the best one's length may be the shadow's other edge."""


def light_line_profiles(
    photo: Photo,
    surface: SolvedSurface,
    light: LightReference,
    *,
    weld: LocatedWeld | None = None,
) -> tuple[Profile, ...]:
    """Profile along every line of light across the weld, or along a shadow's sharper edge.

    Where neither `weld` nor the photo tells how the weld runs, it is taken to run square to the
    line, as on a flat plate. Without `weld`, s on plate counts from the target's first corner.

    Raises
    ------
    ProfileError
        No line can be followed, or it lacks what it takes to measure heights: the refusal of the
        strongest line.
    """
    if isinstance(light, LightAngle) and light.angle_deg < LEAST_ANGLE_DEG:
        raise LightUprightError(light.angle_deg, LEAST_ANGLE_DEG)
    blur_mm = surface.blur_px / surface.px_per_mm
    if blur_mm > MOST_BLUR_MM:
        raise LightOutOfFocusError(blur_mm, MOST_BLUR_MM)
    try:
        crossed, lines = weld_and_lines(photo, surface, weld, coloured=True)
        followed = _followed(photo, surface, lines)
    except (NoLightLineError, LineBlurredError) as refusal:
        try:
            crossed, lines = weld_and_lines(photo, surface, weld, coloured=False)
            return (_sharpest(surface, light, _followed(photo, surface, lines), crossed),)
        except ProfileError as of_shadow:
            blurred = isinstance(refusal, LineBlurredError)
            raise (refusal if blurred else of_shadow) from None
    profiles = _measured(surface, ((light, line) for line in followed), crossed)
    return tuple(sorted(profiles, key=lambda profile: profile.s_mm))


def _followed(
    photo: Photo, surface: SolvedSurface, lines: Sequence[RoughLine]
) -> tuple[FollowedLine, ...]:
    """Those lines that can be followed, strongest first; else the first refusal."""
    followed, refusals = [], []
    for line in lines:
        try:
            followed.append(followed_line(photo, surface, line))
        except ProfileError as refusal:
            refusals.append(refusal)
    if not followed:
        raise refusals[0]
    return tuple(followed)


def _measured(
    surface: SolvedSurface,
    lines: Iterable[tuple[LightReference, FollowedLine]],
    weld: LocatedWeld | None,
) -> Iterator[Profile]:
    """The profiles that can be had, in the order of the lines; else the first refusal."""
    refusals: list[ProfileError] = []
    count = 0
    for light, line in lines:
        try:
            profile = _profile(surface, light, line, weld)
        except ProfileError as refusal:
            refusals.append(refusal)
        else:
            count += 1
            yield profile
    if not count:
        raise refusals[0]


def _sharpest(
    surface: SolvedSurface,
    light: LightReference,
    edges: Sequence[FollowedLine],
    weld: LocatedWeld | None,
) -> Profile:
    """The profile of the sharpest of a shadow's edges that are about as long as the longest."""
    longest_mm = max(edge.rough.score_mm for edge in edges)
    rivals = [edge for edge in edges if edge.rough.score_mm >= SHARPER_SHARE * longest_mm]
    lit = (
        (in_doubt_of_edge(light, edge, edges) if isinstance(light, LightAngle) else light, edge)
        for edge in sorted(rivals, key=_sigma_mm)
    )
    return next(_measured(surface, lit, weld))


def _sigma_mm(line: FollowedLine) -> float:
    return line.sigma_mm


def _profile(
    surface: SolvedSurface, light: LightReference, line: FollowedLine, weld: LocatedWeld | None
) -> Profile:
    weld_mm = None if weld is None else (-0.5 * weld.width_mm, 0.5 * weld.width_mm)
    bare = line.good & on_bare_metal(surface, line.rough.axis, line.s_mm, line.across_mm)
    paper = line.good & on_paper(surface, line.rough.axis, line.s_mm, line.across_mm)
    if line.rough.kind.is_edge and float(paper.sum()) * line.pitch_mm < LEAST_PAPER_MM:
        raise NoLightLineError
    try:
        base = base_of(line, bare, paper, weld_mm)
    except TooLittleMetalError:
        if weld_mm is not None:
            require_crossing(line, weld_mm)
        raise
    if weld_mm is not None:
        blocks = covered_by(line, flat_pieces(line, base, LEAST_BLOCK_MM))
        seen_mm = weld_seen_mm(line, base, bare, blocks)
        require_crossing(line, seen_mm)
        if seen_mm != weld_mm:
            weld_mm = seen_mm
            base = base_of(line, bare, paper, weld_mm)
    if isinstance(light, KnownStep):
        top = _top(line, base, surface, light)
        bare &= ~covered_by(line, [top])
        base = base_of(line, bare, paper, weld_mm)
        on_it = foot_on_paper(line, base, surface, top)
        solved, gain = step_gain(surface, Seen.of(surface, line, base, top), light, on_paper=on_it)
        require_upward(surface, line, base, solved.sheet)
    else:
        if weld_mm is not None:
            covered = covered_by(line, flat_pieces(line, base, LEAST_BLOCK_MM))
            bare &= ~covered
            if covered.any():
                base = base_of(line, bare, paper, weld_mm)
        seen = Seen.of(surface, line, base, None)
        slope = slope_of_light(surface, seen, light, line, base)
        solved, gain = angle_gain(surface, seen, light, slope)
    axis_known = weld is not None or surface.outside_diameter_mm is not None
    shift_mm = solved.sheet.shift_per_height(surface)
    if abs(shift_mm) < LEAST_SHIFT:
        raise NoSlantError(abs(shift_mm), LEAST_SHIFT)
    height_mm, apart_mm = over_metal_mm(line, base, solved.sheet, surface)
    require_part(line, base, paper, surface, height_mm=height_mm, apart_mm=apart_mm)
    bare &= ~not_the_part(line, base, bare, height_mm)
    return _even_profile(surface, line, base, solved.sheet, gain, bare, axis_known=axis_known)


def _top(line: FollowedLine, base: Base, surface: SolvedSurface, step: KnownStep) -> StepTop:
    """The step's top; a line that nothing displaces, not even the weld, has no slant."""
    try:
        return step_top(line, base, surface, step, shift_limits=STEP_SHIFTS)
    except LineMissesStepError:
        furthest_mm = float(np.quantile(np.abs(base.shift_mm(line)[line.good]), 0.99))
        if base.weld_mm is not None and furthest_mm < step.thickness_mm * NO_SHIFT:
            raise NoSlantError(furthest_mm / step.thickness_mm, LEAST_SHIFT) from None
        up = upward_of(surface, line, base, [], most_shift=STEP_SHIFTS[1]).paper
        if up == 0:
            raise
    return step_top(line, base, surface, step, shift_limits=STEP_SHIFTS, up=up)


def _even_profile(
    surface: SolvedSurface,
    line: FollowedLine,
    base: Base,
    sheet: Sheet,
    gain: tuple[Component, ...],
    bare: Mask,
    *,
    axis_known: bool,
) -> Profile:
    places_mm, heights_mm = surface.over_surface(sheet.met(surface, line.points_px[bare]))
    s_mm, across_mm = line.rough.axis.to_weld(places_mm).T
    shift_mm = abs(sheet.shift_per_height(surface))
    section = even_section(
        across_mm, heights_mm, line.u_s_mm[bare] / shift_mm, line.points_px[bare], base.sides[bare]
    )
    require_sure(line, section, base.weld_mm)
    ends = base.weld_mm or (float(across_mm.min()), float(across_mm.max()))
    over = (across_mm >= ends[0]) & (across_mm <= ends[1])
    middle = np.median(places_mm[over], axis=0, keepdims=True)
    clock_deg = float(surface.clock_deg(middle)[0])
    return Profile(
        method=ProfileMethod.LIGHT_LINE,
        s_mm=float(np.median(s_mm[over])),
        clock_deg=clock_deg if np.isfinite(clock_deg) else None,
        across_mm=section.across_mm,
        height_mm=section.height_mm,
        u_height_mm=section.u_height_mm,
        points_px=section.points_px,
        independent_mm=section.independent_mm,
        smooth_mm=surface.blur_px / surface.px_per_mm,
        gain_budget=gain,
        across_budget=across_gain(surface, sheet, axis_known=axis_known),
        form_budget=form_budget_of(line, base.weld_mm, shift_mm=shift_mm),
        near_toes_mm=base.weld_mm,
    )
