"""Lines of points in the photo."""

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface import Points


def evenly(points: Points, shares: NDArray[np.float64]) -> Points:
    """Points at shares, 0 to 1, of a line's length."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return np.stack([np.interp(shares * along[-1], along, points[:, i]) for i in (0, 1)], axis=1)
