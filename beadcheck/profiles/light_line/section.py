"""From the light's places in space to one even profile across the weld."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.profiles.light_line.base import alike_rows

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

PITCH_MM: Final = 0.1
WINDOW_MM: Final = 0.12
"""Standard deviation of the window across: rows within it see the same grain of the metal."""
REACH_WINDOWS: Final = 3.5
FULL_WINDOW: Final = 0.7
FEWEST_WINDOWS: Final = 3
"""Means over fewer windows, each seen for `FULL_WINDOW`, tell no spread."""
LEAST_FILLED: Final = 0.3
"""Of the rows that a full window holds; with fewer there is a gap."""
ONE_SIDED: Final = 0.6
"""In windows: rows further off than this on average lie at the edge of a gap."""
LOCAL_MM: Final = 0.8
"""Standard deviation of the window over which the scatter of rows is taken."""
LEAST_OF_USUAL: Final = 0.8
"""Rows that happen to lie smooth share the slow part of what the others show."""
SLOW_MM: Final = 2.0
"""Reflectance that differs from one side of the line to the other, as ripples, tint and brushing
make it, moves the middle of the line alike over about so much of its length."""
WANDER_MM: Final = 0.4
"""Standard deviation of the window about whose mean the line wanders from ripple to ripple."""
SLOW_SHARE: Final = 0.75
"""Of that wander: the error that is left in means over `SLOW_MM` (renders: 0.8 on welds)."""
MOST_WANDERS: Final = 3.0
"""Toes and edges lie further out than this many robust spreads, and count as so many."""
U_FLOOR_MM: Final = 0.004
"""What demosaicing and JPEG leave, whatever the scatter says (an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EvenSection:
    """Heights at even places across; NaN in gaps."""

    across_mm: Floats
    height_mm: Floats
    u_height_mm: Floats
    points_px: Floats
    independent_mm: float


def even_section(
    across_mm: Floats, height_mm: Floats, u_mm: Floats, points_px: Floats, sides: NDArray[np.intp]
) -> EvenSection:
    """Local parabolas through the rows' heights.

    Parameters
    ----------
    across_mm, height_mm, u_mm, points_px
        (N,), (N,), (N,) and (N, 2): of rows with clean light, in any order across.
    sides
        (N,) -1 and +1 for rows on base metal: they tell how far smoothed heights scatter.
    """
    order = np.argsort(across_mm, kind="stable")
    across_mm, height_mm, u_mm = across_mm[order], height_mm[order], u_mm[order]
    points_px, sides = points_px[order], sides[order]
    even_mm = np.arange(across_mm[0], across_mm[-1] + 0.5 * PITCH_MM, PITCH_MM)
    smooth, filled = _local_curves(even_mm, across_mm, height_mm)
    at_rows, _ = _local_curves(across_mm, across_mm, height_mm)
    rough = height_mm - at_rows
    local = _local_scatter(even_mm, across_mm, rough)
    even_sides = sides[_nearest(even_mm, across_mm)]
    rest = _off_the_base(even_mm, np.where(filled, smooth, np.nan), even_sides)
    # Rows share grain and speckle: smoothing leaves what the base metal shows, and more of it where
    # rows scatter more than there.
    left_mm = _robust_sd(rest[np.isfinite(rest)])
    usual = float(np.median(local[even_sides != 0]))
    more = np.maximum(local / max(usual, 1e-6), LEAST_OF_USUAL)
    own = np.interp(even_mm, across_mm, u_mm)
    slow = np.hypot(_u_of_windows(rest), _wander(even_mm, across_mm, height_mm, sides))
    u = np.sqrt((left_mm * more) ** 2 + (0.5 * own) ** 2 + slow**2 + U_FLOOR_MM**2)
    return EvenSection(
        across_mm=even_mm,
        height_mm=np.where(filled, smooth, np.nan),
        u_height_mm=u,
        points_px=np.stack([np.interp(even_mm, across_mm, axis) for axis in points_px.T], axis=1),
        independent_mm=max(SLOW_MM, PITCH_MM * alike_rows(rest)),
    )


def _robust_sd(values: Floats) -> float:
    """Standard deviation that stray values do not move; 0 of none."""
    return 1.4826 * float(np.median(np.abs(values))) if values.size else 0.0


def _nearest(places: Floats, ordered: Floats) -> NDArray[np.intp]:
    after = np.clip(np.searchsorted(ordered, places), 1, ordered.size - 1)
    return after - (places - ordered[after - 1] < ordered[after] - places)


def _local_curves(places: Floats, across: Floats, values: Floats) -> tuple[Floats, Mask]:
    """Values at places by Gaussian-weighted parabolas, and where the window is filled.

    Unlike a mean or a straight line, a parabola does not level out a groove as wide as the window.
    """
    pitch = float(np.median(np.diff(across)))
    reach = math.ceil(REACH_WINDOWS * WINDOW_MM / pitch)
    near = np.searchsorted(across, places)[:, None] + np.arange(-reach, reach + 1)
    inside = (near >= 0) & (near < across.size)
    near = np.clip(near, 0, across.size - 1)
    away = (across[near] - places[:, None]) / WINDOW_MM
    weight = np.where(inside, np.exp(-0.5 * away * away), 0.0)
    powers = [weight]
    for _ in range(4):
        powers.append(powers[-1] * away)
    moments = [power.sum(axis=1) for power in powers]
    normal = np.stack([np.stack(moments[k : k + 3], axis=1) for k in range(3)], axis=1)
    normal += 1e-6 * np.eye(3)
    right = np.stack([(power * values[near]).sum(axis=1) for power in powers[:3]], axis=1)
    curves = np.linalg.solve(normal, right[..., None])[:, 0, 0]
    full = WINDOW_MM * np.sqrt(2.0 * np.pi) / pitch
    mean_away = moments[1] / np.maximum(moments[0], 1e-12)
    filled = (moments[0] > LEAST_FILLED * full) & (np.abs(mean_away) < ONE_SIDED)
    return curves, np.asarray(filled)


def _local_scatter(places: Floats, across: Floats, rough: Floats) -> Floats:
    pitch = float(np.median(np.diff(across)))
    square = gaussian_filter1d(rough * rough, LOCAL_MM / pitch, mode="nearest")
    return np.asarray(np.sqrt(np.interp(places, across, square)))


def _u_of_windows(rest_mm: Floats) -> float:
    """Standard deviation of means over `SLOW_MM` of the levelled base metal; NaN are holes."""
    count = round(SLOW_MM / PITCH_MM)
    whole = rest_mm[: rest_mm.size // count * count].reshape(-1, count)
    seen = np.isfinite(whole)
    full = seen.mean(axis=1) > FULL_WINDOW
    if full.sum() < FEWEST_WINDOWS:
        return _robust_sd(rest_mm[np.isfinite(rest_mm)])
    means = np.where(seen, whole, 0.0).sum(axis=1)[full] / seen.sum(axis=1)[full]
    return float(np.sqrt(np.mean(means**2)))


def _wander(places: Floats, across: Floats, height: Floats, sides: NDArray[np.intp]) -> Floats:
    """What the line's wander from ripple to ripple leaves in means over `SLOW_MM`."""
    pitch = float(np.median(np.diff(across)))
    rest = height - gaussian_filter1d(height, WANDER_MM / pitch, mode="nearest")
    # On shiny metal the line may break into glints over the weld, and run straight beside it.
    on_weld = rest[_between_sides(across, sides)]
    most = MOST_WANDERS * max(_robust_sd(rest), _robust_sd(on_weld))
    square = gaussian_filter1d(
        np.minimum(np.abs(rest), most) ** 2, 0.5 * SLOW_MM / pitch, mode="nearest"
    )
    return np.asarray(SLOW_SHARE * np.sqrt(np.interp(places, across, square)))


def _between_sides(across: Floats, sides: NDArray[np.intp]) -> Mask:
    """(N,) rows between the base metal left and right of the weld."""
    left, right = across[sides == -1], across[sides == 1]
    if not (left.size and right.size):
        return np.zeros(across.size, dtype=np.bool_)
    return np.asarray((across > left[-1]) & (across < right[0]))


def _off_the_base(even_mm: Floats, height_mm: Floats, sides: NDArray[np.intp]) -> Floats:
    """Heights on each side's base metal off that side's own straight line; NaN elsewhere."""
    rest = np.full(even_mm.size, np.nan)
    for side in (-1, 1):
        mine = (sides == side) & np.isfinite(height_mm)
        if mine.sum() > 3:
            line = np.polyfit(even_mm[mine], height_mm[mine], 1)
            rest[mine] = height_mm[mine] - np.polyval(line, even_mm[mine])
    return rest
