"""The sheet of light as the base metal, and a step or an angle, fix it; and how well they do."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.profiles.light_line.base import Base, alike_rows
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck.profiles.light_line.sheet import Frame, Sheet, on_metal, on_step
from beadcheck.profiles.light_line.step import StepTop
from beadcheck.quantity import Component, Scope
from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_ROWS: Final = 40
"""The sheet hangs on straight lines: every so many-th row gives the same as all."""
POSE: Final = "marker edges, lens and pose"
TEST_HEIGHT_MM: Final = 2.0
"""Height of the crown for which gains are worked out; they hardly hang on it."""
SCALE_SPAN_MM: Final = 10.0
SEAT_OFF_MM: Final = 4.0
"""How far beside the light a flat step may touch a pipe: a bar 10 mm wide (an estimate);
rectangular."""
TURNS: Final = 3
U_UNKNOWN_AXIS: Final = 0.06 / math.sqrt(3.0)
"""Relative: a line that crosses a weld aslant by up to 20 degrees sees it up to 6 % too wide."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """What fixes the sheet in space, as pixels: the same for every surface that is tried.

    Attributes
    ----------
    middle_px
        (1, 2) where the line would cross the middle of the weld on bare metal: the normal there is
        the one that an angle counts from.
    base_px, base_sides
        (B, 2) and (B,): light on base metal, -1 left and +1 right of the weld.
    u_base_mm, u_top_mm
        Standard uncertainty of one row, with the rows that share its error counted in.
    top_px
        (T, 2) light on the top of the step; empty without one.
    side
        The side of the weld whose metal the heights are counted from; 0 for both.
    """

    axis: Axis
    middle_px: Points
    base_px: Points
    base_sides: NDArray[np.intp]
    u_base_mm: float
    top_px: Points
    u_top_mm: float
    side: int

    @classmethod
    def of(
        cls, surface: SolvedSurface, line: FollowedLine, base: Base, top: StepTop | None
    ) -> "Seen":
        """Gather the rows of the base metal and of the step."""
        rows = np.flatnonzero(base.sides)
        ends_mm = base.weld_mm or line.across_mm[rows[[0, -1]]]
        middle_mm = np.array([0.5 * (ends_mm[0] + ends_mm[1])])
        crossing_mm = 0.5 * sum(base.offsets_mm) + base.slope * middle_mm
        thinned = rows[:: max(1, rows.size // MOST_ROWS)]
        share = rows.size / thinned.size
        seen = cls(
            axis=line.rough.axis,
            middle_px=surface.to_px(line.rough.axis.to_surface(crossing_mm, middle_mm)),
            base_px=line.points_px[thinned],
            base_sides=base.sides[thinned],
            u_base_mm=base.spread_mm * np.sqrt(max(1.0, base.alike_rows / share)),
            top_px=np.empty((0, 2)),
            u_top_mm=0.0,
            side=0,
        )
        if top is None:
            return seen
        across = line.across_mm
        nearest = rows[np.abs(across[rows] - across[top.rows].mean()).argmin()]
        shift = np.where(top.rows, base.shift_mm(line), np.nan)
        rest = shift - np.nanmedian(shift)
        u_row_mm = max(float(np.nanstd(rest)), 0.5 * base.spread_mm)
        tops = np.flatnonzero(top.rows)
        few = tops[:: max(1, tops.size // MOST_ROWS)]
        alike = max(1.0, alike_rows(rest[tops]) * few.size / tops.size)
        return replace(
            seen,
            top_px=line.points_px[few],
            u_top_mm=u_row_mm * np.sqrt(alike),
            side=int(base.sides[nearest]),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolvedSheet:
    """A sheet, and the standard uncertainty of its slant from the rows alone."""

    sheet: Sheet
    u_slant: float


def sheet_by_step(surface: SolvedSurface, seen: Seen, height_mm: float) -> SolvedSheet:
    """The sheet through base metal and the top of a step, `height_mm` over the metal beside it."""
    frame = Frame.at(surface, seen.axis, surface.to_mm(seen.middle_px))
    base = frame.local(on_metal(surface, seen.base_px))
    top = frame.local(on_step(surface, seen.top_px, height_mm))
    sides = np.unique(seen.base_sides)
    columns = np.concatenate([seen.base_sides, np.full(len(top), seen.side)])[:, None] == sides
    places = np.concatenate([base, top])
    weight = 1.0 / np.repeat([seen.u_base_mm, seen.u_top_mm], [len(base), len(top)])
    design = np.column_stack([places[:, 1:], columns]) * weight[:, None]
    normal = np.linalg.inv(design.T @ design)
    turn, slant, *offsets = normal @ design.T @ (places[:, 0] * weight)
    offset_mm = float(offsets[int(np.flatnonzero(sides == seen.side)[0])])
    sheet = Sheet(frame=frame, offset_mm=offset_mm, turn=float(turn), slant=float(slant))
    return SolvedSheet(sheet=sheet, u_slant=float(np.sqrt(normal[1, 1])))


def sheet_by_angle(surface: SolvedSurface, seen: Seen, slope: float) -> SolvedSheet:
    """The sheet through the base metal whose angle to the metal's normal has this tangent.

    A negative one falls from the other side.
    """
    frame = Frame.at(surface, seen.axis, surface.to_mm(seen.middle_px))
    base = frame.local(on_metal(surface, seen.base_px))
    sides = np.unique(seen.base_sides)
    design = np.column_stack([base[:, 1], seen.base_sides[:, None] == sides])
    to_line = np.linalg.inv(design.T @ design) @ design.T
    # On plate, where all the metal lies level, the first turn is the last.
    level, slanted = to_line @ base[:, 0], to_line @ base[:, 2]
    slant = slope
    for _ in range(TURNS):
        turn, *offsets = level - slant * slanted
        slant = slope * float(np.hypot(1.0, turn))
    sheet = Sheet(frame=frame, offset_mm=float(np.mean(offsets)), turn=float(turn), slant=slant)
    return SolvedSheet(sheet=sheet, u_slant=0.0)


def step_gain(
    surface: SolvedSurface, seen: Seen, step: KnownStep, *, on_paper: bool
) -> tuple[SolvedSheet, tuple[Component, ...]]:
    """The sheet by a step, and the relative standard uncertainties of every height."""
    paper_mm, u_paper_mm = surface.paper_mm if on_paper else (0.0, 0.0)
    gap_mm, u_gap_mm = _gap_under_mm(surface)
    height_mm = step.thickness_mm + paper_mm + gap_mm
    solved = sheet_by_step(surface, seen, height_mm)
    _, tops_mm = surface.over_surface(solved.sheet.met(surface, seen.top_px))
    u_seat_mm = float(np.hypot(_u_rocking_mm(tops_mm), u_gap_mm))
    slant_to_gain = 1.0 / _slant_gain(solved.sheet, surface)
    moved = [sheet_by_step(other, seen, height_mm).sheet for other in surface.one_sigma()]
    effects = (
        ("thickness of the known step", step.u_thickness_mm / height_mm, Scope.PRINT),
        ("paper under the known step", u_paper_mm / height_mm, Scope.PHOTO),
        ("seat of the known step", u_seat_mm / height_mm, Scope.PHOTO),
        ("line of light on the known step", solved.u_slant * slant_to_gain, Scope.PHOTO),
        (POSE, _u_moved(surface, solved.sheet, moved), Scope.PHOTO),
    )
    return solved, _components(effects)


def angle_gain(
    surface: SolvedSurface, seen: Seen, light: LightAngle, slope: float
) -> tuple[SolvedSheet, tuple[Component, ...]]:
    """The sheet by its angle, and the relative standard uncertainties of every height."""
    solved = sheet_by_angle(surface, seen, slope)
    sheet = solved.sheet
    u_slant = float(np.radians(light.u_angle_deg)) * (1.0 + slope**2) * np.hypot(1.0, sheet.turn)
    moved = [sheet_by_angle(other, seen, slope).sheet for other in surface.one_sigma()]
    effects = (
        ("angle of the light", u_slant / _slant_gain(sheet, surface), Scope.PRINT),
        (POSE, _u_moved(surface, sheet, moved), Scope.PHOTO),
    )
    scale = [c for c in across_gain(surface, sheet, axis_known=True) if c.source != POSE]
    return solved, (*_components(effects), *scale)


def across_gain(surface: SolvedSurface, sheet: Sheet, *, axis_known: bool) -> tuple[Component, ...]:
    """Relative standard uncertainties of every distance across.

    Where nothing tells how the weld runs, the line may cross it aslant.
    """
    unknown = () if axis_known else (("direction of the weld", U_UNKNOWN_AXIS, Scope.PHOTO),)
    half_mm = 0.5 * SCALE_SPAN_MM
    ends = [surface.over_surface(sheet.point(at, 0.0))[0] for at in (-half_mm, half_mm)]
    span_mm = float(np.hypot(*(ends[1] - ends[0])[0]))
    scale = (c.times(1.0 / span_mm) for c in surface.distance_components(*ends))
    return (*_components(unknown), *scale)


def _components(effects: tuple[tuple[str, float, Scope], ...]) -> tuple[Component, ...]:
    return tuple(
        Component(source=source, standard_uncertainty=float(u), scope=scope)
        for source, u, scope in effects
        if u > 0.0
    )


def _slant_gain(sheet: Sheet, surface: SolvedSurface) -> float:
    """Displacement along the axis for 1 mm of height: by so much divide what a slant is off by."""
    return abs(sheet.shift_per_height(surface)) * float(np.hypot(1.0, sheet.turn))


def _u_moved(surface: SolvedSurface, sheet: Sheet, moved: list[Sheet]) -> float:
    """Relative standard uncertainty of a crown's height from the fit of the surface."""
    places_px = surface.seen_at_px(
        np.concatenate([sheet.point(0.0, TEST_HEIGHT_MM), sheet.point(0.0, 0.0)])
    )
    crown_mm, foot_mm = surface.over_surface(sheet.met(surface, places_px))[1]
    square = 0.0
    for other, its_sheet in zip(surface.one_sigma(), moved, strict=True):
        its_crown_mm, its_foot_mm = other.over_surface(its_sheet.met(other, places_px))[1]
        square += ((its_crown_mm - its_foot_mm) / (crown_mm - foot_mm) - 1.0) ** 2
    return float(np.sqrt(square))


def _gap_under_mm(surface: SolvedSurface) -> tuple[float, float]:
    """Gap between a pipe and a flat step under the light, and its standard uncertainty, in mm.

    The step touches the pipe up to `SEAT_OFF_MM` beside the light, nobody knows where: e² / (2 R)
    for a rectangular e has these moments.
    """
    if surface.outside_diameter_mm is None:
        return 0.0, 0.0
    most_mm = SEAT_OFF_MM**2 / surface.outside_diameter_mm
    return most_mm / 3.0, most_mm * math.sqrt(4.0 / 45.0)


def _u_rocking_mm(heights_mm: Floats) -> float:
    """How far a top that comes out aslant may lie off the step's thickness."""
    count = heights_mm.size
    rise_mm = float(np.polyfit(np.linspace(-0.5, 0.5, count), heights_mm, 1)[0])
    scatter_mm = float(np.std(heights_mm)) * np.sqrt(12.0 * alike_rows(heights_mm) / count)
    return max(0.0, abs(rise_mm) - 2.0 * float(scatter_mm)) / math.sqrt(12.0)
