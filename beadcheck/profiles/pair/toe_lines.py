"""Rough toes along the weld, which say what is weld and what is parent metal."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.profiles.pair.cells import Cells
from beadcheck.surface import SolvedSurface
from beadcheck.toes import LocatedWeld, Toes

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeLines:
    """Rough toes at N stations, in the weld's frame: (N,) each."""

    s_mm: Floats
    left_mm: Floats
    right_mm: Floats

    def at(self, s_mm: Floats) -> tuple[Floats, Floats]:
        """Left and right toe at other stations."""
        return (
            np.interp(s_mm, self.s_mm, self.left_mm),
            np.interp(s_mm, self.s_mm, self.right_mm),
        )

    def between(self, cells: Cells, margin_mm: float = 0.0) -> Mask:
        """(R, C) the cells between the toes, or up to a margin outside them."""
        left, right = self.at(cells.s_mm)
        across = cells.across_mm[:, None]
        return np.asarray((across > left - margin_mm) & (across < right + margin_mm))


def toe_lines(weld: LocatedWeld, toes: Toes | None, axis: Axis, surface: SolvedSurface) -> ToeLines:
    """Toes in the weld's frame: as found, or half the rough width to both sides of the axis."""
    if toes is None:
        s_mm = np.linspace(*weld.s_range_mm, 9)
        half = np.full(9, 0.5 * weld.width_mm)
        return ToeLines(s_mm=s_mm, left_mm=-half, right_mm=half)
    left, right = (axis.to_weld(surface.to_mm(px)) for px in (toes.left_px, toes.right_px))
    s_mm = 0.5 * (left[:, 0] + right[:, 0])
    known = np.isfinite(s_mm)
    order = np.argsort(s_mm[known])
    return ToeLines(
        s_mm=s_mm[known][order], left_mm=left[known, 1][order], right_mm=right[known, 1][order]
    )
