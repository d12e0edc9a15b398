"""A straight line in the map, and whether it is one of light."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, uniform_filter1d

from beadcheck.beadmap import BeadMap

Floats = NDArray[np.float64]
Strength = NDArray[np.float32]

ON_LINE_MM: Final = 1.0
UNBROKEN_MM: Final = 12.0
UNBROKEN_SHARE: Final = 0.8
"""Somewhere a line of light runs straight for `UNBROKEN_MM`, but for this; tint and rust do not."""
OFF_PAPER_MM: Final = 6.0
"""Coloured print on the paper is no line of light; so much of one lies beside it."""
LONG_MM: Final = 24.0
LONG_SHARE: Final = 0.45
"""... and it is this long in all, or as long as this share of what is seen."""
SEEN_STRENGTH: Final = 0.3
REFINED_MM: Final = (2.5, 1.2)
"""How far beside a straight line its evidence may lie: at first, and once it is better known."""
FEWEST_ROWS: Final = 12
ROUNDS: Final = 4
KEPT_SHARE: Final = 0.7
"""Of the rows nearest to the line; weld and step displace the others."""
CELL_MM: Final = 0.4
GAP_MM: Final = 1.5
"""Print and glints make gaps of this length in the evidence of an edge that goes on."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Straight:
    """A straight line in the map: its column in each row, and in which rows there is evidence."""

    base: tuple[float, float]
    score_mm: float
    columns: NDArray[np.intp]
    lit: NDArray[np.bool_]

    @classmethod
    def of(
        cls, strength: Strength, overview: BeadMap, base: tuple[float, float], score_mm: float
    ) -> "Straight":
        """Look along s = offset + slope x across."""
        s_mm = base[0] + base[1] * overview.across_mm
        columns = columns_at(overview, s_mm)
        reach = round(ON_LINE_MM * overview.px_per_mm)
        last = overview.s_mm.size - 1
        near = np.clip(columns[:, None] + np.arange(-reach, reach + 1), 0, last)
        lit = strength[np.arange(columns.size)[:, None], near].max(axis=1) > SEEN_STRENGTH
        return cls(base=base, score_mm=score_mm, columns=columns, lit=lit)

    def refined(self, strength: Strength, overview: BeadMap) -> "Straight":
        """The same line through the strongest evidence beside it, by least squares.

        A line that is a degree off lies beside an edge over most of its length.
        """
        last = overview.s_mm.size - 1
        base = self.base
        for reach_mm in REFINED_MM:
            columns = columns_at(overview, base[0] + base[1] * overview.across_mm)
            reach = round(reach_mm * overview.px_per_mm)
            near = np.clip(columns[:, None] + np.arange(-reach, reach + 1), 0, last)
            beside = strength[np.arange(columns.size)[:, None], near]
            rows = np.flatnonzero(beside.max(axis=1) > SEEN_STRENGTH)
            if rows.size < FEWEST_ROWS:
                return self
            s_mm = overview.s_mm[near[rows, beside[rows].argmax(axis=1)]]
            across_mm = overview.across_mm[rows]
            kept = np.ones(rows.size, dtype=np.bool_)
            most = int(KEPT_SHARE * (rows.size - 1))
            for _ in range(ROUNDS):
                offset, slope = _fitted(across_mm[kept], s_mm[kept])
                off_mm = np.abs(s_mm - offset - slope * across_mm)
                kept = off_mm <= max(float(np.partition(off_mm, most)[most]), CELL_MM)
            base = offset, slope
        return Straight.of(strength, overview, base, self.score_mm)

    def runs_on(self, overview: BeadMap, paper: NDArray[np.bool_]) -> bool:
        """Whether light is seen for long enough, off the paper too, and somewhere without gaps."""
        off_paper = self.lit & ~paper[np.arange(self.columns.size), self.columns]
        if off_paper.sum() < OFF_PAPER_MM * overview.px_per_mm:
            return False
        window = round(UNBROKEN_MM * overview.px_per_mm)
        run = uniform_filter1d(self.lit.astype(np.float64), window, mode="constant")
        long = self.score_mm > LONG_MM or float(self.lit.mean()) > LONG_SHARE
        return long and float(run.max()) > UNBROKEN_SHARE

    def crossed_columns(self, overview: BeadMap) -> NDArray[np.intp]:
        """(R,) the line's column where there is light, or nearly; -1 in other rows."""
        window = 2 * round(GAP_MM * overview.px_per_mm) + 1
        near = maximum_filter1d(self.lit.astype(np.uint8), window) > 0
        return np.where(near, self.columns, -1)


def _fitted(across_mm: Floats, s_mm: Floats) -> tuple[float, float]:
    """Offset and slope of the straight line through places, by least squares."""
    middle_mm, mean_mm = float(across_mm.mean()), float(s_mm.mean())
    away_mm = across_mm - middle_mm
    slope = float(away_mm @ s_mm / (away_mm @ away_mm))
    return mean_mm - slope * middle_mm, slope


def columns_at(overview: BeadMap, s_mm: Floats) -> NDArray[np.intp]:
    """(R,) the map's columns at places along its axis."""
    columns = np.round((s_mm - overview.s_mm[0]) * overview.px_per_mm).astype(np.intp)
    return np.asarray(np.clip(columns, 0, overview.s_mm.size - 1))
