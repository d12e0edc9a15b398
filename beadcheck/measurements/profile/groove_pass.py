"""A pass in a groove: how deep it lies, and how hollow or round it is between the walls."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.measurements.profile.face import Face, lowest_point
from beadcheck.measurements.profile.section import (
    Floats,
    Section,
    picked_excess_mm,
    rectangular,
    smoothed,
)
from beadcheck.measurements.profile.toe import Flank
from beadcheck.measurements.profile.value import (
    SectionValue,
    definition,
    height_effects,
    nothing_below_zero,
    station,
)
from beadcheck.profiles import Profile
from beadcheck.quantity import QuantityName
from beadcheck.units import Unit

LOOK_MM: Final = 0.5
LEAVES_WALL_MM: Final = 0.10
OTHERWISE_MM: Final = 0.20
"""By how much the face must stand off the line of the groove's wall to have begun; and a value that
might as well have been chosen."""
LEAST_FACE_MM: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PassFace:
    """Face of a pass between the walls of its groove, on smoothed heights."""

    left_mm: float
    right_mm: float


def depth_below_surface(face: Face) -> SectionValue | None:
    """How far the deepest point of the pass lies below the base metal, in mm; None if unseen."""
    return lowest_point(face, QuantityName.DEPTH_BELOW_SURFACE)


def bend_between_walls(
    name: QuantityName, section: Section, profile: Profile, left: Flank, right: Flank
) -> SectionValue | None:
    """How far a pass leaves the line that joins its edges at the groove's walls, in mm.

    Its concavity is how far it dips below that line, its convexity how far it stands above. None
    where no face can be told from the walls.
    """
    sign = 1.0 if name is QuantityName.CONCAVITY else -1.0
    soft = smoothed(section, LOOK_MM)
    first = _face(section, soft.z_mm, left, right, LEAVES_WALL_MM)
    if first is None:
        return None
    dip = sign * _dips_mm(section, soft.z_mm, first)
    if not np.isfinite(dip).any():
        return None
    at = int(np.nanargmax(dip))
    noise = float(soft.u_mm[at])
    excess = picked_excess_mm(
        dip, at, noise, max(section.independent_mm, 0.5 * LOOK_MM), section.step_mm
    )
    other = _face(section, soft.z_mm, left, right, OTHERWISE_MM)
    change = 0.0
    if other is not None:
        otherwise = sign * _dips_mm(section, soft.z_mm, other)
        if np.isfinite(otherwise).any():
            change = abs(float(np.nanmax(otherwise)) - float(dip[at]))
    value, budget = nothing_below_zero(
        float(dip[at]) - 0.5 * excess,
        (
            station("heights at the farthest point", noise),
            station("heights at the edges of the pass", noise),
            station("picking the farthest point", rectangular(0.5 * excess)),
            definition("where the pass meets the groove's walls", change),
            *height_effects(profile, float(dip[at])),
        ),
    )
    return SectionValue(
        name=name,
        value=value,
        unit=Unit.MM,
        budget=budget,
        across_mm=float(section.x_mm[at]),
    )


def _face(
    section: Section, soft_mm: Floats, left: Flank, right: Flank, off_mm: float
) -> PassFace | None:
    """Face between the places where the metal stands off the lines of both walls."""
    between = section.between(left.shoulder_mm, right.shoulder_mm) & np.isfinite(soft_mm)
    edges = []
    for flank in (left, right):
        wall = flank.height_at_zero_mm + flank.slope * section.x_mm
        off = np.flatnonzero(between & (soft_mm - wall > off_mm))
        if len(off) == 0:
            return None
        edges.append(float(section.x_mm[off[0 if flank is left else -1]]))
    if edges[1] - edges[0] < LEAST_FACE_MM:
        return None
    return PassFace(left_mm=edges[0], right_mm=edges[1])


def _dips_mm(section: Section, soft_mm: Floats, face: PassFace) -> Floats:
    """(N,) how far the face lies below the line that joins its edges; NaN elsewhere."""
    inside = section.between(face.left_mm, face.right_mm) & np.isfinite(soft_mm)
    ends = np.flatnonzero(inside)
    if len(ends) < 3:
        return np.full(len(soft_mm), np.nan)
    line = np.interp(section.x_mm, section.x_mm[ends[[0, -1]]], soft_mm[ends[[0, -1]]])
    return np.asarray(np.where(inside, line - soft_mm, np.nan), dtype=np.float64)
