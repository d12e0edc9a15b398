"""From a photo along the pipe's outline to the profile of the weld there."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation

from beadcheck.coupon import Shape
from beadcheck.errors import ProfileError
from beadcheck.errors.profile_side_on import (
    OutlineBlurredError,
    OutlineFallsBackError,
    OutlineNotInPictureError,
    OutlineNotVisibleError,
    SideOnOfPlateError,
    TooObliqueToSectionError,
    WeldNotOnOutlineError,
)
from beadcheck.photo import Photo
from beadcheck.profiles.profile import Profile
from beadcheck.profiles.side_on.band import limb_band, px_per_mm_at, seen_along_mm
from beadcheck.profiles.side_on.bare_limb import BareLimb, bare_limb, posed_by_limb
from beadcheck.profiles.side_on.bare_line import bare_line_mm
from beadcheck.profiles.side_on.coarse import coarse_heights_mm
from beadcheck.profiles.side_on.edge import OutlineEdge, outline_edge
from beadcheck.profiles.side_on.expected import farthest_off_mm
from beadcheck.profiles.side_on.fallen_back import require_outermost
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.profiles.side_on.section import crest_px, section_of
from beadcheck.profiles.side_on.seen_face import require_whole
from beadcheck.profiles.side_on.trace import CLEAR_FROM, TracedOutline, traced_outline
from beadcheck.profiles.side_on.weld_span import (
    LEAST_DEPARTURE_MM,
    MOST_OBLIQUE_DEG,
    SIDE_MM,
    WeldSpan,
    weld_span,
)
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_IN_PICTURE_MM: Final = 10.0
"""Narrower than a weld with its bare pipe: the outline only touches the picture's corner."""
SURE_OF_WELD: Final = 4.0
"""Standard deviations of the bare limb's points that a weld departs by."""
MOST_BLUR_MM: Final = 0.30
"""Standard deviation: toes and undercut are gone, and crest and base no longer blur alike."""
LEAST_CLEAR_SHARE, LEAST_CLEAR_CREST = 0.4, 0.6
"""Of the weld's outline, and of its upper half; more holes than this make a guess of the rest."""
PAPER_MARGIN_MM: Final = 0.4
"""A strip's edge may lie off its place by this, and the blur of its step reaches as far."""
TOE_ZONE_MM: Final = 2.0
"""Beside the weld, where undercut and spatter are part of the profile."""
OTHER_MM: Final = 0.15
"""What departs from the bare pipe by more, farther off, is no bare pipe."""
BESIDE_MM: Final = 60.0
"""From the paper, in which the weld and its bare pipe are looked for."""
PAPER_END_MM: Final = 3.0
"""The end of a card curls off the pipe."""


def side_on_profile(photo: Photo, surface: SolvedSurface) -> Profile:
    """Measure the profile of the weld where it crosses the pipe's outline.

    Parameters
    ----------
    surface
        The pipe, solved from the target in the same photo.

    Raises
    ------
    ProfileError
        One of the classes of `beadcheck.errors.profile_side_on`, with what to do about it.
    """
    if surface.shape is Shape.PLATE:
        raise SideOnOfPlateError
    views = _views_in_picture(photo, surface)
    refusal: ProfileError | None = None
    for view in views:
        try:
            return _profile_at(photo, view)
        except OutlineFallsBackError:
            raise  # the weld crosses this outline, so the photo was taken for it
        except ProfileError as problem:
            refusal = refusal or problem
    raise refusal or OutlineNotInPictureError(0.0, LEAST_IN_PICTURE_MM)


def _views_in_picture(photo: Photo, surface: SolvedSurface) -> list[LimbView]:
    """The limbs that the photo shows, the more central one first.

    Raises
    ------
    OutlineNotInPictureError
        It shows neither.
    """
    middle_px = 0.5 * np.array([photo.width_px, photo.height_px])
    longest_mm, views = 0.0, []
    for view in (LimbView(surface=surface, side=1), LimbView(surface=surface, side=-1)):
        along_mm = seen_along_mm(photo, view)
        length_mm = float(np.ptp(along_mm)) if along_mm.size else 0.0
        longest_mm = max(longest_mm, length_mm)
        if length_mm >= LEAST_IN_PICTURE_MM:
            places_px = view.pixels(along_mm, np.zeros_like(along_mm))
            views.append((float(np.hypot(*(places_px - middle_px).T).min()), view))
    if not views:
        raise OutlineNotInPictureError(longest_mm, LEAST_IN_PICTURE_MM)
    return [view for _, view in sorted(views, key=lambda each: each[0])]


def _profile_at(photo: Photo, view: LimbView) -> Profile:
    outline, covered, farthest_mm = _traced(photo, view)
    limb_px = view.pixels(outline.along_mm, np.zeros_like(outline.along_mm))
    oblique_deg = np.degrees(view.oblique_rad(limb_px))
    span = weld_span(outline, covered, oblique_deg=oblique_deg, farthest_mm=farthest_mm)
    edge = _edge_of(photo, view, outline, span)
    bare = _at_columns(span.bare, outline, edge)
    view = posed_by_limb(view, bare_limb(edge, bare, span.weld_mm))
    edge = edge.seen_by(view)
    limb = bare_limb(edge, bare, span.weld_mm)
    departs_mm = _departure_mm(edge, limb, span.weld_mm)
    require_outermost(edge, span.weld_mm)
    crest_deg = abs(math.degrees(view.oblique_rad(crest_px(edge, span.weld_mm))[0]))
    if crest_deg > MOST_OBLIQUE_DEG:
        raise TooObliqueToSectionError(crest_deg, MOST_OBLIQUE_DEG)
    require_whole(photo, view, span.weld_mm, departs_mm=departs_mm)
    hidden = _at_columns(covered, outline, edge) | _other_things(edge, limb, span.weld_mm)
    faded = _faded_share(outline, span)
    return section_of(view, edge.without(hidden), limb, span.weld_mm, faded_share=faded)


def _traced(photo: Photo, view: LimbView) -> tuple[TracedOutline, Flags, Floats]:
    """The outline, where the target covers it, and how far from the solved pipe it may lie."""
    along_mm = seen_along_mm(photo, view)
    paper_mm = along_mm[_covered(view, along_mm)]
    if paper_mm.size:
        near = np.abs(along_mm - np.clip(along_mm, paper_mm[0], paper_mm[-1])) <= BESIDE_MM
        along_mm = along_mm[near]
    band = limb_band(photo, view, along_mm)
    covered = _covered(view, band.along_mm)
    farthest_mm = farthest_off_mm(view, band.along_mm)
    rough_mm = coarse_heights_mm(band, covered, farthest_mm)
    clear = np.ones_like(rough_mm)
    rough = TracedOutline(along_mm=band.along_mm, height_mm=rough_mm, clear=clear, sharp=clear)
    line_mm = bare_line_mm(rough, covered, farthest_mm)
    return traced_outline(band, rough_mm, line_mm), covered, farthest_mm


def _covered(view: LimbView, along_mm: Floats) -> Flags:
    """(W,) where along the limb the target's paper lies on the pipe, or may lie."""
    middle_px = view.pixels(np.array([along_mm.mean()]), np.zeros(1))
    arc_mm = float(view.touching_mm(middle_px)[0, 0])
    covered = np.zeros(along_mm.size, dtype=np.bool_)
    for corners_mm in view.surface.target_outline_mm():
        run = np.roll(corners_mm, -1, axis=0) - corners_mm
        for at_mm in (arc_mm - PAPER_END_MM, arc_mm, arc_mm + PAPER_END_MM):
            beyond = along_mm - corners_mm[:, 1, None]
            turn = run[:, 0, None] * beyond - run[:, 1, None] * (at_mm - corners_mm[:, 0, None])
            covered |= (turn >= 0.0).all(axis=0) | (turn <= 0.0).all(axis=0)
    margin = int(np.ceil(PAPER_MARGIN_MM / (along_mm[1] - along_mm[0])))
    return np.asarray(binary_dilation(covered, np.ones(2 * margin + 1)))


def _edge_of(photo: Photo, view: LimbView, outline: TracedOutline, span: WeldSpan) -> OutlineEdge:
    own = (outline.along_mm >= span.reach_mm[0]) & (outline.along_mm <= span.reach_mm[1])
    along_mm, height_mm = outline.along_mm[own], outline.height_mm[own]
    edge = outline_edge(photo, view, along_mm, height_mm, blur_px=view.surface.blur_px)
    blur_mm = edge.blur_px / px_per_mm_at(view, 0.5 * sum(span.weld_mm))
    if blur_mm > MOST_BLUR_MM:
        raise OutlineBlurredError(blur_mm, MOST_BLUR_MM)
    on_weld = (edge.along_mm >= span.weld_mm[0]) & (edge.along_mm <= span.weld_mm[1])
    if not on_weld.any():
        raise OutlineNotVisibleError(0.0)
    over_mm = np.abs(edge.height_mm - np.median(edge.height_mm[~on_weld]))
    crest = on_weld & (over_mm > 0.5 * np.quantile(over_mm[on_weld], 0.95))
    for part, least_share in ((on_weld, LEAST_CLEAR_SHARE), (crest, LEAST_CLEAR_CREST)):
        clear_share = float(edge.sure[part].mean())
        if clear_share < least_share:
            raise OutlineNotVisibleError(100.0 * clear_share)
    return edge


def _departure_mm(edge: OutlineEdge, limb: BareLimb, weld_mm: tuple[float, float]) -> float:
    """By how much the weld departs from the bare limb.

    Raises
    ------
    WeldNotOnOutlineError
        It departed in the trace only, such as the edge of something behind.
    """
    on_weld = edge.sure & (edge.along_mm >= weld_mm[0]) & (edge.along_mm <= weld_mm[1])
    over_mm = np.abs(edge.height_mm[on_weld] - limb.between_mm(edge.along_mm[on_weld]))
    departs = max(float(np.quantile(over_mm, 0.9)), abs(limb.step_mm))
    least_mm = max(LEAST_DEPARTURE_MM, SURE_OF_WELD * limb.scatter_mm)
    if departs < least_mm:
        raise WeldNotOnOutlineError(float(np.ptp(edge.along_mm)), least_mm)
    return departs


def _faded_share(outline: TracedOutline, span: WeldSpan) -> float:
    """Share, of the weld or of the bare limb beside it, that shows a slope of light at most."""
    along_mm, (low_mm, high_mm) = outline.along_mm, span.weld_mm
    parts = (
        span.bare & (along_mm < low_mm) & (along_mm > low_mm - SIDE_MM),
        (along_mm >= low_mm) & (along_mm <= high_mm),
        span.bare & (along_mm > high_mm) & (along_mm < high_mm + SIDE_MM),
    )
    shares = [float((outline.sharp[part] < CLEAR_FROM).mean()) for part in parts if part.any()]
    return max(shares)


def _other_things(edge: OutlineEdge, limb: BareLimb, weld_mm: tuple[float, float]) -> Flags:
    """(N,) what stands on the bare pipe away from the weld, or is an edge of something else."""
    right = edge.along_mm > limb.middle_mm
    level_mm = np.where(right, 0.5, -0.5) * limb.step_mm + limb.between_mm(edge.along_mm)
    toe_mm = np.where(right, edge.along_mm - weld_mm[1], weld_mm[0] - edge.along_mm)
    return np.asarray((toe_mm > TOE_ZONE_MM) & (np.abs(edge.height_mm - level_mm) > OTHER_MM))


def _at_columns(flags: Flags, outline: TracedOutline, edge: OutlineEdge) -> Flags:
    """(N,) what holds of the column of the trace at each point of the edge."""
    column = np.searchsorted(outline.along_mm, edge.along_mm)
    return np.asarray(flags[column.clip(0, flags.size - 1)])
