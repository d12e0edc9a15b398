"""The height network: from how alike two photos are at every height to heights."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.finder.onnx_model import shipped_model

Floats = NDArray[np.float64]
Planes = NDArray[np.float32]

HEIGHTS_MM: Final = np.linspace(-1.6, 5.6, 61)
"""At which two photos are compared: every 0.12 mm over the nominal base metal."""
GRAINS: Final = 2
TURNED: Final = (2 * HEIGHTS_MM.size + 5, 2 * HEIGHTS_MM.size + 6)
"""The planes that turn their sign with the grid: what a mm of height moves along and across."""
LOWERED: Final = 4
"""Heights by which the second look is lowered: what is there is found wherever it lies, what is
only usual is not."""
SIDE_MULTIPLE: Final = 8
"""The network halves its grid three times."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LikelyHeights:
    """What the network makes of a comparison, looked at twice.

    Attributes
    ----------
    height_mm
        (R, C) over the nominal base metal: the mean of both looks.
    apart_mm
        (R, C) by which they differ.
    """

    height_mm: Floats
    apart_mm: Floats


def likely_heights(planes: Planes) -> LikelyHeights:
    """Tell the height of every cell from the (P, R, C) planes of a comparison.

    The first `GRAINS` times `HEIGHTS_MM` planes are of the grains at each height. The second look
    is turned by half and lowered.
    """
    plain = _looked_at(planes)
    again = _looked_at(_lowered(planes)[:, ::-1, ::-1])[::-1, ::-1]
    again = again + LOWERED * (HEIGHTS_MM[1] - HEIGHTS_MM[0])
    return LikelyHeights(height_mm=0.5 * (plain + again), apart_mm=np.abs(plain - again))


def _lowered(planes: Planes) -> Planes:
    """The same with all heights lowered, for a grid that is turned by half."""
    lowered = planes.copy()
    for grain in range(GRAINS):
        own = slice(grain * HEIGHTS_MM.size, (grain + 1) * HEIGHTS_MM.size)
        lowered[own] = 0.0
        lowered[own][:-LOWERED] = planes[own][LOWERED:]
    lowered[list(TURNED)] *= -1.0
    return lowered


def _looked_at(planes: Planes) -> Floats:
    """Ask the network once: (R, C) heights."""
    rows, columns = planes.shape[1:]
    below, right = (-side % SIDE_MULTIPLE for side in (rows, columns))
    padded = np.pad(planes, ((0, 0), (0, below), (0, right)))
    answer = shipped_model("height_reader.onnx").answer(np.ascontiguousarray(padded[None]))
    return answer[0, 0, :rows, :columns].astype(np.float64)
