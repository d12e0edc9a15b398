"""From traced toes to stations: where, how sure, and whether in the steady body of the weld."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.errors.bead import TooFewSureStationsError, WeldTooShortError
from beadcheck.surface import Points, Surface
from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.place import PlacedToe
from beadcheck.toes.trace import TracedWeld

STATION_STEP_MM: Final = 1.0
END_WIDTHS: Final = 1.5
"""Left out at an end in view: half a width of rounding, one of start lump or crater.
Common practice, no published source."""
LEAST_SEEN_DEG: Final = 30.0
"""Least angle between line of sight and surface for visual testing (ISO 17637)."""
LEAST_STEADY_MM: Final = 10.0
LEAST_SURE_SHARE: Final = 0.5
SURE_U_MM: Final = 0.17
"""A toe is sure when its own standard uncertainty stays below this: 0.35 mm at k = 2."""
SURE_CONTRAST: Final = 0.35
"""Least contrast of the traced toe: with less the finder saw no step there."""
MOST_MOVED_WIDTHS: Final = 0.09
MOST_MOVED_MM: Final = 0.5
"""Tracer and placer must agree within this part of the weld width, or this much if that is more."""
FLOOR_U_MM: Final = 0.035
DOUBT_FACTOR: Final = 1.3
"""Standard uncertainty of one toe over the placer's own doubt."""
CORRELATION_MM: Final = 2.0
DEFINITION_U_MM: Final = 0.053
"""What 'toe' means where it is rounded: radius 0.5 mm, flank 40 degrees, rectangular."""
TONE_CURVE_U_MM: Final = 0.012
"""Remainder of an unknown tone curve: up to 0.02 mm towards the dark side, rectangular."""


def stations(
    traced: TracedWeld,
    placed: tuple[PlacedToe, PlacedToe],
    bead: BeadMap,
    surface: Surface,
    width_mm: float,
) -> Toes:
    """Both toes every millimetre along the weld.

    Raises
    ------
    WeldTooShortError
        Too little steady weld is in view.
    TooFewSureStationsError
        The toes are unsure over most of it.
    """
    first, last, ends_in_view = _weld_ends(traced, width_mm)
    s_mm = np.arange(np.ceil(first), np.floor(last) + 0.5 * STATION_STEP_MM, STATION_STEP_MM)
    if s_mm.size < LEAST_STEADY_MM:
        raise WeldTooShortError(float(last - first), LEAST_STEADY_MM)
    (left_mm, u_left, clear_left), (right_mm, u_right, clear_right) = (
        _at_stations(toe, traced.s_mm, s_mm, bead, width_mm) for toe in placed
    )
    left_px, right_px = surface.to_px(left_mm), surface.to_px(right_mm)
    sure = clear_left & clear_right & np.isfinite(left_px + right_px).all(axis=1)
    middle_likelihood = np.interp(s_mm, traced.s_mm, traced.middle_likelihood)
    sure &= middle_likelihood > 0.5
    trim_mm = END_WIDTHS * width_mm
    steady = (s_mm >= first + trim_mm * ends_in_view[0]) & (
        s_mm <= last - trim_mm * ends_in_view[1]
    )
    steady &= surface.seen_at_deg(0.5 * (left_mm + right_mm)) >= LEAST_SEEN_DEG
    if np.count_nonzero(steady) * STATION_STEP_MM < LEAST_STEADY_MM:
        raise WeldTooShortError(float(np.count_nonzero(steady)), LEAST_STEADY_MM)
    if np.count_nonzero(sure & steady) < LEAST_SURE_SHARE * np.count_nonzero(steady):
        raise TooFewSureStationsError(
            int(np.count_nonzero(sure & steady)), int(np.count_nonzero(steady))
        )
    return Toes(
        s_mm=s_mm,
        left_mm=left_mm,
        right_mm=right_mm,
        left_px=left_px,
        right_px=right_px,
        u_left_mm=u_left,
        u_right_mm=u_right,
        sure=sure,
        steady=steady,
        correlation_mm=CORRELATION_MM,
        shared=ToeUncertainty(tone_curve_mm=TONE_CURVE_U_MM, definition_mm=DEFINITION_U_MM),
    )


def _weld_ends(traced: TracedWeld, width_mm: float) -> tuple[float, float, tuple[bool, bool]]:
    """First and last place of weld along the strip, and whether each is a true end in view."""
    pitch = float(traced.s_mm[1] - traced.s_mm[0])
    smooth = gaussian_filter1d(traced.middle_likelihood, 0.3 * width_mm / pitch, mode="nearest")
    weld = np.flatnonzero((smooth > 0.5) & traced.seen)
    if weld.size == 0:
        raise WeldTooShortError(0.0, LEAST_STEADY_MM)
    seen = np.flatnonzero(traced.seen)
    near = max(1, round(0.4 * width_mm / pitch))
    ends = (bool(weld[0] > seen[0] + near), bool(weld[-1] < seen[-1] - near))
    return float(traced.s_mm[weld[0]]), float(traced.s_mm[weld[-1]]), ends


def _at_stations(
    toe: PlacedToe,
    placed_s_mm: NDArray[np.float64],
    s_mm: NDArray[np.float64],
    bead: BeadMap,
    width_mm: float,
) -> tuple[Points, NDArray[np.float64], NDArray[np.bool_]]:
    """Surface points of one toe, standard uncertainties in mm, and where it is clear."""
    across, doubt, moved, contrast = (
        np.interp(s_mm, placed_s_mm, values)
        for values in (toe.across_mm, toe.doubt_mm, toe.moved_mm, toe.contrast)
    )
    u_mm = np.hypot(FLOOR_U_MM, DOUBT_FACTOR * doubt)
    agreed = np.abs(moved) <= max(MOST_MOVED_MM, MOST_MOVED_WIDTHS * width_mm)
    clear = (u_mm <= SURE_U_MM) & (contrast >= SURE_CONTRAST) & agreed
    return bead.axis.to_surface(s_mm, across), u_mm, clear
