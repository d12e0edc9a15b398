"""Whether the outline shows the weld whole, by the face of the weld beside it."""

import math
from typing import Final

import numpy as np

from beadcheck.beadmap import Axis, bead_map
from beadcheck.errors.profile_side_on import OutlineHiddenError
from beadcheck.finder import weld_likelihood
from beadcheck.photo import Photo
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.profiles.side_on.weld_span import NARROWEST_WELD_MM, ON_LEVEL_MM
from beadcheck.toes.zone import LEAST_SEEN_DEG

LEAST_SHARE: Final = 0.65
"""Of the face's width that must stand out. Widths of the face scatter by 11 % about those on the
outline (standard deviation of logarithms, 16 renders looked at in development; of one more, 22 mm
wide, only part of the face was seen): four of those off."""
FACE_MM: Final = 15.5
"""Round the pipe, in which the face is looked at: nearer to the limb it is too foreshortened."""
REACH_MM: Final = 15.5
REACH_WIDTHS: Final = 1.5
"""Along the pipe, to either side of what stands out: so far at least, and so many of its widths."""
PX_PER_MM: Final = 4.0
"""The narrowest weld is some pixels wide, as the finder knows them; what it is asked about is 64 by
128 px mostly, the least that it takes."""
LIKELY: Final = 0.5
ASIDE_MM: Final = 3.0
"""A face further than this from what stands out is another one."""
LEAST_SEEN_SHARE: Final = 0.5
"""Of the stations on which a face must be seen to tell anything."""
PIPE: Final = Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0))


def require_whole(
    photo: Photo, view: LimbView, weld_mm: tuple[float, float], *, departs_mm: float
) -> None:
    """Refuse where the weld beside the outline is far wider than what stands out on the outline.

    A weld stands out over all its width, but for where it is no higher than the bare pipe is
    uneven. Where a bench, a clamp or a jaw covers part of it, the border that is left looks like an
    outline, and what is left of the weld like a smaller one.

    Parameters
    ----------
    weld_mm
        Ends, along the pipe, of what departs from the bare limb.
    departs_mm
        By how much it does.

    Raises
    ------
    OutlineHiddenError
        Much less than the face's width stands out.
    """
    face_mm = _face_width_mm(photo, view, weld_mm)
    # Of a crown shaped like a parabola this share of the width rises above `ON_LEVEL_MM`.
    risen = math.sqrt(max(0.0, 1.0 - ON_LEVEL_MM / departs_mm))
    if weld_mm[1] - weld_mm[0] < LEAST_SHARE * risen * face_mm:
        raise OutlineHiddenError(weld_mm[1] - weld_mm[0], face_mm)


def _face_width_mm(photo: Photo, view: LimbView, weld_mm: tuple[float, float]) -> float:
    """Median width of the face that lies next to what stands out; 0 where hardly any is seen."""
    middle_mm, half_mm = 0.5 * sum(weld_mm), 0.5 * (weld_mm[1] - weld_mm[0])
    limb_mm = float(view.touching_mm(view.pixels(np.array([middle_mm]), np.zeros(1)))[0, 0])
    near_mm = limb_mm - view.side * math.radians(LEAST_SEEN_DEG) * view.radius_mm
    first_mm, last_mm = sorted((near_mm, near_mm - view.side * FACE_MM))
    reach_mm = max(REACH_MM, REACH_WIDTHS * 2.0 * half_mm)
    face = bead_map(
        photo,
        view.surface,
        PIPE,
        s_range_mm=(first_mm, last_mm),
        across_range_mm=(middle_mm - reach_mm, middle_mm + reach_mm),
        px_per_mm=PX_PER_MM,
    )
    likely = face.seen & (weld_likelihood(face.bgr) > LIKELY)
    edges = np.diff(likely.astype(np.int8), axis=0, prepend=0, append=0)
    # Column by column, so that starts and ends of the runs go together.
    station, start = np.nonzero((edges > 0).T)
    width_mm = (np.nonzero((edges < 0).T)[1] - start) / face.px_per_mm
    run_mm = face.across_mm[0] + start / face.px_per_mm + 0.5 * width_mm
    aside_mm = np.abs(run_mm - middle_mm) - 0.5 * width_mm - half_mm
    own = (width_mm >= NARROWEST_WELD_MM) & (aside_mm < ASIDE_MM)
    widest_mm = np.zeros(face.s_mm.size)
    np.maximum.at(widest_mm, station[own], width_mm[own])
    seen = widest_mm > 0.0
    return float(np.median(widest_mm[seen])) if seen.mean() > LEAST_SEEN_SHARE else 0.0
