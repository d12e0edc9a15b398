"""From traced toes to stations: where, how sure, and whether in the steady body of the weld."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.errors.bead import NoWeldFoundError, TooFewSureStationsError, WeldTooShortError
from beadcheck.surface import Points, Surface
from beadcheck.toes.follow import FollowedWeld
from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.place import PlacedToe
from beadcheck.toes.trace import TracedWeld

STATION_STEP_MM: Final = 1.0
END_WIDTHS: Final = 1.5
"""Left out at an end in view: half a width of rounding, one of start lump or crater.
Common practice, no published source."""
END_BLUR_WIDTHS: Final = 0.3
GAP_WIDTHS: Final = 1.0
"""A break in the likelihood shorter than this (a chalk mark, a burnt-out highlight) is no end."""
LEAST_SEEN_DEG: Final = 30.0
"""Least angle between line of sight and surface for visual testing (ISO 17637)."""
LEAST_STEADY_MM: Final = 10.0
LEAST_SURE_SHARE: Final = 0.5
SURE_U_MM: Final = 0.24
"""A toe is sure when its own standard uncertainty stays below this: within 0.35 mm nine times in
ten."""
SURE_CONTRAST: Final = 0.3
"""Least likelihood of weld between the toes over that outside them: the finder must agree with
the placer that weld lies here and base metal there."""
WELD_CONTRAST: Final = 0.55
"""Where half of the stations show less than this, there is no weld at all."""
FLANK_WIDTHS: Final = (0.1, 0.45)
"""Base metal is looked for this far outside a toe, weld from this far inside, in weld widths."""
NEAR_PAPER_MM: Final = 0.6
"""A line this near to the target's paper is the paper's edge, or a toe that the paper may hide."""
MOST_MOVED_WIDTHS: Final = 0.09
MOST_MOVED_MM: Final = 0.5
"""The placer's answer must lie this near to the line along which it looked: this part of the weld
width, or this much if that is more."""
FLOOR_U_MM: Final = 0.035
DOUBT_FACTOR: Final = 1.5
"""Standard uncertainty of one toe over the placer's own doubt, a mean absolute error whose
distribution has long tails. Set on the tuning renders, checked on unseen ones."""
CORRELATION_MM: Final = 2.0
DEFINITION_U_MM: Final = 0.053
"""What 'toe' means where it is rounded: radius 0.5 mm, flank 40 degrees, rectangular."""
TONE_CURVE_U_MM: Final = 0.012
"""Remainder of an unknown tone curve: up to 0.02 mm towards the dark side, rectangular."""


def stations(weld: FollowedWeld, surface: Surface) -> Toes:
    """Both toes every millimetre along the weld.

    Raises
    ------
    WeldTooShortError
        Too little steady weld is in view.
    NoWeldFoundError
        Between the toes the finder sees no more weld than outside them.
    """
    traced, bead = weld.traced, weld.bead
    first, last, ends_in_view = weld_ends(traced)
    s_mm = np.arange(np.ceil(first), np.floor(last) + 0.5 * STATION_STEP_MM, STATION_STEP_MM)
    if s_mm.size * STATION_STEP_MM < LEAST_STEADY_MM:
        raise WeldTooShortError(float(last - first), LEAST_STEADY_MM)
    (left_mm, u_left, clear_left), (right_mm, u_right, clear_right) = (
        _at_stations(toe, traced, s_mm, bead) for toe in (weld.left, weld.right)
    )
    left_px, right_px = surface.to_px(left_mm), surface.to_px(right_mm)
    sure = clear_left & clear_right & np.isfinite(left_px + right_px).all(axis=1)
    contrast = np.interp(s_mm, traced.s_mm, _weld_contrast(weld))
    if float(np.median(contrast)) < WELD_CONTRAST:
        raise NoWeldFoundError
    sure &= contrast >= SURE_CONTRAST
    sure &= ~(_at_paper(left_mm, surface) | _at_paper(right_mm, surface))
    trim_mm = END_WIDTHS * traced.width_mm
    steady = (s_mm >= first + trim_mm * ends_in_view[0]) & (
        s_mm <= last - trim_mm * ends_in_view[1]
    )
    steady &= surface.seen_at_deg(0.5 * (left_mm + right_mm)) >= LEAST_SEEN_DEG
    if np.count_nonzero(steady) * STATION_STEP_MM < LEAST_STEADY_MM:
        raise WeldTooShortError(float(np.count_nonzero(steady)), LEAST_STEADY_MM)
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


def require_sure(toes: Toes) -> None:
    """Refuse toes of which too few stations are sure.

    Raises
    ------
    TooFewSureStationsError
        The toes are unsure over most of the steady weld.
    """
    sure, steady = np.count_nonzero(toes.used), np.count_nonzero(toes.steady)
    if sure < LEAST_SURE_SHARE * steady:
        raise TooFewSureStationsError(int(sure), int(steady))


def weld_ends(traced: TracedWeld) -> tuple[float, float, tuple[bool, bool]]:
    """First and last place of weld along the strip, and whether each is a true end in view.

    The weld runs on from its located part until its likelihood stays low for a weld width.

    Raises
    ------
    WeldTooShortError
        The photo does not show the located part.
    NoWeldFoundError
        The finder sees nothing at all there.
    """
    pitch = float(traced.s_mm[1] - traced.s_mm[0])
    smooth = gaussian_filter1d(
        traced.middle_likelihood, END_BLUR_WIDTHS * traced.width_mm / pitch, mode="nearest"
    )
    core = (traced.s_mm >= traced.core_mm[0]) & (traced.s_mm <= traced.core_mm[1])
    if not (core & traced.seen).any():
        raise WeldTooShortError(0.0, LEAST_STEADY_MM)
    weld = (smooth > 0.5 * np.median(smooth[core & traced.seen])) & traced.seen
    gap = max(1, round(GAP_WIDTHS * traced.width_mm / pitch))
    places = np.flatnonzero(weld)
    if places.size == 0:
        raise NoWeldFoundError
    runs = np.split(places, np.flatnonzero(np.diff(places) > gap) + 1)
    inside = [np.count_nonzero(core[run]) for run in runs]
    run = runs[int(np.argmax(inside))]
    seen = np.flatnonzero(traced.seen)
    near = max(1, round(0.4 * traced.width_mm / pitch))
    ends = (bool(run[0] > seen[0] + near), bool(run[-1] < seen[-1] - near))
    return float(traced.s_mm[run[0]]), float(traced.s_mm[run[-1]]), ends


def _at_stations(
    toe: PlacedToe, traced: TracedWeld, s_mm: NDArray[np.float64], bead: BeadMap
) -> tuple[Points, NDArray[np.float64], NDArray[np.bool_]]:
    """Surface points of one toe, standard uncertainties in mm, and where it is clear."""
    across, doubt, moved = (
        np.interp(s_mm, traced.s_mm, values)
        for values in (toe.across_mm, toe.doubt_mm, toe.moved_mm)
    )
    u_mm = np.hypot(FLOOR_U_MM, DOUBT_FACTOR * doubt)
    agreed = np.abs(moved) <= max(MOST_MOVED_MM, MOST_MOVED_WIDTHS * traced.width_mm)
    return bead.axis.to_surface(s_mm, across), u_mm, (u_mm <= SURE_U_MM) & agreed


def _at_paper(points_mm: Points, surface: Surface) -> NDArray[np.bool_]:
    """(N,) whether points lie on the target's paper, or at its edge."""
    at_paper = np.zeros(points_mm.shape[0], dtype=bool)
    for paper in surface.target_outline_mm():
        outline = paper.astype(np.float32)
        at_paper |= [
            cv2.pointPolygonTest(outline, (float(x), float(y)), measureDist=True) >= -NEAR_PAPER_MM
            for x, y in points_mm
        ]
    return at_paper


def _weld_contrast(weld: FollowedWeld) -> NDArray[np.float64]:
    """(C,) likelihood of weld between the toes less the larger one just outside them."""
    traced, left, right = weld.traced, weld.left.across_mm, weld.right.across_mm
    near, far = (share * traced.width_mm for share in FLANK_WIDTHS)
    inside = traced.mean_likelihood(left + near, right - near)
    outside = np.maximum(
        traced.mean_likelihood(left - far, left - near),
        traced.mean_likelihood(right + near, right + far),
    )
    pitch = float(traced.s_mm[1] - traced.s_mm[0])
    return np.asarray(gaussian_filter1d(inside - outside, STATION_STEP_MM / pitch, mode="nearest"))
