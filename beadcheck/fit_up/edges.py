"""The two edges of a dark opening across a straightened map, station by station."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from beadcheck.beadmap import BeadMap
from beadcheck.photo import linear_grey

Floats = NDArray[np.float64]

STATION_MM: Final = 1.0
NEAR_AXIS_MM: Final = 4.0
"""The opening is looked for this far from its rough line."""
FINE_MM: Final = 0.06
"""Blur across, standard deviation, before the steepest place is looked for."""
DARKEST_MM: Final = 0.35
"""Blur across before the darkest place is looked for."""
LEAST_RISE: Final = 0.45
"""Natural logarithm of how much lighter a land or a bevel is, at the least, than the opening: what
is next to a slit and hardly lighter is light that fell into it."""
NOISE_LIGHT: Final = 0.004
"""Added before the logarithm: about one code value of 8-bit black."""
PLATEAU_MM: Final = (0.2, 0.6)
"""From an edge, where levels on either side of it are read."""
WIDEST_MM: Final = 10.0
SMOOTH_STATIONS: Final = 9
MOST_OFF_MM: Final = 0.45
"""An edge must lie this near to the running median of its neighbours."""
FLOOR_U_MM: Final = 0.05
"""Standard uncertainty of an edge at one station even in the clearest photo: burrs and rounding
along 1 mm of a filed or ground edge."""
BLUR_PART: Final = 0.25
"""Standard uncertainty of an edge over the width of its step."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SlitEdges:
    """Edges at N stations, in the map's across_mm; NaN where none is.

    Attributes
    ----------
    filled
        (N,) how light the opening is between its edges as neighbours have them: 0 as dark as the
        opening is elsewhere, 1 as light as what lies beside it.
    clear
        (N,) bool.
    """

    s_mm: Floats
    left_mm: Floats
    right_mm: Floats
    u_left_mm: Floats
    u_right_mm: Floats
    clear: NDArray[np.bool_]
    filled: Floats


def slit_edges(bead: BeadMap, *, blur_mm: float) -> SlitEdges:
    """Find the edges in a map whose middle row follows the opening roughly.

    Going out from the darkest place, an edge is where the light first rises steeply: there, half
    way between the levels on its two sides.
    """
    s_mm, profiles = _station_profiles(bead)
    across = bead.across_mm
    middles = _middles(profiles, across, bead.px_per_mm)
    found = np.full((2, s_mm.size), np.nan)
    widths = np.full((2, s_mm.size), np.nan)
    for k, middle in enumerate(middles):
        for side, sign in enumerate((-1.0, 1.0)):
            found[side, k], widths[side, k] = _edge(
                profiles[:, k], across, middle, sign, bead.px_per_mm
            )
    usual = np.array([_running_median(edge) for edge in found])
    clear = (np.abs(found - usual) <= MOST_OFF_MM).all(axis=0)
    clear &= np.isfinite(found).all(axis=0) & (found[1] - found[0] <= WIDEST_MM)
    u_mm = np.hypot(FLOOR_U_MM, BLUR_PART * np.maximum(np.nan_to_num(widths), blur_mm))
    return SlitEdges(
        s_mm=s_mm,
        left_mm=found[0],
        right_mm=found[1],
        u_left_mm=u_mm[0],
        u_right_mm=u_mm[1],
        clear=clear,
        filled=_filled(profiles, across, usual, clear),
    )


def _station_profiles(bead: BeadMap) -> tuple[Floats, Floats]:
    """Stations, and the light across at each, (R, N): averaged along 1 mm; NaN where unseen."""
    light = linear_grey(bead.bgr).astype(np.float64)
    light[~bead.seen] = np.nan
    per_station = max(1, round(STATION_MM * bead.px_per_mm))
    count = light.shape[1] // per_station
    cut = light[:, : count * per_station].reshape(light.shape[0], count, per_station)
    s_mm = bead.s_mm[: count * per_station].reshape(count, per_station).mean(axis=1)
    return s_mm, cut.mean(axis=2)


def _middles(profiles: Floats, across: Floats, px_per_mm: float) -> Floats:
    """(N,) darkest place near the axis, smooth along the joint."""
    near = np.abs(across) <= NEAR_AXIS_MM
    dark = gaussian_filter1d(
        np.nan_to_num(profiles, nan=1.0), DARKEST_MM * px_per_mm, axis=0, mode="nearest"
    )[near]
    lowest = across[near][dark.argmin(axis=0)]
    return np.asarray(median_filter(lowest, size=min(15, lowest.size), mode="nearest"))


def _edge(
    profile: Floats, across: Floats, middle: float, sign: float, px_per_mm: float
) -> tuple[float, float]:
    """Place of one edge and the width of its step, in mm; NaN where none is."""
    out_mm = sign * (across - middle)
    order = np.flatnonzero(out_mm >= 0.0)
    order = order[np.argsort(out_mm[order])]
    away, light = out_mm[order], profile[order]
    if light.size < 8 or not np.isfinite(light[away <= WIDEST_MM]).all():
        return np.nan, np.nan
    soft = gaussian_filter1d(light, FINE_MM * px_per_mm, mode="nearest")
    logs = np.log(np.maximum(soft, 0.0) + NOISE_LIGHT)
    floor = float(logs[away <= 0.3].min())
    risen = np.flatnonzero((logs - floor >= LEAST_RISE) & (away <= WIDEST_MM))
    if risen.size == 0:
        return np.nan, np.nan
    # The step goes on to where the light stops rising; half way up is its place.
    near = (away >= away[risen[0]] - PLATEAU_MM[0]) & (away <= away[risen[0]] + PLATEAU_MM[1])
    steepest = int(np.flatnonzero(near)[np.gradient(soft)[near].argmax()])
    at = float(away[steepest])
    for _ in range(2):
        inner = _level(light, away, max(0.0, at - PLATEAU_MM[1]), max(0.05, at - PLATEAU_MM[0]))
        outer = _level(light, away, at + PLATEAU_MM[0], at + PLATEAU_MM[1])
        if not outer > inner:
            return np.nan, np.nan
        half = 0.5 * (inner + outer)
        above = np.flatnonzero((soft >= half) & (away >= at - PLATEAU_MM[1]))
        if above.size == 0 or above[0] == 0:
            return np.nan, np.nan
        k = int(above[0])
        at = float(np.interp(half, [soft[k - 1], soft[k]], [away[k - 1], away[k]]))
    # A groove without a slit grows lighter outwards too, but not within a millimetre.
    if np.log((outer + NOISE_LIGHT) / (max(inner, 0.0) + NOISE_LIGHT)) < LEAST_RISE:
        return np.nan, np.nan
    slope = float(np.gradient(soft, away)[k])
    width = (outer - inner) / slope if slope > 0.0 else np.nan
    return middle + sign * at, 0.5 * width


def _level(light: Floats, away: Floats, start_mm: float, end_mm: float) -> float:
    inside = (away >= start_mm) & (away <= end_mm)
    return float(np.median(light[inside])) if inside.any() else np.nan


def _running_median(edge: Floats) -> Floats:
    """(N,) median of the edges about each station, gaps left out and filled from beside them."""
    half = SMOOTH_STATIONS // 2
    padded = np.pad(edge, half, constant_values=np.nan)
    windows = np.lib.stride_tricks.sliding_window_view(padded, SMOOTH_STATIONS)
    there = np.isfinite(windows).sum(axis=1) > 2
    usual = np.full(edge.size, np.nan)
    if there.any():
        usual[there] = np.nanmedian(windows[there], axis=1)
        at = np.arange(edge.size)
        usual = np.interp(at, at[there], usual[there])
    return usual


def _filled(profiles: Floats, across: Floats, usual: Floats, clear: NDArray[np.bool_]) -> Floats:
    """(N,) light between the usual edges, over what is dark and light where the joint is open."""
    inside, beside = np.full((2, usual.shape[1]), np.nan)
    if not clear.any():
        return inside
    left, right = (np.interp(np.arange(clear.size), np.flatnonzero(clear), e[clear]) for e in usual)
    for k in range(clear.size):
        room = 0.25 * (right[k] - left[k])
        between = (across >= left[k] + room) & (across <= right[k] - room)
        outside = (np.abs(across - left[k] + 0.5) <= 0.3) | (np.abs(across - right[k] - 0.5) <= 0.3)
        if between.any() and outside.any():
            inside[k], beside[k] = profiles[between, k].mean(), profiles[outside, k].mean()
    dark = float(np.nanmedian(inside[clear]))
    light = float(np.nanmedian(beside[clear]))
    return np.asarray((inside - dark) / max(light - dark, 1e-6))
