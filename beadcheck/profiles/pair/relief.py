"""The heights that are believed, and how far."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.finder import HEIGHTS_MM, likely_heights
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.comparison import comparison
from beadcheck.profiles.pair.layout import Layout

Floats = NDArray[np.float64]
Planes = NDArray[np.float32]
Mask = NDArray[np.bool_]

ALIKE_MM: Final = (0.8, 4.0)
"""Standard deviation, across and along, of the part of the weld in which photos must look alike."""
WHOLLY_ALIKE: Final = 0.3
"""Correlation of the fine grain above which it tells nothing more."""
U_WELD_MM: Final = 0.09
U_METAL_MM: Final = 0.065
"""Standard uncertainty where both photos look alike, and both looks agree."""
BY_UNLIKE_MM: Final = 1.3
"""How much of it each missing part of likeness brings, on a weld: where photos do not look alike at
its height, the network tells what is usual."""
BY_APART: Final = (0.55, 1.6)
"""How much of it the difference of both looks brings, on a weld and on metal."""
MOST_U_MM: Final = (0.25, 0.13)
"""Heights less sure than this are none, on a weld and on metal. These constants were set on 18
comparisons of ten rendered coupons that the network had not learned from, by greatest likelihood,
and made a tenth larger."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Relief:
    """Heights over the nominal base metal, in cells; NaN where they are not believed.

    Attributes
    ----------
    height_mm, u_height_mm
        (R, C) with the standard uncertainty of each place's own error.
    metal_alike
        Correlation of the broad grain beside the weld: the median, of the photo that is most alike.
    """

    cells: Cells
    height_mm: Floats
    u_height_mm: Floats
    metal_alike: float


def relief(layout: Layout) -> Relief:
    """Find the height of every place that the photos show well enough.

    Of three photos and more, what each further one makes of it together with the first counts by
    how sure it is; as they share the first and the light, that makes nothing surer.
    """
    first, *others = layout.casts
    told = [_told(layout, comparison(layout, first, other)) for other in others]
    heights = np.stack([each.height_mm for each in told])
    u_mm = np.stack([each.u_mm for each in told])
    weight = np.where(np.stack(layout.shared), 1.0 / u_mm**2, 0.0)
    share = weight / np.maximum(weight.sum(axis=0), 1e-9)
    u_together = (share * u_mm).sum(axis=0)
    on_weld = layout.toes.between(layout.cells)
    wanted = layout.shown & ~layout.covered & (u_together <= np.where(on_weld, *MOST_U_MM))
    return Relief(
        cells=layout.cells,
        height_mm=np.where(wanted, (share * heights).sum(axis=0), np.nan),
        u_height_mm=np.where(wanted, u_together, np.nan),
        metal_alike=max(each.metal_alike for each in told),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Told:
    """What one pair tells: (R, C) heights and standard uncertainties; see `Relief`."""

    height_mm: Floats
    u_mm: Floats
    metal_alike: float


def _told(layout: Layout, planes: Planes) -> _Told:
    likely = likely_heights(planes)
    on_weld = layout.toes.between(layout.cells)
    fine, broad = (_likeness(planes, grain, likely.height_mm) for grain in (0, 1))
    unlike = np.maximum(WHOLLY_ALIKE - _over_weld(layout.cells, fine, on_weld), 0.0)
    of_weld = U_WELD_MM**2 + (BY_UNLIKE_MM * unlike) ** 2 + (BY_APART[0] * likely.apart_mm) ** 2
    of_metal = U_METAL_MM**2 + (BY_APART[1] * likely.apart_mm) ** 2
    bare = broad[~on_weld & ~layout.covered]
    return _Told(
        height_mm=likely.height_mm,
        u_mm=np.sqrt(np.where(on_weld, of_weld, of_metal)),
        metal_alike=float(np.median(bare)) if bare.size else 0.0,
    )


def _likeness(planes: Planes, grain: int, height_mm: Floats) -> Floats:
    """(R, C) correlation of a grain at these heights."""
    count = HEIGHTS_MM.size
    alike = planes[grain * count : (grain + 1) * count]
    at = np.interp(height_mm, HEIGHTS_MM, np.arange(count))
    lower = np.minimum(at.astype(np.intp), count - 2)
    low, high = (np.take_along_axis(alike, lower[None] + step, axis=0)[0] for step in (0, 1))
    return np.asarray(low + (at - lower) * (high - low), dtype=np.float64)


def _over_weld(cells: Cells, alike: Floats, on_weld: Mask) -> Floats:
    """(R, C) likeness over the weld about each cell."""
    across, along = (reach / size for reach, size in zip(ALIKE_MM, cells.size_mm, strict=True))
    summed, counted = (
        cv2.GaussianBlur(np.where(on_weld, each, 0.0), (0, 0), along, sigmaY=across)
        for each in (alike, np.ones_like(alike))
    )
    return np.asarray(summed / np.maximum(counted, 1e-3), dtype=np.float64)
