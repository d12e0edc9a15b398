"""What the toe angle of one section may be off by."""

import math
from typing import Final

import numpy as np

from beadcheck.measurements.profile.base_lines import BaseLines, Chord
from beadcheck.measurements.profile.section import Floats, Section, rectangular
from beadcheck.measurements.profile.toe import (
    Flank,
    band_of,
    inward,
    line_through,
)
from beadcheck.quantity import Component, Scope

OTHER_FLANKS: Final = ((0.10, 0.40), (0.20, 0.60))
"""Bands that might as well have been chosen; what they change is the definition's own doubt."""
BAND_CHOICE_DEG: Final = 1.5
"""Least half width of what the choice of band does to a toe angle, from simulated profiles."""
OUTLINE_DEG: Final = 5.0
"""Half width of what the wavering of a toe does to a flank's angle on an outline (renders)."""


def toe_angle_budget(
    section: Section,
    soft_mm: Floats,
    lines: BaseLines,
    flank: Flank,
    *,
    chord: Chord,
    relative: float,
    on_outline: bool,
) -> tuple[Component, ...]:
    """Effects on the toe angle of one profile, in degrees.

    Parameters
    ----------
    relative
        Standard uncertainty of heights over distances across, as a part of them.
    on_outline
        Whether the flank is the outermost of several mm of the weld.
    """
    inside = math.radians(flank.angle_deg)
    stretched = math.degrees(math.sin(inside) * math.cos(inside) * relative)
    beside = Component(
        source="weld beside the outline",
        standard_uncertainty=rectangular(OUTLINE_DEG),
        scope=Scope.STATION,
    )
    return (
        *((beside,) if on_outline else ()),
        Component(
            source="heights along the flank",
            standard_uncertainty=flank.u_angle_deg,
            scope=Scope.STATION,
        ),
        Component(
            source="choice of the flank's band",
            standard_uncertainty=rectangular(
                max(BAND_CHOICE_DEG, _band_effect_deg(section, soft_mm, lines, flank, chord))
            ),
            scope=Scope.DEFINITION,
        ),
        Component(
            source="averaging across the flank",
            standard_uncertainty=_flattened_deg(section, flank),
            scope=Scope.PHOTO,
        ),
        Component(
            source="scale of heights against distances across",
            standard_uncertainty=abs(stretched),
            scope=Scope.PHOTO,
        ),
    )


def _flattened_deg(section: Section, flank: Flank) -> float:
    """Standard uncertainty, in degrees, of a flank that is hardly wider than what is averaged over.

    A straight flank of length L keeps erf(L / (2 sqrt 2 s)) of its slope at its middle.
    """
    if section.smooth_mm <= 0.0:
        return 0.0
    length_mm = abs(flank.rise_mm / flank.slope)
    lost = 1.0 - math.erf(length_mm / (2.0 * math.sqrt(2.0) * section.smooth_mm))
    slope = abs(flank.slope)
    return math.degrees(lost * slope / (1.0 + slope**2))


def _band_effect_deg(
    section: Section, soft_mm: Floats, lines: BaseLines, flank: Flank, chord: Chord
) -> float:
    """Return how much the angle changes with bands that might as well have been chosen."""
    face = inward(section, soft_mm, lines, flank.side, chord)
    ratio = face.over_mm / flank.rise_mm
    reached = np.flatnonzero(ratio >= 1.0)
    top = int(reached[0]) + 1 if len(reached) else len(ratio)
    angle = math.degrees(math.atan(abs(flank.slope)))
    changes = []
    for band in OTHER_FLANKS:
        part = band_of(ratio[:top], *band)
        fit = None if part is None else line_through(section, face.places[:top], part)
        if fit is not None:
            changes.append(abs(math.degrees(math.atan(abs(fit[1]))) - angle))
    return max(changes, default=0.0)
