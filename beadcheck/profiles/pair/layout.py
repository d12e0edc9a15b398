"""The photos of a set solved together and laid along the weld, ready to be compared."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.coupon import Coupon
from beadcheck.errors.profile_pair import (
    DifferentTargetsError,
    NotInBothPhotosError,
    SameViewpointError,
    ViewsTooFarApartError,
)
from beadcheck.photo import Photo
from beadcheck.profiles.pair.cast import Cast, cast_on
from beadcheck.profiles.pair.cells import Cells, cells_along
from beadcheck.profiles.pair.toe_lines import ToeLines, toe_lines
from beadcheck.profiles.pair.triangulate import convergence_deg
from beadcheck.surface import Points, SolvedSurface
from beadcheck.surface.joint import JointSurface, PairView, solve_together
from beadcheck.toes import LocatedWeld, Toes

Mask = NDArray[np.bool_]

LEAST_APART_DEG: Final = 6.0
MOST_APART_DEG: Final = 35.0
"""Below, a pixel of mismatch is worth half a millimetre; above, metal looks too different."""
BESIDE_WELD_MM: Final = 5.0
CLOSE_MM: Final = 1.5
"""So near the weld a cell counts as shown of it."""
PAST_ENDS_MM: Final = 4.0
FINEST_PX_PER_MM: Final = 13.0
"""Finer grain than this scale shows costs time and tells little new."""
PAPER_MARGIN_MM: Final = 0.4
LEAST_SHARED_MM: Final = 10.0
LEAST_SEEN_DEG: Final = 45.0
"""Where a pipe turns away further, its grain is drawn together and flanks hide."""
WHOLLY: Final = 0.99


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """A set of photos laid on the metal along the weld.

    Attributes
    ----------
    views, joint, casts
        The photos that are used, their surfaces solved together, and what they show of the cells.
    toes
        In the frame of `axis`.
    covered
        (R, C) the cells that paper covers.
    shared
        For each further photo (R, C): the cells that it and the first show squarely enough.
    apart_deg
        Widest angle between the photos.
    """

    views: tuple[PairView, ...]
    joint: JointSurface
    casts: tuple[Cast, ...]
    axis: Axis
    toes: ToeLines
    cells: Cells
    covered: Mask
    shared: tuple[Mask, ...]
    apart_deg: float

    @property
    def shown(self) -> Mask:
        """(R, C) the cells that the first photo and another one show squarely enough."""
        return np.asarray(np.any(self.shared, axis=0))

    @property
    def surface(self) -> SolvedSurface:
        """Of the first photo."""
        return self.joint.surfaces[0]


def laid_out(
    views: Sequence[PairView], *, coupon: Coupon, weld: LocatedWeld, toes: Toes | None
) -> Layout:
    """Solve photos together and lay them on the metal.

    Raises
    ------
    ProfileError
        The photos cannot show height together.
    SurfaceError
        The target cannot be solved over all of them.
    """
    joint, used, apart_deg = _usable(views, coupon, weld)
    axis = _moved_axis(weld.axis, views[0].surface, joint.surfaces[0])
    lines = toe_lines(weld, toes, axis, joint.surfaces[0])
    cells = _cells(_shown_range_mm(weld, lines, axis, used, joint.surfaces), lines, axis, joint)
    casts = tuple(
        cast_on(cells, view.photo, surface)
        for view, surface in zip(used, joint.surfaces, strict=True)
    )
    shared = _shared(cells, casts, joint.surfaces)
    shown = np.asarray(np.any(shared, axis=0))
    shared_mm = float((shown & lines.between(cells, CLOSE_MM)).any(axis=0).sum())
    shared_mm *= cells.size_mm[1]
    if shared_mm < LEAST_SHARED_MM:
        raise NotInBothPhotosError(shared_mm, LEAST_SHARED_MM)
    paper = cells.ground.within(joint.surfaces[0].target_outline_mm(), PAPER_MARGIN_MM)
    return Layout(
        views=used,
        joint=joint,
        casts=casts,
        axis=axis,
        toes=lines,
        cells=cells,
        covered=np.asarray(cells.means(paper.astype(np.float32)) > 0.0),
        shared=tuple(shared),
        apart_deg=apart_deg,
    )


def _usable(
    views: Sequence[PairView], coupon: Coupon, weld: LocatedWeld
) -> tuple[JointSurface, tuple[PairView, ...], float]:
    """The photos that go with the first one, solved together, and the widest angle between them."""
    names = [view.found.design.name for view in views]
    for name in names[1:]:
        if name != names[0]:
            raise DifferentTargetsError(names[0], name)
    joint = solve_together(views, coupon)
    middle = weld.axis.to_surface(np.array([float(np.mean(weld.s_range_mm))]), np.array([0.0]))
    apart = [convergence_deg(joint.surfaces[0], other, middle) for other in joint.surfaces[1:]]
    fitting = [LEAST_APART_DEG <= angle <= MOST_APART_DEG for angle in apart]
    if not any(fitting):
        if min(apart) > MOST_APART_DEG:
            raise ViewsTooFarApartError(min(apart), MOST_APART_DEG)
        raise SameViewpointError(
            max(angle for angle in apart if angle < LEAST_APART_DEG), LEAST_APART_DEG
        )
    if not all(fitting):
        kept = [view for view, fits in zip(views, (True, *fitting), strict=True) if fits]
        return _usable(kept, coupon, weld)
    return joint, tuple(views), max(apart)


def _moved_axis(axis: Axis, start: SolvedSurface, end: SolvedSurface) -> Axis:
    """The axis on the surface that was solved from all photos: where the first photo shows it."""
    ends = axis.to_surface(np.array([0.0, 50.0]), np.array([0.0]))
    origin, ahead = end.to_mm(start.to_px(ends))
    if not np.isfinite([origin, ahead]).all() or start.model.radius_mm is not None:
        return axis
    along = (ahead - origin) / np.hypot(*(ahead - origin))
    turn = np.sign(axis.direction[0] * axis.across[1] - axis.direction[1] * axis.across[0])
    return Axis(
        origin_mm=(float(origin[0]), float(origin[1])),
        direction=(float(along[0]), float(along[1])),
        across=(float(-turn * along[1]), float(turn * along[0])),
    )


def _shown_range_mm(
    weld: LocatedWeld,
    toes: ToeLines,
    axis: Axis,
    views: Sequence[PairView],
    surfaces: Sequence[SolvedSurface],
) -> tuple[float, float]:
    """Ends of what the first photo and another one show of the weld's middle, and a little more.

    Past them no height is believed: round a pipe most of a weld may lie there.
    """
    s_mm = np.arange(
        min(weld.s_range_mm[0], float(toes.s_mm[0])),
        max(weld.s_range_mm[1], float(toes.s_mm[-1])),
        0.5,
    )
    left_mm, right_mm = toes.at(s_mm)
    places = axis.to_surface(s_mm, 0.5 * (left_mm + right_mm))
    seen = _both(
        [
            _in_photo(view.photo, surface.to_px(places)) & _square_on(places, surface)
            for view, surface in zip(views, surfaces, strict=True)
        ]
    )
    if not seen.any():
        raise NotInBothPhotosError(0.0, LEAST_SHARED_MM)
    first, last = s_mm[seen][[0, -1]]
    return float(first) - PAST_ENDS_MM, float(last) + PAST_ENDS_MM


def _cells(
    s_range_mm: tuple[float, float], toes: ToeLines, axis: Axis, joint: JointSurface
) -> Cells:
    return cells_along(
        axis,
        s_range_mm=s_range_mm,
        across_range_mm=(
            float(toes.left_mm.min()) - BESIDE_WELD_MM,
            float(toes.right_mm.max()) + BESIDE_WELD_MM,
        ),
        px_per_mm=min(joint.surfaces[0].px_per_mm, FINEST_PX_PER_MM),
    )


def _in_photo(photo: Photo, points_px: Points) -> Mask:
    """(N,) the pixels that a photo has."""
    last_px = np.array([photo.width_px - 1, photo.height_px - 1])
    return np.asarray(((points_px >= 0.0) & (points_px <= last_px)).all(axis=1))


def _square_on(places_mm: Points, surface: SolvedSurface) -> Mask:
    """(N,) the places that a photo sees squarely enough; all of a plate's."""
    if surface.outside_diameter_mm is None:
        return np.ones(len(places_mm), dtype=np.bool_)
    return np.asarray(surface.seen_at_deg(places_mm) >= LEAST_SEEN_DEG)


def _both(seen: Sequence[Mask]) -> Mask:
    """What the first photo and another one show."""
    return np.asarray(seen[0] & np.any(seen[1:], axis=0))


def _shared(cells: Cells, casts: Sequence[Cast], surfaces: Sequence[SolvedSurface]) -> list[Mask]:
    """(R, C) for each further photo: the cells that it and the first show squarely enough."""
    places = cells.ground.axis.to_surface(cells.s_mm[None, :], cells.across_mm[:, None])
    first, *others = (
        (cells.means(cast.inside.astype(np.float32)) > WHOLLY)
        & _square_on(places, surface).reshape(cells.shape)
        for cast, surface in zip(casts, surfaces, strict=True)
    )
    return [np.asarray(first & other) for other in others]
