"""The photos of a set laid along the weld, and what they show there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.errors.profile_pair import NotInBothPhotosError
from beadcheck.photo import Photo
from beadcheck.profiles.pair.cast import Cast, cast_on
from beadcheck.profiles.pair.cells import Cells, cells_along, coarser, some_rows
from beadcheck.profiles.pair.evidence import BROAD, FINE, Evidence, Look, evidence_of
from beadcheck.profiles.pair.gloss import gloss_of
from beadcheck.profiles.pair.level import ToeLines
from beadcheck.profiles.pair.relief import Relief, Shown, relief
from beadcheck.surface import Points, SolvedSurface
from beadcheck.surface.joint import JointSurface, PairView
from beadcheck.toes import LocatedWeld, Toes

Mask = NDArray[np.bool_]

BESIDE_WELD_MM: Final = 8.0
CLOSE_MM: Final = 1.5
"""Fine grain is compared on the weld, and this far beside it."""
PAST_ENDS_MM: Final = 4.0
FINEST_PX_PER_MM: Final = 13.0
"""Finer grain than this scale shows costs time and tells little new."""
PAPER_MARGIN_MM: Final = 0.4
LEAST_SHARED_MM: Final = 10.0
LEAST_SEEN_DEG: Final = 45.0
"""Where a pipe turns away further, its grain is drawn together and flanks hide."""
WHOLLY: Final = 0.99


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Field:
    """What a set of photos shows along the weld.

    Attributes
    ----------
    views, joint
        The photos that are used, and their surfaces solved together.
    covered, shown
        (R, C) the cells that paper covers, and those that the first photo and another one show
        squarely enough.
    gloss
        See `gloss_of`: of the photo in which the weld is shiniest.
    """

    views: tuple[PairView, ...]
    joint: JointSurface
    axis: Axis
    cells: Cells
    toes: ToeLines
    covered: Mask
    shown: Mask
    relief: Relief
    gloss: float

    @property
    def surface(self) -> SolvedSurface:
        """Of the first photo."""
        return self.joint.surfaces[0]


def toe_lines(weld: LocatedWeld, toes: Toes | None, axis: Axis, surface: SolvedSurface) -> ToeLines:
    """Toes in the weld's frame: as found, or half the rough width to both sides of the axis."""
    if toes is None:
        s_mm = np.linspace(*weld.s_range_mm, 9)
        half = np.full(9, 0.5 * weld.width_mm)
        return ToeLines(s_mm=s_mm, left_mm=-half, right_mm=half)
    left, right = (axis.to_weld(surface.to_mm(px)) for px in (toes.left_px, toes.right_px))
    s_mm = 0.5 * (left[:, 0] + right[:, 0])
    known = np.isfinite(s_mm)
    order = np.argsort(s_mm[known])
    return ToeLines(
        s_mm=s_mm[known][order], left_mm=left[known, 1][order], right_mm=right[known, 1][order]
    )


def field_of(
    views: tuple[PairView, ...],
    joint: JointSurface,
    weld: LocatedWeld,
    toes: ToeLines,
    axis: Axis,
) -> Field:
    """Lay the photos on the metal along the weld, and find their heights.

    Raises
    ------
    NotInBothPhotosError
        Hardly any of the weld is in the first photo and in another one.
    """
    cells = _cells(_shown_range_mm(weld, toes, axis, views, joint.surfaces), toes, axis, joint)
    casts = [
        cast_on(cells, view.photo, surface)
        for view, surface in zip(views, joint.surfaces, strict=True)
    ]
    shown = _shown(cells, casts, joint.surfaces)
    on_weld = toes.between(cells)
    shared_mm = float((shown & toes.between(cells, CLOSE_MM)).any(axis=0).sum()) * cells.size_mm[1]
    if shared_mm < LEAST_SHARED_MM:
        raise NotInBothPhotosError(shared_mm, LEAST_SHARED_MM)
    paper = cells.ground.within(joint.surfaces[0].target_outline_mm(), PAPER_MARGIN_MM)
    covered = np.asarray(cells.means(paper.astype(np.float32)) > 0.0)
    return Field(
        views=views,
        joint=joint,
        axis=axis,
        cells=cells,
        toes=toes,
        covered=covered,
        shown=shown,
        relief=relief(_compared(cells, casts, toes), weld=on_weld, covered=covered),
        gloss=max(gloss_of(cells, cast, toes) for cast in casts),
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


def _compared(cells: Cells, casts: Sequence[Cast], toes: ToeLines) -> Shown:
    """Fine grain on the weld, broad grain everywhere."""
    close = np.flatnonzero(toes.between(cells, CLOSE_MM).any(axis=1))
    rows = slice(int(close[0]), int(close[-1]) + 1)
    weld_cells = some_rows(cells, rows)
    near, wide = [cast.of_rows(rows) for cast in casts], [cast.halved() for cast in casts]
    return Shown(
        cells=cells,
        broad=_evidences(coarser(cells), wide, BROAD),
        rows=rows,
        weld_cells=weld_cells,
        rough=_evidences(coarser(weld_cells), [cast.of_rows(rows) for cast in wide], FINE),
        fine=_evidences(weld_cells, near, FINE),
    )


def _evidences(cells: Cells, casts: Sequence[Cast], look: Look) -> list[Evidence]:
    """Of the first photo with each other one."""
    return [evidence_of(cells, (casts[0], cast), look) for cast in casts[1:]]


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


def _shown(cells: Cells, casts: Sequence[Cast], surfaces: Sequence[SolvedSurface]) -> Mask:
    """(R, C) the cells that the first photo and another one show squarely enough."""
    inside = _both([cast.inside for cast in casts]).astype(np.float32)
    places = cells.ground.axis.to_surface(cells.s_mm[None, :], cells.across_mm[:, None])
    square = _both([_square_on(places, surface) for surface in surfaces])
    return np.asarray((cells.means(inside) > WHOLLY) & square.reshape(cells.shape))
