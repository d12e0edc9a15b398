"""Heights of a face away from its toes, smoothed until noise is small."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.measurements.profile.base_lines import Chord
from beadcheck.measurements.profile.section import Floats, Section, Smoothed, middle_of, smoothed

WINDOWS_MM: Final = (0.3, 0.6, 1.0, 1.5)
"""Windows over which a crest may be smoothed: a hand gauge's foot is about as wide as the last."""
CALM_MM: Final = 0.01
"""Noise of a smoothed height that asks for no wider window: a tenth of the U aimed for."""
BEND_MM: Final = 2.0
"""Length over which the bend of a face counts for what averaging takes off its crest."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Relief:
    """Heights of one face away from its toes.

    Attributes
    ----------
    window_mm
        What they are smoothed over.
    over_mm
        (N,) over the chord; NaN at the toes, beyond them, and where unknown.
    u_mm
        (N,) their standard uncertainty.
    bend_per_mm
        (N,) how the face bends on the whole.
    """

    window_mm: float
    over_mm: Floats
    u_mm: Floats
    bend_per_mm: Floats


def relief_of(section: Section, chord: Chord, inner_mm: tuple[float, float]) -> Relief | None:
    """Heights between two places, over a line; None where too little is seen."""
    span = section.span(*inner_mm)
    expected = (inner_mm[1] - inner_mm[0]) / section.step_mm
    if np.count_nonzero(section.seen[span]) < 0.5 * expected:
        return None
    window_mm, soft = _calm(section, span)
    over_mm = np.full(len(section.x_mm), np.nan)
    over_mm[span] = soft.z_mm[span] - chord.at(section.x_mm[span])
    over_mm[~section.seen] = np.nan
    if not np.isfinite(over_mm[span]).any():
        return None
    return Relief(
        window_mm=window_mm,
        over_mm=over_mm,
        u_mm=soft.u_mm,
        bend_per_mm=smoothed(section, BEND_MM).bend_per_mm,
    )


def _calm(section: Section, inside: slice) -> tuple[float, Smoothed]:
    """Least window in which noise is small, and the heights smoothed in it."""
    for window in WINDOWS_MM:
        soft = smoothed(section, window)
        u = soft.u_mm[inside][section.seen[inside]]
        if middle_of(u[np.isfinite(u)]) <= CALM_MM:
            break
    return window, soft
