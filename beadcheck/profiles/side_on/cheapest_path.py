"""The cheapest way through a picture from left to right (dynamic programming)."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Image = NDArray[np.float32]
Places = NDArray[np.intp]


def cheapest_path(cost: Image, *, turn_cost: float, steepest: int) -> Places:
    """(W,) row of the cheapest path through an (H, W) cost.

    Parameters
    ----------
    turn_cost
        Of each row climbed or fallen between columns, of which there are at most `steepest`.
    """
    by_column = np.ascontiguousarray(cost.T, dtype=np.float32)
    columns, rows = by_column.shape
    toll = (turn_cost * np.abs(np.arange(-steepest, steepest + 1))).astype(np.float32)[:, None]
    totals = np.full((columns, rows + 2 * steepest), np.inf, dtype=np.float32)
    inner = totals[:, steepest : rows + steepest]
    windows = np.lib.stride_tricks.sliding_window_view(totals, rows, axis=1)
    ways = np.empty((2 * steepest + 1, rows), dtype=np.float32)
    inner[0] = by_column[0]
    for column in range(1, columns):
        np.add(windows[column - 1], toll, out=ways)
        np.add(np.minimum.reduce(ways, axis=0), by_column[column], out=inner[column])
    path = np.empty(columns, dtype=np.intp)
    path[-1] = row = int(inner[-1].argmin())
    for column in range(columns - 1, 0, -1):
        row += int((totals[column - 1, row : row + 2 * steepest + 1] + toll[:, 0]).argmin())
        row -= steepest
        path[column - 1] = row
    return path


NEAR_ROWS: Final = 2
"""About a path, in which the crest of a response is looked for: it is so wide."""


def crest_rows(response: Image, path: Places) -> NDArray[np.float64]:
    """(W,) rows, in fractions, of a response's crest nearest a path (parabola)."""
    columns = np.arange(path.size)

    def at(row: Places) -> Image:
        return np.asarray(response[row.clip(0, len(response) - 1), columns])

    around = np.arange(-NEAR_ROWS, NEAR_ROWS + 1)
    row = path + around[np.stack([at(path + step) for step in around]).argmax(axis=0)]
    before, here, after = at(row - 1), at(row), at(row + 1)
    past = 0.5 * (before - after) / np.minimum(before - 2.0 * here + after, -1e-6)
    return np.asarray(row + np.clip(past, -0.5, 0.5), dtype=np.float64)
