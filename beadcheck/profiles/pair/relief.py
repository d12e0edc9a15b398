"""From evidence to the heights that are believed, and how far."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cells import Cells, Volume, about_another
from beadcheck.profiles.pair.evidence import Evidence, evidence_volume
from beadcheck.profiles.pair.likely import WORTH, most_likely
from beadcheck.profiles.pair.possible import (
    HIGHEST_BASE_MM,
    STIFFNESS,
    STRAY_MM,
    highest_mm,
    inside_mm,
    near_neighbours,
    outside_mm,
    unrivalled,
)
from beadcheck.profiles.pair.semi_global import smooth_levels
from beadcheck.profiles.pair.smooth_surface import SmoothSurface, smooth_surface

Floats = NDArray[np.float64]

HEIGHT_RANGE_MM: Final = (-3.0, 7.0)
CHANCE: Final = 3.0
"""Evidence, as a logarithm, that chance may give."""
KNOTS_MM: Final = (0.7, 5.0)
COARSE_REACH_MM: Final = (0.3, 6.0)
CLIMBS: Final = (((1.2, 0.5), ((0.25, 6.0), (0.25, 6.0))), ((0.7, 0.4), ((0.2, 4.0), (0.2, 2.0))))
"""Searches about a surface found before: half range in mm and step in cells' displacement, and the
neighbourhoods over which evidence is summed, one after the other."""
LAST_SEARCH: Final = (0.5, 0.3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A neighbourhood over which evidence is summed.

    Attributes
    ----------
    reach_mm
        Standard deviations across and along.
    u_mm
        Standard uncertainty that it brings: the height is not the same all over it.
    most_u_mm
        Heights less sure than this are left to the next, wider neighbourhood.
    """

    reach_mm: tuple[float, float]
    u_mm: float
    most_u_mm: float


LAST_REACHES: Final = (
    Reach(reach_mm=(0.2, 1.5), u_mm=0.04, most_u_mm=0.08),
    Reach(reach_mm=(0.25, 5.0), u_mm=0.06, most_u_mm=0.15),
)
FLAT_REACHES: Final = (
    Reach(reach_mm=(0.5, 3.0), u_mm=0.07, most_u_mm=0.12),
    Reach(reach_mm=(1.5, 8.0), u_mm=0.08, most_u_mm=0.17),
)
"""Their own doubt is what light on flat metal sets heights off by from place to place: about 0.1 mm
with the doubts that follow, on rendered plates looked at in development."""
U_BROAD_PX: Final = 0.1
"""How well broad grain is matched, in places of its coarse ground: photos from near each other show
flat metal rougher."""
SLOPE_DOUBT: Final = (0.1, 0.5)
"""Doubt about the slope of parent metal, and of a weld: what is seen a little beside a place is
carried over to it along the smooth surface, which rises too late from flat metal."""
FOOT_MM: Final = (0.5, 0.5)
BROAD_FOOT_MM: Final = (0.35, 0.7)
"""Doubt at the toe, and the distance from it over which it falls by e: windows that reach over the
kink at a toe take the height of what lies beyond it. Fine grain into the weld; broad grain, whose
window is twice as wide, away from it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Relief:
    """Heights over the nominal base metal, in cells; NaN where they are not believed.

    Attributes
    ----------
    height_mm, u_height_mm
        (R, C) with the standard uncertainty of each place's own error.
    """

    cells: Cells
    height_mm: Floats
    u_height_mm: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """What is compared where.

    Attributes
    ----------
    broad
        Evidence in all cells of all pairs of photos, by broad grain, for flat metal.
    rows
        The rows about the weld.
    weld_cells
        Those rows.
    rough, fine
        Evidence in those rows by fine grain: on a ground of half as many places each way, where
        heights are looked for, and on the whole one, where they are measured.
    """

    cells: Cells
    broad: Sequence[Evidence]
    rows: slice
    weld_cells: Cells
    rough: Sequence[Evidence]
    fine: Sequence[Evidence]


def relief(shown: Shown, *, weld: NDArray[np.bool_], covered: NDArray[np.bool_]) -> Relief:
    """Find the height of every place that both photos show well enough.

    Parameters
    ----------
    weld
        (R, C) bool: the cells between the toes, roughly.
    covered
        (R, C) bool: paper, of which nothing is asked.
    """
    rows = shown.rows
    height_mm, u_height_mm = _flat_metal(shown.cells, shown.broad, weld, covered)
    fine_mm, u_fine_mm = _by_fine_grain(shown, weld[rows], covered[rows])
    near_plane = np.abs(np.nan_to_num(fine_mm, nan=np.inf)) <= HIGHEST_BASE_MM
    wanted = weld[rows] | near_plane
    height_mm[rows][wanted] = fine_mm[wanted]
    u_height_mm[rows][wanted] = u_fine_mm[wanted]
    return Relief(cells=shown.cells, height_mm=height_mm, u_height_mm=u_height_mm)


def _flat_metal(
    cells: Cells, broad: Sequence[Evidence], weld: NDArray[np.bool_], covered: NDArray[np.bool_]
) -> tuple[Floats, Floats]:
    """(R, C) heights and uncertainties of the metal beside the weld, near the target's plane."""
    finest = max(evidence.px_per_height for evidence in broad)
    limits = (-HIGHEST_BASE_MM, HIGHEST_BASE_MM)
    volume, levels_mm = _searched(broad, None, limits, 0.5 / finest, covered)
    level = np.zeros(cells.shape)
    at_toe_mm, fall_mm = BROAD_FOOT_MM
    foot_mm = at_toe_mm * np.exp(-outside_mm(cells, weld) / fall_mm)
    doubt_mm = np.hypot(foot_mm, U_BROAD_PX / finest)
    return _believed(cells, level, volume, levels_mm, weld, FLAT_REACHES, doubt_mm)


def _by_fine_grain(
    shown: Shown, weld: NDArray[np.bool_], covered: NDArray[np.bool_]
) -> tuple[Floats, Floats]:
    """(R, C) heights and uncertainties, from a rough surface over closer and closer searches."""
    cells = shown.weld_cells
    surface = smooth_surface(cells.across_mm, cells.s_mm, knots_mm=KNOTS_MM, stiffness=STIFFNESS)
    finest = max(evidence.px_per_height for evidence in shown.fine)

    def search(
        evidences: Sequence[Evidence],
        about_mm: Floats | None,
        range_mm: tuple[float, float],
        step_px: float,
    ) -> tuple[Volume, Floats]:
        return _searched(evidences, about_mm, range_mm, step_px / finest, covered)

    whole, levels_mm = search(shown.rough, None, HEIGHT_RANGE_MM, 1.0)
    smooth = _first_surface(cells, surface, whole, levels_mm, weld)
    for evidences, ((half_mm, step), reaches_mm) in zip(
        (shown.rough, shown.fine), CLIMBS, strict=True
    ):
        start = smooth
        near, near_mm = search(evidences, start, (-half_mm, half_mm), step)
        for reach_mm in reaches_mm:
            volume = about_another(near, near_mm, smooth - start)
            off_mm, doubt_mm = most_likely(cells.summed(volume, reach_mm, weld), near_mm)
            weight = _weights(doubt_mm, half_mm) * float(np.prod(cells.size_mm))
            smooth = surface.robustly_through(smooth + off_mm, weight, STRAY_MM)
    half_mm, step = LAST_SEARCH
    last, last_mm = search(shown.fine, smooth, (-half_mm, half_mm), step)
    at_toe_mm, fall_mm = FOOT_MM
    foot_mm = np.where(weld, at_toe_mm * np.exp(-inside_mm(cells, weld) / fall_mm), 0.0)
    height_mm, u_height_mm = _believed(cells, smooth, last, last_mm, weld, LAST_REACHES, foot_mm)
    stray = weld & ~near_neighbours(cells, height_mm, u_height_mm, weld)
    lost = stray | ~unrivalled(cells, whole, levels_mm, height_mm, weld)
    height_mm[lost] = u_height_mm[lost] = np.nan
    return height_mm, u_height_mm


def _searched(
    evidences: Sequence[Evidence],
    about_mm: Floats | None,
    range_mm: tuple[float, float],
    step_mm: float,
    covered: NDArray[np.bool_],
) -> tuple[Volume, Floats]:
    count = 1 + int(np.ceil((range_mm[1] - range_mm[0]) / step_mm))
    levels_mm = np.linspace(*range_mm, count)
    volume = evidence_volume(evidences, about_mm, levels_mm)
    volume[:, covered] = 0.0
    return volume, levels_mm


def _first_surface(
    cells: Cells,
    surface: SmoothSurface,
    whole: Volume,
    levels_mm: Floats,
    weld: NDArray[np.bool_],
) -> Floats:
    """A smooth surface through the levels that agree best with their neighbours."""
    too_high = levels_mm[:, None, None] > highest_mm(cells, weld)
    summed = cells.summed(whole, COARSE_REACH_MM, weld) * np.float32(WORTH)
    summed[too_high] = 0.0
    most = summed.max(axis=0)
    cost = -summed / (most + np.float32(CHANCE))
    cost[too_high] = 1.0
    rough = smooth_levels(cost, levels_mm)
    weight = np.asarray(most / (most + CHANCE), dtype=np.float64)
    return surface.robustly_through(rough, weight, 0.5)


def _weights(doubt_mm: Floats, half_mm: float) -> Floats:
    """(R, C) 1/mm² by which heights count; none where any level is as likely."""
    flat = 1.0 / (half_mm * half_mm / 3.0 + 0.05**2)
    return np.maximum(1.0 / (doubt_mm * doubt_mm + 0.05**2) - flat, 0.0)


def _believed(
    cells: Cells,
    smooth: Floats,
    last: Volume,
    levels_mm: Floats,
    weld: NDArray[np.bool_],
    reaches: Sequence[Reach],
    doubt_mm: Floats,
) -> tuple[Floats, Floats]:
    slope_doubt = np.where(weld, SLOPE_DOUBT[1], SLOPE_DOUBT[0])
    height_mm = np.full(cells.shape, np.nan)
    u_height_mm = np.full(cells.shape, np.nan)
    for reach in reaches:
        summed = cells.summed(last, reach.reach_mm, weld)
        off_mm, spread_mm = most_likely(summed, levels_mm)
        aside_mm = _aside(cells, last, summed, reach.reach_mm)
        u_mm = np.sqrt(reach.u_mm**2 + spread_mm**2 + (slope_doubt * aside_mm) ** 2 + doubt_mm**2)
        wanted = np.isnan(height_mm) & (u_mm <= reach.most_u_mm)
        wanted &= np.abs(off_mm) < levels_mm[-2]
        height_mm[wanted] = (smooth + off_mm)[wanted]
        u_height_mm[wanted] = u_mm[wanted]
    return height_mm, u_height_mm


def _aside(cells: Cells, volume: Volume, summed: Volume, reach_mm: tuple[float, float]) -> Floats:
    """(R, C) how far across from a cell the evidence for its height lies on average."""
    best = summed.argmax(axis=0)[None]
    there = np.take_along_axis(volume, best, axis=0)[0]
    across, along = (reach / size for reach, size in zip(reach_mm, cells.size_mm, strict=True))
    half = int(np.ceil(3.0 * across))
    offsets = np.arange(-half, half + 1) * cells.size_mm[0]
    bell = cv2.getGaussianKernel(2 * half + 1, across)[:, 0]
    wide = cv2.getGaussianKernel(2 * int(np.ceil(3.0 * along)) + 1, along)
    moment = cv2.sepFilter2D(there, -1, wide, bell * offsets)
    mass = cv2.sepFilter2D(there, -1, wide, bell)
    return np.asarray(np.abs(moment) / np.maximum(mass, 1e-12), dtype=np.float64)
