"""Undoing what an outline seen at a slant does to a profile."""

from typing import Final

import numpy as np

from beadcheck.measurements.profile.section import Floats
from beadcheck.profiles import Profile
from beadcheck.quantity import Side

LEAST_ENVELOPE_MM: Final = 0.005
"""Below it a flank of 60 degrees moves less than 0.01 mm."""
STEEPEST: Final = 2.75
"""A parabola's steepest use is on a flank of 70 degrees: beyond it nothing takes part."""


def opened_heights_mm(height_mm: Floats, *, step_mm: float, envelopes_mm: Floats) -> Floats:
    """(N,) heights on an even grid whose outline was dilated by parabolas.

    The outline is the profile dilated by parabolas of these (N,) radii of curvature, which change
    along it as the sight turns; eroding it by the same gives back every flank and crest, and leaves
    a hollow filled only where it is sharper than the parabola (grey-scale closing; Serra, Image
    Analysis and Mathematical Morphology, 1982).
    """
    if envelopes_mm.max() < LEAST_ENVELOPE_MM:
        return height_mm
    seen = np.isfinite(height_mm)
    reach = max(1, int(np.ceil(STEEPEST * envelopes_mm.max() / step_mm)))
    count = len(height_mm)
    outline = np.pad(np.where(seen, height_mm, np.inf), reach, constant_values=np.inf)
    radius_mm = np.pad(np.maximum(envelopes_mm, LEAST_ENVELOPE_MM), reach, mode="edge")
    lowest = np.full(count, np.inf)
    for offset in range(-reach, reach + 1):
        part = slice(reach + offset, reach + offset + count)
        raised = outline[part] + (offset * step_mm) ** 2 / (2.0 * radius_mm[part])
        np.minimum(lowest, raised, out=lowest)
    return np.asarray(np.where(seen, lowest, np.nan), dtype=np.float64)


def envelope_at(profile: Profile, side: Side) -> float:
    """Radius of curvature of the parabola that dilates an outline at one toe."""
    if profile.envelopes_mm is None or profile.near_toes_mm is None:
        return profile.envelope_mm
    toe_mm = profile.near_toes_mm[0 if side is Side.LEFT else 1]
    return float(np.interp(toe_mm, profile.across_mm, profile.envelopes_mm))
