"""Valleys as continuous lines through the evidence."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from scipy.ndimage import gaussian_filter1d

from beadcheck.measurements.layer.strip import Floats

LEAST_BEAD: Final = 0.09
"""Least width of a bead, as a part of the weld's."""
BEND_COST: Final = 0.6
"""Log odds that a step of one row from a column to the next costs: a bead wanders little."""
MOST: Final = 4.0
"""Log odds count up to so much: signs that agree are not as independent as the odds take them."""
NEVER: Final = -30.0
ROUNDS: Final = 2
SETTLE_COLUMNS: Final = 2.0
"""The line is smoothed over so many columns (standard deviation): a millimetre."""
REACH_ROWS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """One valley: its (C,) rows, with a fraction, and the (C,) evidence for it there."""

    at_row: Floats
    evidence: Floats


def follow_valleys(
    evidence: Floats, row: Floats, count: int, *, least_outer: float = LEAST_BEAD
) -> tuple[Line, ...]:
    """Follow so many valleys through the evidence, the clearest first, then in order across.

    Each is sought again once the others are known, so that no line has to make way for a first
    guess at another.

    Parameters
    ----------
    evidence
        (R, C) log odds.
    row
        (R,) places of the rows from -1 at one toe to 1 at the other.
    least_outer
        Least width of the beads beside the toes, as a part of the weld's.
    """
    evidence = np.clip(evidence, -MOST, MOST)
    inside = np.where(np.abs(row)[:, None] <= 1.0 - 2.0 * least_outer, evidence, NEVER)
    paths: list[np.ndarray] = []
    for _ in range(count):
        paths.append(_path(_without(inside, row, paths)))
    if count > 1:
        for _ in range(ROUNDS):
            for k in range(count):
                paths[k] = _path(_without(inside, row, paths[:k] + paths[k + 1 :]))
    paths.sort(key=lambda path: float(path.mean()))
    return tuple(_settled(evidence, path) for path in paths)


def _without(evidence: Floats, row: Floats, paths: list[np.ndarray]) -> Floats:
    """Evidence with the surroundings of other valleys blotted out."""
    for path in paths:
        near = np.abs(row[:, None] - row[path][None, :]) < 2.0 * LEAST_BEAD
        evidence = np.where(near, NEVER, evidence)
    return evidence


def _path(evidence: Floats) -> np.ndarray:
    """(C,) rows of the path of most evidence, one row's step from column to column at most."""
    rows, columns = evidence.shape
    # The most evidence on a way to each row of each column; no way leads from beyond the edges.
    totals = np.full((columns, rows + 2), -np.inf)
    totals[:, 1:-1] = evidence.T
    for before, here in pairwise(totals):
        beside = np.maximum(before[:-2], before[2:]) - BEND_COST
        here[1:-1] += np.maximum(beside, before[1:-1])
    path = np.empty(columns, dtype=np.intp)
    path[-1] = int(np.argmax(totals[-1])) - 1
    cost = np.array([BEND_COST, 0.0, BEND_COST])
    for column in range(columns - 1, 0, -1):
        row = path[column]
        path[column - 1] = row + int(np.argmax(totals[column - 1, row : row + 3] - cost)) - 1
    return path


def _settled(evidence: Floats, path: np.ndarray) -> Line:
    """Line through the middle of the evidence about a path, smooth along the weld."""
    columns = np.arange(path.size)
    offsets = np.arange(-REACH_ROWS, REACH_ROWS + 1)
    rows = np.clip(path[None, :] + offsets[:, None], 0, evidence.shape[0] - 1)
    weight = np.exp(evidence[rows, columns])
    middle = (weight * rows).sum(axis=0) / weight.sum(axis=0)
    return Line(
        at_row=gaussian_filter1d(middle, SETTLE_COLUMNS, mode="nearest"),
        evidence=np.asarray(evidence[path, columns]),
    )
