"""How much of what a weld shows is mirrored light."""

from typing import Final

import cv2
import numpy as np

from beadcheck.profiles.pair.cast import Cast
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.level import ToeLines

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
    bands = np.asarray(cv2.GaussianBlur(cells.means(cast.tone), (0, 0), along, sigmaY=across))
    core = toes.between(cells, -CORE_MM) & (cells.means(cast.inside.astype(np.float32)) > 0.99)
    ranges = [
        float(np.ptp(np.quantile(bands[core[:, column], column], INNER_SHARE)))
        for column in np.flatnonzero(core.sum(axis=0) > 3)
    ]
    return float(np.median(ranges)) if ranges else 0.0
