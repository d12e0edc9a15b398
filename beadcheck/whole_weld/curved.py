"""The pipe's diameter by the curvature that the photos show."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincc

from beadcheck.whole_weld.view import Floats, View

U_COMMON_RATIO: Final = 0.0015
"""Of the curvature by all photos together: what their one lens has in common (an estimate)."""
OFF_ROUND_SIGMAS: Final = 4.0
"""A photo whose diameter is this far from the others' shows a strip that stands off."""
CHANCE: Final = 0.005
"""Diameters that scatter as much by chance alone more seldom than this show a strip that stands off
somewhere (chi-squared test)."""
APART_SIGMAS: Final = 2.0
"""... where photos differ by this much."""
FEWEST: Final = 3
UNEVEN: Final = "target_uneven"


@dataclass(frozen=True, slots=True, kw_only=True)
class Curved:
    """Outside diameter by the curvature in several photos, by the print scale used.

    Attributes
    ----------
    off_round
        Clock positions, in degrees, of the photos in which the strip does not lie on one round with
        the others; those take no part in the diameter.
    """

    diameter_mm: float
    u_mm: float
    off_round: tuple[float, ...]


def curved_of(views: Sequence[View]) -> Curved | None:
    """Diameter by curvature: the photos' own, weighted, with their scatter where that is more."""
    able = [view for view in views if view.frame.alone_diameter_u_mm]
    if not able:
        return None
    values = np.array([view.frame.alone_diameter_mm for view in able], dtype=np.float64)
    u_mm = np.array([view.frame.alone_diameter_u_mm for view in able], dtype=np.float64)
    off = _off_round(values, u_mm) | np.array([_uneven(view) for view in able])
    if len(able) < FEWEST or off.all():
        off[:] = False
    weights = 1.0 / u_mm[~off] ** 2
    mean = float(weights @ values[~off] / weights.sum())
    spread2 = float(weights @ (values[~off] - mean) ** 2 / weights.sum())
    scatter2 = max(1.0 / float(weights.sum()), spread2 / max(weights.size - 1, 1))
    return Curved(
        diameter_mm=mean,
        u_mm=math.hypot(math.sqrt(scatter2), U_COMMON_RATIO * mean),
        off_round=tuple(_clock_deg(view) for view, is_off in zip(able, off, strict=True) if is_off),
    )


def _off_round(values: Floats, u_mm: Floats) -> NDArray[np.bool_]:
    """(N,) diameters that are far from the others', or lie apart where all scatter too much."""
    middle = float(np.median(values))
    apart = np.abs(values - middle) / np.hypot(u_mm, U_COMMON_RATIO * middle)
    chi2, spare = float(apart @ apart), max(values.size - 1, 1)
    by_chance = float(gammaincc(0.5 * spare, 0.5 * chi2))
    return np.asarray(apart > (APART_SIGMAS if by_chance < CHANCE else OFF_ROUND_SIGMAS))


def _uneven(view: View) -> bool:
    return any(problem.code == UNEVEN for problem in view.record.problems)


def _clock_deg(view: View) -> float:
    """Clock position of the middle of what a photo shows."""
    middle_mm = 0.5 * float(view.x_mm[0] + view.x_mm[-1])
    return view.frame.clock_sense * 360.0 * middle_mm / (view.frame.turn_mm or math.inf)
