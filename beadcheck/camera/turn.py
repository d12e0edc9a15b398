"""Between the picture as the sensor read it and the upright photo: quarter turns."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def turned_points(points_px: Floats, size_px: tuple[int, int], quarter_turns: int) -> Floats:
    """(N, 2) pixels of a picture of this width and height, in the picture turned clockwise.

    Examples
    --------
    >>> turned_points(np.array([[0.0, 0.0], [3.0, 1.0]]), (4, 3), 1).tolist()
    [[2.0, 0.0], [1.0, 3.0]]
    """
    x, y = np.asarray(points_px, dtype=np.float64).T
    width, height = size_px
    for _ in range(quarter_turns % 4):
        x, y = height - 1.0 - y, x
        width, height = height, width
    return np.stack([x, y], axis=1)


def turned_directions(directions: Floats, quarter_turns: int) -> Floats:
    """(N, 2) directions in a picture, in the picture turned clockwise."""
    x, y = np.asarray(directions, dtype=np.float64).T
    for _ in range(quarter_turns % 4):
        x, y = -y, x
    return np.stack([x, y], axis=1)


def turned_size(size_px: tuple[int, int], quarter_turns: int) -> tuple[int, int]:
    """Width and height of a picture turned by quarters."""
    width, height = size_px
    return (height, width) if quarter_turns % 2 else (width, height)
