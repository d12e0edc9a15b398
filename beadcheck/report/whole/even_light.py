"""How much brighter or darker each photo must be shown, so that photos that lap look alike."""

from collections.abc import Sequence
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STRENGTH: Final = 25.0
"""How firmly gains stay near 1, in columns that two photos show: where they lap, gloss differs with
the line of sight, and from photo to photo that would add up to a drift all round."""
MOST: Final = 1.5
"""Beyond this, a gain would burn out what is bright or drown what is dark."""


def gains(brightness: Sequence[Floats]) -> Floats:
    """(P,) factors on the coded pixels of P photos that make their laps agree best.

    Parameters
    ----------
    brightness
        Of each photo (N,) the mean coded brightness of the same columns, NaN where it shows none.
        A factor on coded pixels is one on light, to a power: the same all over a photo.

    Examples
    --------
    >>> import numpy as np
    >>> light, dark = gains([np.full(60, 100.0), np.full(60, 80.0)])
    >>> round(100.0 * light), round(80.0 * dark)
    (91, 88)
    """
    count = len(brightness)
    normal, target = STRENGTH * np.eye(count), np.zeros(count)
    for a, b in combinations(range(count), 2):
        both = np.isfinite(brightness[a]) & np.isfinite(brightness[b])
        columns = float(both.sum())
        if columns == 0.0:
            continue
        apart = float(np.median(np.log(brightness[b][both] / brightness[a][both])))
        normal[[a, b], [a, b]] += columns
        normal[[a, b], [b, a]] -= columns
        target[a] += columns * apart
        target[b] -= columns * apart
    found = np.linalg.solve(normal, target)
    return np.asarray(np.exp(np.clip(found - np.median(found), -np.log(MOST), np.log(MOST))))
