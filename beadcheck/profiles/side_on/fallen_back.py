"""Whether what is seen of the weld's outline is its outermost border."""

from typing import Final

import numpy as np

from beadcheck.errors.profile_side_on import OutlineFallsBackError
from beadcheck.profiles.side_on.edge import OutlineEdge

GAP_MM: Final = 0.3
"""Of outline that is not seen: some points are left out of any outline."""
DEEPER_MM: Final = 0.4
"""Grooves between ripples are less deep (an estimate, made after a look at two renders whose trace
fell back by 0.8 mm and more)."""
BESIDE_MM: Final = 1.0
"""From the weld's ends, which are known roughly, so far off its toes may lie."""


def require_outermost(edge: OutlineEdge, weld_mm: tuple[float, float]) -> None:
    """Refuse where, between two gaps, the outline lies further in than at both of them.

    An outline is the outermost border of the metal, without a break. Where the weld is as bright
    as the background, the nearest clear edge is that of a ripple on its face, further in: it
    begins and ends at gaps, and looks like a lower weld. A hollow face whose walls are not seen
    looks no different, so neither is measured.

    Parameters
    ----------
    weld_mm
        Ends of the weld along the pipe.

    Raises
    ------
    OutlineFallsBackError
    """
    half_mm = 0.5 * np.ptp(weld_mm) + BESIDE_MM
    near = edge.sure & (np.abs(edge.along_mm - np.mean(weld_mm)) <= half_mm)
    along_mm, height_mm = edge.along_mm[near], edge.height_mm[near]
    gap = np.diff(along_mm) > GAP_MM
    jump_mm = np.where(gap, np.diff(height_mm), 0.0)
    back = np.flatnonzero(jump_mm < -DEEPER_MM)
    out = np.flatnonzero(jump_mm > DEEPER_MM)
    if back.size == 0 or out.size == 0 or back[0] > out[-1]:
        return
    begins = back[back < out[-1]][-1]
    ends = out[out > begins][0]
    raise OutlineFallsBackError(
        float(along_mm[ends] - along_mm[begins + 1]),
        float(min(-jump_mm[begins], jump_mm[ends])),
    )
