"""The cheapest way down a map, row by row, that may go sideways and may jump."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def cheapest_way(cost: Floats, *, sideways_cost: float, jump_cost: float) -> NDArray[np.intp]:
    """Column of each row on the way that costs least.

    Each column to the side costs `sideways_cost`, and a jump `jump_cost` at most.
    """
    rows, columns = cost.shape
    place = np.arange(columns)
    toll = sideways_cost * place.astype(np.float64)
    came = np.empty((rows, columns), dtype=np.intp)
    total = cost[0].copy()
    for row in range(1, rows):
        left, from_left = _cheapest_from_left(total, toll, place)
        right, from_right = _cheapest_from_left(total[::-1], toll, place)
        right, from_right = right[::-1], columns - 1 - from_right[::-1]
        reached = np.minimum(left, right)
        jump = int(total.argmin())
        jumps = reached > total[jump] + jump_cost
        came[row] = np.where(jumps, jump, np.where(left <= right, from_left, from_right))
        total = np.where(jumps, total[jump] + jump_cost, reached) + cost[row]
    way = np.empty(rows, dtype=np.intp)
    way[-1] = int(total.argmin())
    for row in range(rows - 1, 0, -1):
        way[row - 1] = came[row, way[row]]
    return way


def _cheapest_from_left(
    total: Floats, toll: Floats, place: NDArray[np.intp]
) -> tuple[Floats, NDArray[np.intp]]:
    """Least cost of coming to each column from itself or from its left, and where from."""
    before = total - toll
    least = np.minimum.accumulate(before)
    return least + toll, np.maximum.accumulate(np.where(before == least, place, 0))
