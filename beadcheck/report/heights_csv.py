"""The heights of a pair as a table: a line for each place."""

import csv
import io
from typing import Final

import numpy as np

from beadcheck.profiles.pair import HeightMap
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.result import CAUTION
from beadcheck.spreadsheet import guarded

HEADER: Final = ("s_mm", "across_mm", "height_mm", "height_U_mm", "caution")
STEP_MM: Final = 0.25
"""Neighbours nearer than this share their evidence, and a spreadsheet holds a million lines."""


def heights_csv(height_map: HeightMap) -> str:
    """Heights over the levelled base metal, in mm; places where nothing was seen have no line.

    `s_mm` and `across_mm` are those of the first photo's stations; U (k = 2) is each place's own
    and the scale's. The caution stands in the last column of the first line of data alone.
    """
    rows = _thinned(height_map.across_mm)
    columns = _thinned(height_map.s_mm)
    height_mm = height_map.height_mm[np.ix_(rows, columns)]
    own_mm = height_map.u_height_mm[np.ix_(rows, columns)]
    gain = np.hypot.reduce([c.standard_uncertainty for c in height_map.gain_budget])
    form_mm = np.hypot.reduce([c.standard_uncertainty for c in height_map.form_budget])
    expanded_mm = COVERAGE_FACTOR * np.sqrt(own_mm**2 + (gain * height_mm) ** 2 + form_mm**2)
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    caution = guarded(CAUTION)
    for row, column in np.argwhere(np.isfinite(height_mm) & np.isfinite(own_mm)):
        place = (height_map.s_mm[columns][column], height_map.across_mm[rows][row])
        told = (*place, height_mm[row, column], expanded_mm[row, column])
        writer.writerow([*(f"{number:.3f}" for number in told), caution])
        caution = ""
    return text.getvalue()


def _thinned(places_mm: np.ndarray) -> np.ndarray:
    """Indices of places about `STEP_MM` apart."""
    step_mm = float(places_mm[1] - places_mm[0])
    return np.arange(0, places_mm.size, max(1, round(STEP_MM / step_mm)))
