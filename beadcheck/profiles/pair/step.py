"""A step of known thickness beside the weld, which scales every height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.errors.profile_pair import StepNotSeenError, StepOffError
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair.cast import cast_on
from beadcheck.profiles.pair.cells import Cells, cells_along
from beadcheck.profiles.pair.evidence import BROAD, FINE, evidence_of, evidence_volume
from beadcheck.profiles.pair.likely import beats, most_likely
from beadcheck.surface import Points
from beadcheck.surface.joint import JointSurface, PairView

Mask = NDArray[np.bool_]

PATCH_MM: Final = 4.0
"""Half size of the patch about a place on the step's top that is looked at."""
REACH_MM: Final = (1.0, 1.0)
RANGE: Final = (0.6, 1.4)
"""Parts of the thickness between which the top is looked for."""
SAME_SHARE: Final = 0.08
"""Triangulated heights are off by a percent or two, and by as much as a printer scales a page to
fit: a top further off is not read well."""
OFF_SHARE: Final = 0.15
"""Steps of other usual thicknesses differ by more than this."""
LEAST_EVIDENCE: Final = 10.0
"""Logarithm by which the top must beat any other height."""
MOST_U_MM: Final = 0.05
"""A bare top that is less sure than this tells chance. (The step's edges are rounded, and seem to
lie up to a tenth of its height too low: they are no help.)"""
U_TOP_MM: Final = 0.04
"""Standard uncertainty of its flatness and seat, and of light that glides over it."""
LONGEST_MM: Final = 14.0
"""Half size of the patch in which the step's outline is looked for."""
SAME_TONE: Final = 0.15
"""Its top is about as bright all over, in natural logarithms."""
BRUSH_MM: Final = 0.4
"""Standard deviation that smooths the marks of its grinding."""
AROUND_MM: Final = 0.5
"""The windows of fine grain that reach over its edges."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenStep:
    """Height of the step's top over the base metal, before any scaling."""

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
    cells = _patch(axis, place, joint, PATCH_MM)
    casts = [
        cast_on(cells, view.photo, surface)
        for view, surface in zip(views, joint.surfaces, strict=True)
    ]
    evidences = [
        evidence_of(cells, (casts[0], cast), look) for cast in casts[1:] for look in (FINE, BROAD)
    ]
    finest = max(evidence.px_per_height for evidence in evidences)
    lowest, highest = (base_mm + share * step.thickness_mm for share in RANGE)
    levels_mm = np.linspace(lowest, highest, 2 + int((highest - lowest) * finest / 0.25))
    volume = evidence_volume(evidences, levels_mm)
    summed = cells.summed(volume, REACH_MM)
    height_mm, spread_mm = most_likely(summed, levels_mm)
    here = cells.shape[0] // 2, cells.shape[1] // 2
    if beats(summed)[here] < LEAST_EVIDENCE or spread_mm[here] > MOST_U_MM:
        raise StepNotSeenError(step.thickness_mm)
    seen_mm = float(height_mm[here]) - base_mm
    off_share = abs(seen_mm / step.thickness_mm - 1.0)
    if off_share > OFF_SHARE:
        raise StepOffError(seen_mm, step.thickness_mm)
    if off_share > SAME_SHARE:
        raise StepNotSeenError(step.thickness_mm)
    return SeenStep(height_mm=seen_mm, u_height_mm=float(np.hypot(spread_mm[here], U_TOP_MM)))


def under_step(
    cells: Cells,
    views: Sequence[PairView],
    joint: JointSurface,
    place: tuple[float, float],
    top_mm: float,
) -> Mask:
    """(R, C) the cells that the step and its shadow hide: about what is as bright as its top."""
    patch = _patch(cells.ground.axis, place, joint, LONGEST_MM)
    cast = cast_on(patch, views[0].photo, joint.surfaces[0])
    sigma_px = BRUSH_MM * patch.ground.px_per_mm
    smooth = patch.means(np.asarray(cv2.GaussianBlur(cast.tone, (0, 0), sigma_px)))
    rows, columns = patch.shape
    size_mm = np.array(patch.size_mm[::-1])[:, None, None]
    at = np.stack(np.meshgrid(np.arange(columns), np.arange(rows)))
    at = (at + cast.beside_mm(np.float32(top_mm)) / size_mm).astype(np.float32)
    tone = np.asarray(cv2.remap(smooth, at[0], at[1], cv2.INTER_LINEAR), dtype=np.float32)
    filled = np.zeros((rows + 2, columns + 2), dtype=np.uint8)
    how = 4 | cv2.FLOODFILL_MASK_ONLY | cv2.FLOODFILL_FIXED_RANGE
    seed = (columns // 2, rows // 2)
    cv2.floodFill(tone, filled, seed, 0.0, SAME_TONE, SAME_TONE, how)
    row, column = np.nonzero(filled[1:-1, 1:-1])
    places = np.stack([patch.s_mm[column], patch.across_mm[row]], axis=1).astype(np.float32)
    return _near(np.asarray(cv2.convexHull(places)[:, 0], dtype=np.float64), cells)


def _patch(axis: Axis, place: tuple[float, float], joint: JointSurface, half_mm: float) -> Cells:
    s_mm, across_mm = place
    return cells_along(
        axis,
        s_range_mm=(s_mm - half_mm, s_mm + half_mm),
        across_range_mm=(across_mm - half_mm, across_mm + half_mm),
        px_per_mm=joint.surfaces[0].px_per_mm,
    )


def _near(outline: Points, cells: Cells) -> Mask:
    """(R, C) the cells inside a polygon of stations and places across, or within `AROUND_MM`."""
    size = np.array(cells.size_mm[::-1])
    corners = np.round((outline - [cells.s_mm[0], cells.across_mm[0]]) / size).astype(np.int32)
    mask = np.zeros(cells.shape, dtype=np.uint8)
    cv2.fillPoly(mask, [corners], 1)
    along, across = (2 * int(np.ceil(AROUND_MM / width)) + 1 for width in size)
    return np.asarray(cv2.dilate(mask, np.ones((across, along), np.uint8)) > 0)
