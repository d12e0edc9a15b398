"""From a profile as measured to what it says."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.coupon import WeldPass
from beadcheck.errors.profile_reading import (
    NoLevelMetalError,
    ProfileTooSparseError,
    UnevenSidesError,
)
from beadcheck.measurements.profile.base_lines import (
    FARTHEST_MM,
    BaseLine,
    BaseLines,
    LevelLine,
    base_window,
    fit_base_lines,
)
from beadcheck.measurements.profile.frame import Frame, Levelled, levelled, with_outline_undone
from beadcheck.measurements.profile.misalignment import is_stepped, step_mm
from beadcheck.measurements.profile.names import height_names, lies_in_groove
from beadcheck.measurements.profile.reading import ProfileReading, ToeReading, points_at
from beadcheck.measurements.profile.rough_edges import rough_edges
from beadcheck.measurements.profile.said import LeveledWeld, said_of, step_lines
from beadcheck.measurements.profile.section import (
    Floats,
    Section,
    enough_seen,
    middle_of,
    smoothed,
)
from beadcheck.measurements.profile.toe import Flank, find_flank, inward, rough_toe_mm
from beadcheck.measurements.profile.value import SectionValue
from beadcheck.profiles import Profile
from beadcheck.quantity import NotMeasured, QuantityName, Side, combined_standard_uncertainty

LEAST_POINTS: Final = 20
LEAST_SEEN: Final = 0.3
"""Share of a profile's places at which a height must be seen."""
MOST_MISALIGNED_MM: Final = 2.7
"""Step between the parts that is believed: a known step laid beside the weld has 3 mm or more."""
STEEPEST: Final = 0.25
"""Slope beyond which no profile is left by whoever measured it: 14 degrees."""
LOOK_MM: Final = 0.4
"""Smoothing for finding places on the face."""
BASE_METAL: Final = "the base metal"
JOINING_LINE: Final = "the line that joins the toes"
NO_WELD: Final = "No weld stands out of the base metal in this profile."
ACROSS_THE_WELD: Final = "Take the profile across the weld; a weld ground flush has no height."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Weld:
    """The lines of the parent metal and the toes on them, in one frame."""

    lines: BaseLines
    left: Flank | None
    right: Flank | None
    left_mm: float
    right_mm: float

    def level_line(self, section: Section) -> LevelLine:
        """What the profile is levelled on."""
        steps = step_lines(section, self.left_mm, self.right_mm, self.lines)
        return LevelLine(
            chord=self.lines.chord(self.left_mm, self.right_mm), stepped=is_stepped(steps)
        )

    @property
    def flanks(self) -> tuple[Flank | None, Flank | None]:
        return self.left, self.right


def read_profile(profile: Profile, *, weld_pass: WeldPass | None) -> ProfileReading:
    """Level a profile on its parent metal, find its toes, and say what it shows.

    Raises
    ------
    ProfileTooSparseError
        If too few heights are seen.
    TooLittleBaseMetalError
        If too little bare base metal is seen on a side.
    NoLevelMetalError
        If what is seen there is steep.
    UnevenSidesError
        If one side lies far above the other.
    """
    seen = np.isfinite(profile.height_mm) & np.isfinite(profile.u_height_mm)
    if np.count_nonzero(seen) < LEAST_POINTS or seen.mean() < LEAST_SEEN:
        raise ProfileTooSparseError(100.0 * float(seen.mean()))
    plain = with_outline_undone(profile)
    # In a groove the pass's own toes lie on the walls, and tell nothing of the base metal.
    known = None if lies_in_groove(weld_pass) else profile.near_toes_mm
    edges = rough_edges(_required(plain, Frame()).section, known)
    if abs(edges.slope) > STEEPEST:
        raise NoLevelMetalError(math.degrees(math.atan(abs(edges.slope))))
    if edges.flat and known is None:
        return _flat(profile, plain, weld_pass)
    ends = (edges.left_mm, edges.right_mm)
    if edges.flat and known is not None:
        ends = known
    frame = Frame(about_mm=0.5 * (ends[0] + ends[1]), tilt=math.atan(edges.slope))
    level = _required(plain, frame)
    weld = _found(level.section, (frame.place(ends[0]), frame.place(ends[1])), weld_pass)
    # Levelling and finding the toes depend on each other; a second round settles it.
    line = weld.level_line(level.section)
    frame = frame.moved(across_mm=line.middle_mm, height_mm=line.height_mm, slope=line.slope)
    level = _required(plain, frame)
    weld = _found(level.section, (frame.place(ends[0]), frame.place(ends[1])), weld_pass)
    step = abs(step_mm(weld.lines))
    if step > MOST_MISALIGNED_MM:
        raise UnevenSidesError(step, MOST_MISALIGNED_MM)
    return _reading(profile, level, weld, weld_pass)


def _required(profile: Profile, frame: Frame) -> Levelled:
    """Profile in a frame, refused where hardly any of it is in one piece."""
    level = levelled(profile, frame)
    known = enough_seen(level.section, LOOK_MM)
    if np.count_nonzero(known) < LEAST_POINTS:
        raise ProfileTooSparseError(100.0 * float(known.mean()))
    return level


def _found(section: Section, ends_mm: tuple[float, float], weld_pass: WeldPass | None) -> _Weld:
    """Lines and toes; where a face has no flank, its toe is where the metal leaves the line."""
    soft = smoothed(section, LOOK_MM)
    u_soft = middle_of(soft.u_mm[np.isfinite(soft.u_mm)])
    falls = True if lies_in_groove(weld_pass) else None
    toes = ends_mm
    flanks: list[Flank | None] = []
    for _ in range(2):
        begun = toes
        windows = [
            base_window(section, side, toe_mm=toe, leaves_mm=end, farthest_mm=FARTHEST_MM)
            for side, toe, end in zip(Side, toes, ends_mm, strict=True)
        ]
        lines = fit_base_lines(section, *windows)
        chord = lines.chord(*toes)
        faces = [inward(section, soft.z_mm, lines, side, chord) for side in Side]
        flanks = [find_flank(section, face, lines, u_soft_mm=u_soft, falls=falls) for face in faces]
        # Without a flank, the toe is the foot of the face or, without one, where the metal ends.
        left, right = (
            rough_toe_mm(section, face, u_soft) if flank is None else flank.toe_mm
            for face, flank in zip(faces, flanks, strict=True)
        )
        toes = (ends_mm[0] if left is None else left, ends_mm[1] if right is None else right)
        if toes[0] >= toes[1]:
            flanks, toes = [None, None], ends_mm
        if toes == begun:
            break
    return _Weld(
        lines=lines,
        left=flanks[0],
        right=flanks[1],
        left_mm=toes[0],
        right_mm=toes[1],
    )


def _reading(
    profile: Profile, level: Levelled, weld: _Weld, weld_pass: WeldPass | None
) -> ProfileReading:
    steps = step_lines(level.section, weld.left_mm, weld.right_mm, weld.lines)
    values, missing = said_of(
        LeveledWeld(
            section=level.section,
            profile=profile,
            lines=weld.lines,
            step_lines=steps,
            left=weld.left,
            right=weld.right,
            left_mm=weld.left_mm,
            right_mm=weld.right_mm,
        ),
        weld_pass,
    )
    stepped = is_stepped(steps)
    left, right = (
        None if flank is None else _toe(flank, weld, level, profile, values)
        for flank in weld.flanks
    )
    return ProfileReading(
        profile=profile,
        weld_pass=weld_pass,
        across_mm=level.across_mm,
        height_mm=level.height_mm,
        u_height_mm=_height_u_mm(
            profile,
            level,
            LevelLine(chord=weld.lines.chord(weld.left_mm, weld.right_mm), stepped=stepped),
        ),
        left_base=weld.lines.left,
        right_base=weld.lines.right,
        left_toe=left,
        right_toe=right,
        values=values,
        missing=missing,
        above=JOINING_LINE if stepped else BASE_METAL,
    )


def _toe(
    flank: Flank,
    weld: _Weld,
    level: Levelled,
    profile: Profile,
    values: tuple[SectionValue, ...],
) -> ToeReading:
    undercut = [
        each.across_mm
        for each in values
        if each.name is QuantityName.UNDERCUT_DEPTH and each.side is flank.side
    ]
    return ToeReading(
        side=flank.side,
        across_mm=flank.toe_mm,
        height_mm=weld.lines.of(flank.side).at(flank.toe_mm),
        u_across_mm=math.hypot(flank.u_toe_mm, flank.tangent_mm / math.sqrt(12.0)),
        px=points_at(level.across_mm, profile.points_px, flank.toe_mm),
        flank_deg=flank.angle_deg,
        undercut_across_mm=undercut[0] if undercut else None,
    )


def _height_u_mm(profile: Profile, level: Levelled, line: LevelLine) -> Floats:
    """(N,) standard uncertainty of each levelled height, everything in."""
    gain = combined_standard_uncertainty(profile.gain_budget)
    form = combined_standard_uncertainty(profile.form_budget)
    effects = (
        profile.u_height_mm**2
        + line.u_at(level.across_mm) ** 2
        + (gain * level.height_mm) ** 2
        + form**2
    )
    return np.asarray(np.sqrt(effects), dtype=np.float64)


def _flat(profile: Profile, plain: Profile, weld_pass: WeldPass | None) -> ProfileReading:
    """Reading of a profile in which nothing stands out: heights over one line, no toes."""
    x = plain.across_mm[np.isfinite(plain.height_mm)]
    frame = Frame(about_mm=0.5 * float(x[0] + x[-1]))
    for _ in range(2):
        level = _required(plain, frame)
        low, high = float(level.section.x_mm[0]), float(level.section.x_mm[-1])
        middle = middle_of(level.section.x_mm[level.section.seen])
        lines = fit_base_lines(level.section, (low, middle), (middle, high))
        line = LevelLine(chord=lines.chord(0.5 * low, 0.5 * high), stepped=False)
        frame = frame.moved(across_mm=0.0, height_mm=line.height_mm, slope=line.slope)
    level = levelled(plain, frame)
    base = BaseLine(height_at_zero_mm=0.0, slope=0.0, from_mm=low, to_mm=high)
    return ProfileReading(
        profile=profile,
        weld_pass=weld_pass,
        across_mm=level.across_mm,
        height_mm=level.height_mm,
        u_height_mm=_height_u_mm(profile, level, line),
        left_base=base,
        right_base=base,
        left_toe=None,
        right_toe=None,
        values=(),
        missing=tuple(
            NotMeasured(name=name, reason=NO_WELD, how_to=ACROSS_THE_WELD)
            for name in height_names(weld_pass)
        ),
        above=BASE_METAL,
    )
