"""From traced toes to stations: where, how sure, and whether in the steady body of the weld."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.errors.bead import NoWeldFoundError, TooFewSureStationsError, WeldTooShortError
from beadcheck.surface import Points, Surface
from beadcheck.toes.follow import FollowedWeld
from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.place import PlacedToe
from beadcheck.toes.trace import TracedWeld
from beadcheck.toes.trust import DOUBT_FACTOR, Trust, trust_in

STATION_STEP_MM: Final = 1.0
END_WIDTHS: Final = 1.5
"""Left out at an end in view: half a width of rounding, one of start lump or crater.
Common practice, no published source."""
CUT_WIDTHS: Final = 0.25
"""Left out where the weld leaves the photo: at a slant one toe is cut off before the other."""
END_BLUR_WIDTHS: Final = 0.3
GAP_WIDTHS: Final = 1.0
"""A break in the likelihood shorter than this (a chalk mark, a burnt-out highlight) is no end."""
LEAST_SEEN_DEG: Final = 30.0
"""Least angle between line of sight and surface for visual testing (ISO 17637)."""
LEAST_STEADY_MM: Final = 10.0
LEAST_SURE_SHARE: Final = 0.5
SURE_CONTRAST: Final = 0.3
"""Least likelihood of weld between the toes over that outside them: the finder must agree with
the placer that weld lies here and base metal there."""
FLANK_WIDTHS: Final = (0.1, 0.45)
"""Base metal is looked for this far outside a toe, weld from this far inside, in weld widths."""
NEAR_PAPER_MM: Final = 0.6
"""A line this near to the target's paper is the paper's edge, or a toe that the paper may hide."""
MOST_MOVED_WIDTHS: Final = 0.09
MOST_MOVED_MM: Final = 0.5
"""The placer's answer must lie this near to the line along which it looked: this part of the weld
width, or this much if that is more."""
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
    traced, trust = weld.traced, trust_in(surface)
    first, last, ends_in_view = (
        (*traced.core_mm, (False, False)) if weld.located_by_hand else weld_ends(traced)
    )
    contrast = _weld_contrast(weld)
    # A piece too short to measure is told as a weld only if it looks like one.
    there = (traced.s_mm >= first) & (traced.s_mm <= last)
    if float(np.median(contrast[there])) < trust.weld_contrast:
        raise NoWeldFoundError
    s_mm = np.arange(np.ceil(first), np.floor(last) + 0.5 * STATION_STEP_MM, STATION_STEP_MM)
    if s_mm.size * STATION_STEP_MM < LEAST_STEADY_MM:
        raise WeldTooShortError(float(last - first), LEAST_STEADY_MM)
    left, right = (_at_stations(toe, weld, s_mm, trust) for toe in (weld.left, weld.right))
    left_px, right_px = surface.to_px(left.points_mm), surface.to_px(right.points_mm)
    sure = left.clear & right.clear & np.isfinite(left_px + right_px).all(axis=1)
    sure &= np.interp(s_mm, traced.s_mm, contrast) >= SURE_CONTRAST
    for toe in (left, right):
        sure &= ~_at_paper(toe.points_mm, surface) | (toe.hand_u_mm > 0.0)
    trims = [END_WIDTHS if in_view else CUT_WIDTHS for in_view in ends_in_view]
    if weld.located_by_hand:
        trims = [0.0, 0.0]
    steady = (s_mm >= first + trims[0] * traced.width_mm) & (
        s_mm <= last - trims[1] * traced.width_mm
    )
    steady &= surface.seen_at_deg(0.5 * (left.points_mm + right.points_mm)) >= LEAST_SEEN_DEG
    if np.count_nonzero(steady) * STATION_STEP_MM < LEAST_STEADY_MM:
        raise WeldTooShortError(float(np.count_nonzero(steady)), LEAST_STEADY_MM)
    return Toes(
        s_mm=s_mm,
        left_mm=left.points_mm,
        right_mm=right.points_mm,
        left_px=left_px,
        right_px=right_px,
        u_left_mm=left.u_mm,
        u_right_mm=right.u_mm,
        hand_u_left_mm=left.hand_u_mm,
        hand_u_right_mm=right.hand_u_mm,
        sure=sure,
        steady=steady,
        correlation_mm=CORRELATION_MM,
        shared=ToeUncertainty(
            tone_curve_mm=TONE_CURVE_U_MM,
            definition_mm=DEFINITION_U_MM,
            finder_width_mm=trust.width_u_mm,
        ),
    )


def enough_sure(toes: Toes) -> bool:
    """Whether enough of the steady weld's stations are sure for statistics."""
    sure, steady = np.count_nonzero(toes.used), np.count_nonzero(toes.steady)
    return bool(sure >= LEAST_SURE_SHARE * steady)


def require_sure(toes: Toes) -> None:
    """Refuse toes of which too few stations are sure.

    Raises
    ------
    TooFewSureStationsError
        The toes are unsure over most of the steady weld.
    """
    if not enough_sure(toes):
        sure, steady = np.count_nonzero(toes.used), np.count_nonzero(toes.steady)
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _StationToe:
    """One toe at N stations: surface points, uncertainties as in `Toes`, and where it is clear."""

    points_mm: Points
    u_mm: NDArray[np.float64]
    hand_u_mm: NDArray[np.float64]
    clear: NDArray[np.bool_]


def _at_stations(
    toe: PlacedToe, weld: FollowedWeld, s_mm: NDArray[np.float64], trust: Trust
) -> _StationToe:
    """One toe at the stations. Where a person placed it, it is clear: the person vouches for it."""
    traced = weld.traced
    across, doubt, moved = (
        np.interp(s_mm, traced.s_mm, values)
        for values in (toe.across_mm, toe.doubt_mm, toe.moved_mm)
    )
    nearest = np.round(np.interp(s_mm, traced.s_mm, np.arange(traced.s_mm.size))).astype(int)
    hand_u = toe.hand_u_mm[nearest]
    u_mm = np.hypot(trust.floor_u_mm, DOUBT_FACTOR * doubt)
    agreed = np.abs(moved) <= max(MOST_MOVED_MM, MOST_MOVED_WIDTHS * traced.width_mm)
    return _StationToe(
        points_mm=weld.bead.axis.to_surface(s_mm, across),
        u_mm=u_mm,
        hand_u_mm=hand_u,
        clear=((u_mm <= trust.sure_u_mm) & agreed) | (hand_u > 0.0),
    )


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
    """(C,) likelihood of weld between the toes less the larger one just outside them.

    What lies outside a toe that a person placed is not asked: there the finder was wrong. Where a
    person placed both, the contrast is full.
    """
    traced, left, right = weld.traced, weld.left.across_mm, weld.right.across_mm
    left_by_hand, right_by_hand = weld.left.hand_u_mm > 0.0, weld.right.hand_u_mm > 0.0
    near, far = (share * traced.width_mm for share in FLANK_WIDTHS)
    inside = traced.mean_likelihood(left + near, right - near)
    outside = np.maximum(
        np.where(left_by_hand, 0.0, traced.mean_likelihood(left - far, left - near)),
        np.where(right_by_hand, 0.0, traced.mean_likelihood(right + near, right + far)),
    )
    contrast = np.where(left_by_hand & right_by_hand, 1.0, inside - outside)
    pitch = float(traced.s_mm[1] - traced.s_mm[0])
    return np.asarray(gaussian_filter1d(contrast, STATION_STEP_MM / pitch, mode="nearest"))
