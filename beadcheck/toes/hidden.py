"""Toes in a groove that its edge hides from the camera."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.groove import ToeHiddenError
from beadcheck.quantity import Side
from beadcheck.surface import SunkenSurface
from beadcheck.toes.lines import Toes
from beadcheck.toes.stations import LEAST_SURE_SHARE

DOUBT_DEG: Final = 3.0
"""A wall may stand steeper by this than its preparation says (common practice, no published
source), and a view that only grazes it shows no toe."""
LEAST_DEG: Final = 0.5
"""Even a square edge hides nothing worth telling of a view as square on as this."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HiddenToes:
    """Where the walls of a groove may hide its toes, at N stations.

    Attributes
    ----------
    left, right
        (N,) bool.
    left_lean_deg, right_lean_deg
        (N,) how far off the normal the camera looks in, towards the wall of that toe.
    wall_deg
        Lean of the walls from the normal, as entered or usual.
    """

    left: NDArray[np.bool_]
    right: NDArray[np.bool_]
    left_lean_deg: NDArray[np.float64]
    right_lean_deg: NDArray[np.float64]
    wall_deg: float

    def of(self, side: Side) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
        """Where one toe may be hidden, and the lean of the view."""
        if side is Side.LEFT:
            return self.left, self.left_lean_deg
        return self.right, self.right_lean_deg


def hidden_toes(toes: Toes, surface: SunkenSurface, wall_deg: float) -> HiddenToes:
    """Find the toes that the upper edge of their wall may hide.

    The line of sight to a toe passes over the edge of the wall behind which the camera stands: it
    is free as long as it leans less than the wall does.
    """
    run = toes.right_mm - toes.left_mm
    right = run / np.maximum(np.hypot(*run.T), 1e-9)[:, None]
    most_deg = max(wall_deg - DOUBT_DEG, LEAST_DEG)
    left_lean, right_lean = (
        np.degrees(np.arctan(surface.toward(places_mm, outward)))
        for places_mm, outward in ((toes.left_mm, -right), (toes.right_mm, right))
    )
    return HiddenToes(
        left=left_lean > most_deg,
        right=right_lean > most_deg,
        left_lean_deg=left_lean,
        right_lean_deg=right_lean,
        wall_deg=wall_deg,
    )


def require_in_view(hidden: HiddenToes, toes: Toes) -> None:
    """Refuse a view in which a toe may be hidden over most of the steady weld.

    Raises
    ------
    ToeHiddenError
    """
    total = int(np.count_nonzero(toes.steady))
    for side in Side:
        there, lean_deg = hidden.of(side)
        count = int(np.count_nonzero(there & toes.steady))
        if total - count < LEAST_SURE_SHARE * total:
            typical = float(np.median(lean_deg[there & toes.steady]))
            raise ToeHiddenError(side.value, count, total, typical, hidden.wall_deg)
