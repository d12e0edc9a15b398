"""Which way a height moves the line of light: what paper, blocks and the table tell."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.profile_light import LightContradictedError, LightSideUnknownError
from beadcheck.profiles.light_line.base import Base
from beadcheck.profiles.light_line.beyond import over_metal_mm
from beadcheck.profiles.light_line.crossing import on_bare_metal, on_paper
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.reference import LightAngle
from beadcheck.profiles.light_line.scaled import Seen, sheet_by_angle
from beadcheck.profiles.light_line.sheet import Sheet
from beadcheck.profiles.light_line.step import StepTop, flat_pieces, foot_on_paper
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_BLOCK_MM: Final = 0.9
"""Flat pieces of the line displaced by this much lie on a block, not on the parts."""
NEAR_EDGE_MM: Final = 8.0
"""Paper is compared with metal this far from its edge."""
LEAST_PAPER_MM: Final = 2.0
"""Shorter pieces of line on paper tell nothing."""
MOST_PAPER_SPREAD_MM: Final = 0.1
"""A line that scatters more than this on paper lies on print."""
LEAST_U_PAPER_MM: Final = 0.015
BASE_SHARE: Final = 0.33
"""Of the scatter of rows on metal, that the mean over some millimetres still has."""
PENUMBRA_SHARE: Final = 0.5
"""Of the width of a shadow's edge: gloss weighs the lamp's parts otherwise on weld than on metal,
and moves the edge within its penumbra by so much (renders)."""
TELLS: Final = 3.0
"""Standard uncertainties by which the line must step at the paper's edge."""
MOST_LIFT_MM: Final = 0.45
"""Paper that lies higher than this over the metal, or comes out so, is not read right."""
LEAST_FALL_MM: Final = 3.0
"""The table beside a plate displaces the line by more than this."""
END_MM: Final = 3.0
"""The table is where the line ends."""
STRAIGHTER: Final = 3.0
LEAST_BEND_MM: Final = 0.05
"""A pipe's metal comes out straight under the true sheet of light; under the one from the other
side so many times more bent, and at least by so much."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upward:
    """Signs of the displacement that stand for up: +1, -1, or 0 where a thing tells nothing."""

    blocks: int
    paper: int
    table: int
    bend: int = 0

    @property
    def sign(self) -> int:
        """What all of them say; 0 where none says anything or two contradict each other."""
        said = {self.blocks, self.paper, self.table, self.bend} - {0}
        return said.pop() if len(said) == 1 else 0

    def contradicts(self, sign: int) -> bool:
        """Whether any of them says the opposite."""
        return -sign in (self.blocks, self.paper, self.table)


def require_upward(surface: SolvedSurface, line: FollowedLine, base: Base, sheet: Sheet) -> None:
    """Require that what else is seen comes out on the right side of the metal.

    Raises
    ------
    LightContradictedError
        Paper, blocks or table do not.
    """
    shift = sheet.shift_per_height(surface)
    pieces = flat_pieces(line, base, LEAST_BLOCK_MM)
    told = upward_of(surface, line, base, pieces, most_shift=abs(shift), sheet=sheet)
    if told.contradicts(int(np.sign(shift))):
        raise LightContradictedError


def slope_of_light(
    surface: SolvedSurface, seen: Seen, light: LightAngle, line: FollowedLine, base: Base
) -> float:
    """The light's slope, with the sign that paper, blocks and table tell.

    Raises
    ------
    LightSideUnknownError
        They do not tell it, and it matters.
    """
    sheets = {sign: sheet_by_angle(surface, seen, sign * light.slope).sheet for sign in (1, -1)}
    shifts = {sign: sheet.shift_per_height(surface) for sign, sheet in sheets.items()}
    pieces = flat_pieces(line, base, LEAST_BLOCK_MM)
    most = max(map(abs, shifts.values()))
    straight = _by_bend(surface, line, base, sheets)
    told = upward_of(surface, line, base, pieces, most_shift=most, sheet=sheets.get(straight))
    up = replace(told, bend=int(np.sign(shifts[straight])) if straight else 0).sign
    fitting = [sign for sign, shift in shifts.items() if shift * up > 0.0]
    if len(fitting) == 1:
        return fitting[0] * light.slope
    if base.weld_mm is not None or pieces:
        raise LightSideUnknownError
    return light.slope


def upward_of(
    surface: SolvedSurface,
    line: FollowedLine,
    base: Base,
    pieces: list[StepTop],
    *,
    most_shift: float,
    sheet: Sheet | None = None,
) -> Upward:
    """Gather what tells which displacement is up.

    Parameters
    ----------
    pieces
        Flat pieces of the line off the weld.
    most_shift
        The most that 1 mm of height can move the line by, in mm.
    sheet
        The light, as far as it is known: on a pipe the line bends, and paper lies off the straight
        one.
    """
    shift = base.shift_mm(line)
    paper_shift = shift
    if sheet is not None:
        height_mm, _ = over_metal_mm(line, base, sheet, surface)
        paper_shift = height_mm * sheet.shift_per_height(surface)
    blocks = [np.sign(np.median(shift[piece.rows])) for piece in pieces if piece.sharp_ends == 2]
    good_mm = line.across_mm[line.good]
    tables = [
        -np.sign(np.median(shift[piece.rows]))
        for piece in pieces
        if piece.sharp_ends == 1
        and min(piece.covers_mm[0] - good_mm[0], good_mm[-1] - piece.covers_mm[1]) < END_MM
        and abs(float(np.median(shift[piece.rows]))) > LEAST_FALL_MM
        and not foot_on_paper(line, base, surface, piece)
        and not line.rough.kind.is_edge
    ]
    return Upward(
        blocks=_common(blocks),
        paper=_by_paper(surface, line, base, paper_shift, most_shift),
        table=_common(tables),
    )


def _by_bend(
    surface: SolvedSurface, line: FollowedLine, base: Base, sheets: dict[int, Sheet]
) -> int:
    """Which of two sheets a pipe's metal comes out straight under; 0 where that does not tell."""
    if surface.outside_diameter_mm is None:
        return 0
    bare = line.good & on_bare_metal(surface, line.rough.axis, line.s_mm, line.across_mm)
    low_mm, high_mm = base.weld_mm or (0.0, 0.0)
    sides = bare & (line.across_mm < low_mm), bare & (line.across_mm > high_mm)
    bends = {}
    for sign, sheet in sheets.items():
        heights = surface.over_surface(sheet.met(surface, line.points_px))[1]
        off_mm = np.concatenate([heights[rows] - np.median(heights[rows]) for rows in sides])
        bends[sign] = float(np.median(np.abs(off_mm)))
    straight, bent = sorted(bends, key=lambda sign: bends[sign])
    tells = bends[bent] > max(LEAST_BEND_MM, STRAIGHTER * bends[straight])
    return straight if tells else 0


def _common(signs: list[float]) -> int:
    """The sign that all share; 0 where they do not, or there are none."""
    return int(signs[0]) if signs and all(sign == signs[0] for sign in signs) else 0


def _by_paper(
    surface: SolvedSurface, line: FollowedLine, base: Base, shift: Floats, most_shift: float
) -> int:
    """Sign of the step from metal up to paper, over both sides of the weld."""
    paper = line.good & on_paper(surface, line.rough.axis, line.s_mm, line.across_mm)
    middle = 0.0 if base.weld_mm is None else 0.5 * sum(base.weld_mm)
    thickness_mm, _ = surface.paper_mm
    weights, total = 0.0, 0.0
    for side in (-1.0, 1.0):
        rows = np.flatnonzero(paper & (side * (line.across_mm - middle) > 0.0))
        if rows.size == 0:
            continue
        away = np.abs(line.across_mm[rows] - middle)
        values = shift[rows[away < away.min() + NEAR_EDGE_MM]]
        usual = float(np.median(values))
        spread = 1.4826 * float(np.median(np.abs(values - usual)))
        believable = abs(usual) < most_shift * (thickness_mm + MOST_LIFT_MM)
        long = values.size * line.pitch_mm > LEAST_PAPER_MM
        if long and believable and spread < MOST_PAPER_SPREAD_MM:
            weight = 1.0 / (LEAST_U_PAPER_MM**2 + (BASE_SHARE * base.spread_mm) ** 2)
            weights, total = weights + weight, total + weight * usual
    # Gloss shifts a shadow's edge within its penumbra, on paper and metal by different amounts.
    u_edge_mm = PENUMBRA_SHARE * line.sigma_mm if line.rough.kind.is_edge else 0.0
    if weights == 0.0 or abs(total) / weights < TELLS * np.hypot(weights**-0.5, u_edge_mm):
        return 0
    return int(np.sign(total))
