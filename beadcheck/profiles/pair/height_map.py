"""Heights over the whole field that a set of photos shows, and sections of it."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.errors.base import ProfileError
from beadcheck.profiles.profile import Profile, ProfileMethod
from beadcheck.quantity import Component
from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]

STATION_MM: Final = 2.0
"""Sections stand this far apart: heights are gathered over about 4 mm along the weld, so that those
between two sections say what they say."""
HALF_SECTION_MM: Final = 0.6
"""Columns within this of a station make its section."""
STRAY_SPREADS: Final = 3.0
LEAST_SPREAD_MM: Final = 0.02
FEWEST_PLACES: Final = 15
"""Heights that a section needs to be worth reading."""
AT_TOE_MM: Final = 0.5
"""Left out at either toe, where heights are rarely sure."""
PROUD_MM: Final = 0.2
"""A face that rises above this has a crown."""
ABOUT_MM: Final = 0.8
MOSTLY: Final = 0.7
"""Share of the places within `ABOUT_MM` of a crown or dip that must be seen on either side."""
SMOOTH_MM: Final = 0.3
"""Standard deviation across the weld of the window and of the summing of evidence together."""
INDEPENDENT_MM: Final = 0.8
"""Places further apart than this share no grain."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeightMap:
    """Heights over the base metal, levelled on the parent metal beside the weld.

    Attributes
    ----------
    axis
        The weld's axis on `surface`.
    s_mm, across_mm
        (C,) and (R,) places of the columns and rows, evenly spaced.
    height_mm, u_height_mm
        (R, C) height, and the standard uncertainty of each place's own error; NaN where the photos
        do not show it well enough, on paper, and on objects beside the weld.
    gain_budget, across_budget
        Relative standard uncertainties of every height, and of every distance across.
    form_budget
        Standard uncertainties, in mm, of heights over the levelled base.
    base_residual_mm
        Standard deviation of the parent metal about the base.
    convergence_deg
        Angle between the photos' lines of sight: the greatest used.
    surface
        Base metal and camera of the first photo, solved with the others; pixels are of that photo.
    offset_mm
        (R, C) how far the levelled base lies above the surface.
    gain
        What triangulated heights were multiplied by: other than 1 where a step was known.
    toes_mm
        (N, 3) stations, and rough left and right toe across; empty where they are not known.
    notice
        What the user should hear of, though heights were measured.
    """

    axis: Axis
    s_mm: Floats
    across_mm: Floats
    height_mm: Floats
    u_height_mm: Floats
    gain_budget: tuple[Component, ...]
    across_budget: tuple[Component, ...]
    form_budget: tuple[Component, ...]
    base_residual_mm: float
    convergence_deg: float
    surface: SolvedSurface
    offset_mm: Floats
    gain: float
    toes_mm: Floats
    notice: ProfileError | None = None

    def __post_init__(self) -> None:
        shape = (self.across_mm.size, self.s_mm.size)
        grids = (self.height_mm, self.u_height_mm, self.offset_mm)
        if {grid.shape for grid in grids} != {shape}:
            msg = "heights, their uncertainties and the base must fit rows and columns"
            raise ValueError(msg)
        for array in (self.s_mm, self.across_mm, *grids, self.toes_mm):
            array.flags.writeable = False

    def to_px(self, s_mm: Floats, across_mm: Floats) -> Points:
        """(N, 2) pixels of the first photo at which places appear, at their own heights."""
        column, row = (
            np.clip(np.round((at - places[0]) / (places[1] - places[0])), 0, places.size - 1)
            for at, places in ((s_mm, self.s_mm), (across_mm, self.across_mm))
        )
        cell = row.astype(np.intp), column.astype(np.intp)
        height_mm = np.nan_to_num(self.height_mm[cell]) / self.gain + self.offset_mm[cell]
        return self.seen_px(s_mm, across_mm, height_mm)

    def seen_px(self, s_mm: Floats, across_mm: Floats, height_mm: Floats) -> Points:
        """(N, 2) pixels of the first photo at which points over its surface appear."""
        places = self.axis.to_surface(s_mm, across_mm)
        return self.surface.seen_at_px(self.surface.in_space(places, height_mm))


def section(height_map: HeightMap, s_mm: float) -> Profile:
    """The heights across the weld at a station, about 1 mm along the weld together."""
    near = np.abs(height_map.s_mm - s_mm) <= HALF_SECTION_MM
    if not near.any():
        near[int(np.abs(height_map.s_mm - s_mm).argmin())] = True
    height_mm, u_height_mm = _together(
        height_map.height_mm[:, near], height_map.u_height_mm[:, near]
    )
    across_mm = height_map.across_mm.copy()
    station = np.full_like(across_mm, s_mm)
    offset_mm = height_map.offset_mm[:, near].mean(axis=1)
    middle = height_map.axis.to_surface(np.array([s_mm]), np.array([0.0]))
    clock_deg = float(height_map.surface.clock_deg(middle)[0])
    raw_mm = np.nan_to_num(height_mm) / height_map.gain + offset_mm
    return Profile(
        method=ProfileMethod.PAIR,
        s_mm=s_mm,
        clock_deg=None if np.isnan(clock_deg) else clock_deg,
        across_mm=across_mm,
        height_mm=height_mm,
        u_height_mm=u_height_mm,
        points_px=height_map.seen_px(station, across_mm, raw_mm),
        independent_mm=INDEPENDENT_MM,
        smooth_mm=SMOOTH_MM,
        gain_budget=height_map.gain_budget,
        across_budget=height_map.across_budget,
        form_budget=height_map.form_budget,
        near_toes_mm=_near_toes(height_map, s_mm),
    )


def sections(height_map: HeightMap) -> tuple[Profile, ...]:
    """A section every `STATION_MM` of the weld at which enough of it is seen."""
    first, last = np.ceil(height_map.s_mm[0]), np.floor(height_map.s_mm[-1])
    if len(height_map.toes_mm):
        first = max(first, np.ceil(height_map.toes_mm[0, 0]))
        last = min(last, np.floor(height_map.toes_mm[-1, 0]))
    made = (section(height_map, float(s)) for s in np.arange(first, last + 0.5, STATION_MM))
    return tuple(each for each in made if worth_reading(each))


def worth_reading(profile: Profile) -> bool:
    """Whether a section shows enough, and its crown or its dip does not hide in a hole.

    The highest place seen is a crown only if the weld falls off from it to both sides; at the brink
    of a hole it is any place of a flank. Of a face that stands nowhere proud the lowest place
    counts.
    """
    seen = np.isfinite(profile.height_mm)
    if seen.sum() < FEWEST_PLACES:
        return False
    if profile.near_toes_mm is None:
        return True
    left, right = profile.near_toes_mm
    across_mm = profile.across_mm
    core = seen & (across_mm > left + AT_TOE_MM) & (across_mm < right - AT_TOE_MM)
    if not core.any():
        return False
    heights = np.where(core, profile.height_mm, np.nan)
    proud = float(np.nanmax(heights)) > PROUD_MM
    summit = int(np.nanargmax(heights) if proud else np.nanargmin(heights))
    away = across_mm - across_mm[summit]
    sides = [(away >= -ABOUT_MM) & (away < 0.0), (away > 0.0) & (away <= ABOUT_MM)]
    return all(bool(seen[side].mean() >= MOSTLY) for side in sides if side.any())


def _together(height_mm: Floats, u_height_mm: Floats) -> tuple[Floats, Floats]:
    """(R,) mean of each row's columns without strays.

    Neighbouring columns share their evidence, so that the uncertainty does not shrink.
    """
    known = np.isfinite(height_mm)
    wanted = 2 * known.sum(axis=1) >= height_mm.shape[1]
    heights, doubts = height_mm[wanted], u_height_mm[wanted]
    off = np.abs(heights - _known_median(heights)[:, None])
    spread = np.maximum(1.4826 * _known_median(off), LEAST_SPREAD_MM)
    kept = off <= STRAY_SPREADS * spread[:, None]
    weight = np.where(kept, 1.0 / doubts**2, 0.0)
    together = np.full(len(height_mm), np.nan)
    u_together = np.full(len(height_mm), np.nan)
    together[wanted] = (weight * np.where(kept, heights, 0.0)).sum(axis=1) / weight.sum(axis=1)
    u_together[wanted] = _known_median(doubts)
    return together, u_together


def _known_median(values: Floats) -> Floats:
    """(R,) median of each row's values but NaN; `np.nanmedian` is slow over a few columns."""
    ordered = np.sort(values, axis=1)
    count = np.isfinite(values).sum(axis=1)
    rows = np.arange(len(values))
    middle = 0.5 * (ordered[rows, (count - 1) // 2] + ordered[rows, count // 2])
    return np.asarray(middle, dtype=np.float64)


def _near_toes(height_map: HeightMap, s_mm: float) -> tuple[float, float] | None:
    if not len(height_map.toes_mm):
        return None
    stations, left, right = height_map.toes_mm.T
    return float(np.interp(s_mm, stations, left)), float(np.interp(s_mm, stations, right))
