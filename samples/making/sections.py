"""The truth of sections across the weld: heights, and what a reader should make of them."""

from typing import Any

import numpy as np

from samples.making.noise import Floats
from samples.making.relief import Relief
from samples.making.rounding import rounded
from samples.making.weld import Weld

STEP_MM = 0.1
EVERY_MM = 5.0
BESIDE_MM = 6.0
NEAR_MM = 75.0
UNDERCUT_REACH_MM = 2.5  # of undercut from its toe
FLANK = (0.15, 0.50)  # part of the height over which a flank line is fitted
LEAST_FLANK_MM = 0.3


def sections(weld: Weld, heights: Relief, *, about_mm: float) -> list[dict[str, Any]]:
    """Sections every 5 mm along the weld, without its rounded ends; only near a place in view."""
    first, last = weld.steady_range_mm
    first, last = max(first, about_mm - NEAR_MM), min(last, about_mm + NEAR_MM)
    stations = np.arange(np.ceil(first / EVERY_MM), np.floor(last / EVERY_MM) + 1) * EVERY_MM
    return [section(weld, heights, float(s)) for s in stations]


def section(weld: Weld, heights: Relief, s_mm: float) -> dict[str, Any]:
    """One section as it is rendered, z over the base plane, with its values."""
    low, high = (float(v[0]) for v in weld.toes_mm(np.array([s_mm])))
    t = (
        np.arange(np.floor((low - BESIDE_MM) / STEP_MM), np.ceil((high + BESIDE_MM) / STEP_MM) + 1)
        * STEP_MM
    )
    z = heights.height_mm(np.full_like(t, s_mm), t)
    return {
        "s": s_mm,
        "t_mm": rounded(t),
        "z_mm": rounded(z),
        "values": section_values(weld, heights, s_mm),
    }


def section_values(weld: Weld, heights: Relief, s_mm: float) -> dict[str, Any]:
    """Values of one section.

    `reinforcement_mm` and `least_mm` are the highest and lowest place between the toes over the
    line that joins the toes; `area_mm2` is the metal above that line; undercut is the lowest place
    beside a toe under the base metal there; toe angles are those of lines fitted to the flanks.
    """
    low, high = (float(v[0]) for v in weld.toes_mm(np.array([s_mm])))
    t = np.arange(low, high + 0.005, 0.01)
    z = heights.height_mm(np.full_like(t, s_mm), t)
    ground = weld.ground.height_mm
    ends = ground(np.array([low, high]))
    over = z - np.interp(t, [low, high], ends)
    return {
        "lo_t": rounded(low),
        "hi_t": rounded(high),
        "width_mm": rounded(high - low),
        "toe_z_mm": rounded(ends),
        "reinforcement_mm": rounded(over.max()),
        "least_mm": rounded(over.min()),
        "top_z_mm": rounded(z.max()),
        "bottom_z_mm": rounded(z.min()),
        "area_mm2": rounded(np.clip(over, 0, None).sum() * 0.01),
        "undercut_lo_mm": rounded(_undercut(heights, s_mm, low, -1.0)),
        "undercut_hi_mm": rounded(_undercut(heights, s_mm, high, 1.0)),
        "toe_angle_lo_deg": rounded(_flank_deg(t - low, over)),
        "toe_angle_hi_deg": rounded(_flank_deg(high - t[::-1], over[::-1])),
        "misalignment_mm": rounded(weld.ground.step_mm),
    }


def _undercut(heights: Relief, s_mm: float, toe_mm: float, side: float) -> float:
    if heights.ground.groove_half_mm > 0:  # beside the toe stands the groove's wall
        return 0.0
    t = toe_mm + side * np.arange(0.0, UNDERCUT_REACH_MM, 0.01)
    z = heights.height_mm(np.full_like(t, s_mm), t) - heights.ground.height_mm(t)
    return float(max(0.0, -z.min()))


def _flank_deg(off_mm: Floats, over_mm: Floats) -> float:
    """Angle of the flank that begins at a toe; NaN where the weld is too flat to have one."""
    top = float(over_mm.max())
    if top < LEAST_FLANK_MM:
        return float("nan")
    first = int(np.argmax(over_mm > FLANK[1] * top))
    flank = np.arange(len(off_mm)) <= first
    flank &= (over_mm > FLANK[0] * top) & (over_mm < FLANK[1] * top)
    if flank.sum() < 4:
        return float("nan")
    return float(np.degrees(np.arctan(np.polyfit(off_mm[flank], over_mm[flank], 1)[0])))
