"""A step of known thickness beside the weld, which scales every height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.beadmap import Axis
from beadcheck.errors.profile_pair import StepNotSeenError, StepOffError
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair.cells import cells_along, evidence_volume
from beadcheck.profiles.pair.evidence import BROAD, FINE, evidence_of
from beadcheck.profiles.pair.ground import cast_on
from beadcheck.profiles.pair.likely import most_likely
from beadcheck.surface.joint import JointSurface, PairView

PATCH_MM: Final = 4.0
"""Half size of the patch about a place on the step's top that is looked at."""
REACH_MM: Final = (1.0, 1.0)
RANGE: Final = (0.6, 1.4)
"""Parts of the thickness between which the top is looked for."""
SAME_SHARE: Final = 0.25
"""Triangulated heights are off by a few percent; a height further off is another thing's."""
LEAST_EVIDENCE: Final = 10.0
"""Logarithm by which the top must beat any other height."""
MOST_U_MM: Final = 0.15
U_TOP_MM: Final = 0.02
"""Standard uncertainty of its flatness and seat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenStep:
    """Height of the step's top over the target's nominal base, before any scaling."""

    height_mm: float
    u_height_mm: float


def seen_step(
    views: Sequence[PairView],
    joint: JointSurface,
    axis: Axis,
    step: KnownStep,
    place: tuple[float, float],
    base_mm: float,
) -> SeenStep:
    """Measure the step's top about a place on it.

    Parameters
    ----------
    place
        Station and place across.
    base_mm
        Height of the base metal there.

    Raises
    ------
    StepNotSeenError, StepOffError
        Nothing flat and raised is seen there, or its height does not fit.
    """
    s_mm, across_mm = place
    cells = cells_along(
        axis,
        s_range_mm=(s_mm - PATCH_MM, s_mm + PATCH_MM),
        across_range_mm=(across_mm - PATCH_MM, across_mm + PATCH_MM),
        px_per_mm=joint.surfaces[0].px_per_mm,
    )
    casts = [
        cast_on(cells.ground, view.photo, surface)
        for view, surface in zip(views, joint.surfaces, strict=True)
    ]
    evidences = [
        evidence_of(cells.ground, (casts[0], cast), look)
        for cast in casts[1:]
        for look in (FINE, BROAD)
    ]
    finest = max(evidence.px_per_height for evidence in evidences)
    lowest, highest = (base_mm + share * step.thickness_mm for share in RANGE)
    levels_mm = np.linspace(lowest, highest, 2 + int((highest - lowest) * finest / 0.25))
    volume = evidence_volume(cells, evidences, None, levels_mm)
    summed = cells.summed(volume, REACH_MM, np.ones(cells.shape, dtype=np.bool_))
    height_mm, spread_mm, beats = most_likely(summed, levels_mm)
    here = cells.shape[0] // 2, cells.shape[1] // 2
    if beats[here] < LEAST_EVIDENCE or spread_mm[here] > MOST_U_MM:
        raise StepNotSeenError(step.thickness_mm)
    seen_mm = float(height_mm[here]) - base_mm
    if abs(seen_mm / step.thickness_mm - 1.0) > SAME_SHARE:
        raise StepOffError(seen_mm, step.thickness_mm)
    return SeenStep(height_mm=seen_mm, u_height_mm=float(np.hypot(spread_mm[here], U_TOP_MM)))
