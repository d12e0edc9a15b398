"""How much of what a weld shows is mirrored light."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cast import Cast
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.level import ToeLines

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

CORE_MM: Final = 0.8
"""Left out at either toe, where any weld lies in shade."""
BAND_MM: Final = (0.4, 5.0)
"""Standard deviations of smoothing across and along: ripples go, bands of light stay."""
INNER_SHARE: Final = (0.1, 0.9)


def gloss_of(cells: Cells, cast: Cast, toes: ToeLines) -> float:
    """How far brightness differs across the weld, as a natural logarithm; the median of sections.

    A dull weld is about as bright on its flanks as on its crown; a shiny one mirrors a lamp here
    and a dark room there.
    """
    across, along = (width / size for width, size in zip(BAND_MM, cells.size_mm, strict=True))
    bands = cv2.GaussianBlur(cells.means(cast.tone), (0, 0), along, sigmaY=across).astype(float)
    core = toes.between(cells, -CORE_MM) & (cells.means(cast.inside.astype(np.float32)) > 0.99)
    wide = core.sum(axis=0) > 3
    if not wide.any():
        return 0.0
    low, high = (_quantiles(bands[:, wide], core[:, wide], share) for share in INNER_SHARE)
    return float(np.median(high - low))


def _quantiles(values: Floats, counted: Mask, share: float) -> Floats:
    """Quantile of what counts in each column, between neighbours along a straight line.

    As `numpy.nanquantile`, which takes the columns one by one.
    """
    ordered = np.sort(np.where(counted, values, np.inf), axis=0)
    place = share * (counted.sum(axis=0) - 1)
    below = np.floor(place).astype(np.intp)
    one, other = (np.take_along_axis(ordered, b[None], axis=0)[0] for b in (below, below + 1))
    return np.asarray(one + (place - below) * (other - one))
