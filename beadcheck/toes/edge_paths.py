"""Both toes as continuous paths through the likelihood of weld."""

from typing import Final

import cv2
import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

PATH_STEP: Final = 2
"""Columns from one point of a path to the next."""
BASE_LIKELIHOOD: Final = 0.25
STEEPEST: Final = 2
"""Rows that a path may climb from one of its points to the next: 45 degrees."""
CLIMB_COST: Final = 0.02
"""Fall of likelihood that a row of climbing must be worth."""


def edge_paths(
    likelihood: NDArray[np.float32], middle: NDArray[np.int_], gap_rows: int
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Row of either toe in each column: the continuous path with the most fall of likelihood on it.

    Dynamic programming over columns. What lies beyond `gap_rows` of base metal is another weld's.
    """
    thinned = np.ascontiguousarray(likelihood[:, ::PATH_STEP])
    smooth = np.asarray(cv2.GaussianBlur(thinned, (0, 0), 1.5), dtype=np.float32)
    # (columns, 2, rows): the toe above the middle, and the one below.
    gain = np.stack(
        [_gain(smooth, middle[::PATH_STEP], sign, gap_rows).T for sign in (-1, 1)], axis=1
    )
    columns, _, count = gain.shape
    total = gain[0]
    came_from = np.zeros((columns, 2, count), dtype=np.int8)
    padded = np.full((2, count + 2 * STEEPEST), -np.inf)
    steps = np.arange(-STEEPEST, STEEPEST + 1)
    cost = CLIMB_COST * np.abs(steps)[:, None]
    reached = sliding_window_view(padded, count, axis=1)
    for column in range(1, columns):
        padded[:, STEEPEST:-STEEPEST] = total
        choices = reached - cost
        came_from[column] = choices.argmax(axis=1)
        total = choices.max(axis=1) + gain[column]
    every = np.arange(likelihood.shape[1])
    upper, lower = (
        np.round(np.interp(every, every[::PATH_STEP], _way_back(came, end, steps))).astype(int)
        for came, end in zip(np.moveaxis(came_from, 1, 0), total.argmax(axis=1), strict=True)
    )
    return upper, lower


def _gain(
    smooth: NDArray[np.float32], middle: NDArray[np.int_], sign: int, gap_rows: int
) -> NDArray[np.float64]:
    """(R, C) fall of likelihood outwards, `sign` -1 for the toe above the middle, +1 below."""
    fall = np.zeros_like(smooth)
    fall[1:-1] = sign * (smooth[:-2] - smooth[2:])
    beyond = (np.arange(fall.shape[0])[:, None] - middle[None, :]) * sign
    fall[(beyond < 2) | _past_gap(smooth, beyond, sign, gap_rows)] = -0.5
    return fall.astype(np.float64)


def _way_back(
    came_from: NDArray[np.int8], end: np.intp, steps: NDArray[np.int_]
) -> NDArray[np.int_]:
    """(C,) rows of the best path, from the (C, R) step by which each place was reached."""
    path = np.empty(len(came_from), dtype=int)
    path[-1] = end
    for column in range(len(came_from) - 1, 0, -1):
        path[column - 1] = path[column] + steps[came_from[column, path[column]]]
    return path


def _past_gap(
    likelihood: NDArray[np.float32], beyond: NDArray[np.int_], sign: int, gap_rows: int
) -> NDArray[np.bool_]:
    """(R, C) whether `gap_rows` of base metal lie between the middle and here."""
    outward = slice(None) if sign > 0 else slice(None, None, -1)
    base = ((likelihood < BASE_LIKELIHOOD) & (beyond >= 2))[outward]
    run = np.zeros(base.shape[1], dtype=np.int_)
    past = np.zeros_like(base)
    for row, lies_on_base in enumerate(base):
        run = np.where(lies_on_base, run + 1, 0)
        past[row] = (run > gap_rows) | (past[row - 1] if row else False)
    return np.asarray(past[outward])
