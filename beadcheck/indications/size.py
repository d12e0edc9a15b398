"""How large and how round a spot is, from the photo's own pixels as the map shows them."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.indications.candidate import Size

LEVELS: Final = (0.5, 0.35, 0.65)
"""Shares of the way from the surroundings to the spot's dark middle at which its outline is taken:
the first gives the size, the others how much that choice matters."""
AROUND_RADII: Final = (1.6, 2.4)
MIDDLE_RADII: Final = 0.6
MIDDLE_PERCENTILE: Final = 20.0
PIXEL_U_PX: Final = 0.3
"""An outline's place to a pixel of the map, rectangular."""
LEAST_FILLED: Final = 0.85
"""Least area of an outline over that of the ellipse with its second moments: 1 for an ellipse, less
for a ragged patch."""
LONGEST_ASPECT: Final = 2.2


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotOutline:
    """Middle of a spot along and across the weld, its size, and whether it is round."""

    s_mm: float
    across_mm: float
    size: Size
    is_round: bool


def spot_outline(bead: BeadMap, s_mm: float, across_mm: float, radius_mm: float) -> SpotOutline:
    """Outline of a dark spot of about this place and radius.

    The lengths are those of the ellipse that has the outline's second moments.
    """
    reach_px = AROUND_RADII[1] * radius_mm * bead.px_per_mm
    column = (s_mm - bead.s_mm[0]) * bead.px_per_mm
    row = (across_mm - bead.across_mm[0]) * bead.px_per_mm
    x = np.arange(max(0, int(column - reach_px)), min(bead.s_mm.size, int(column + reach_px) + 2))
    y = np.arange(max(0, int(row - reach_px)), min(bead.across_mm.size, int(row + reach_px) + 2))
    patch = bead.bgr[y[0] : y[-1] + 1, x[0] : x[-1] + 1]
    grey = cv2.cvtColor(patch, cv2.COLOR_BGR2GRAY).astype(np.float64)
    away_mm = np.hypot(x - column, y[:, None] - row) / bead.px_per_mm
    ring = (away_mm > AROUND_RADII[0] * radius_mm) & (away_mm < AROUND_RADII[1] * radius_mm)
    around = float(np.median(grey[ring]))
    middle = grey[away_mm < MIDDLE_RADII * radius_mm]
    dark = float(np.percentile(middle, MIDDLE_PERCENTILE))
    at = (round(column - x[0]), round(row - y[0]))
    half, wide, narrow = (
        _Ellipse.of(grey < around + share * (dark - around), at) for share in LEVELS
    )
    per_mm = bead.px_per_mm
    edge_u_mm = np.sqrt(2.0) * PIXEL_U_PX / per_mm
    return SpotOutline(
        s_mm=float(bead.s_mm[x[0]] + half.x_px / per_mm),
        across_mm=float(bead.across_mm[y[0]] + half.y_px / per_mm),
        size=Size(
            along_mm=half.along_px / per_mm,
            across_mm=half.across_px / per_mm,
            u_along_mm=_level_u(wide.along_px, narrow.along_px, per_mm, edge_u_mm),
            u_across_mm=_level_u(wide.across_px, narrow.across_px, per_mm, edge_u_mm),
        ),
        is_round=half.filled >= LEAST_FILLED and half.aspect <= LONGEST_ASPECT,
    )


def _level_u(wide_px: float, narrow_px: float, px_per_mm: float, edge_u_mm: float) -> float:
    """Rectangular between the lengths at two levels, and the pixels."""
    return float(np.hypot((wide_px - narrow_px) / px_per_mm / np.sqrt(12.0), edge_u_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ellipse:
    """Axes along x and y of the ellipse with the second moments of a dark part, in px."""

    along_px: float
    across_px: float
    x_px: float
    y_px: float
    filled: float
    aspect: float

    @classmethod
    def of(cls, dark: NDArray[np.bool_], at: tuple[int, int]) -> "_Ellipse":
        """Ellipse of the dark part at a place, or of the one nearest to it."""
        _, labels = cv2.connectedComponents(dark.astype(np.uint8), connectivity=4)
        rows, columns = np.nonzero(labels)
        nearest = int(np.argmin(np.hypot(columns - at[0], rows - at[1])))
        rows, columns = np.nonzero(labels == labels[rows[nearest], columns[nearest]])
        # A pixel's own second moment is a twelfth of its square.
        moments = np.cov(columns, rows, bias=True) + np.eye(2) / 12.0
        large, small = np.linalg.eigvalsh(moments)[::-1]
        return cls(
            along_px=4.0 * float(np.sqrt(moments[0, 0])),
            across_px=4.0 * float(np.sqrt(moments[1, 1])),
            x_px=float(columns.mean()),
            y_px=float(rows.mean()),
            filled=float(columns.size / (4.0 * np.pi * np.sqrt(large * small))),
            aspect=float(np.sqrt(large / small)),
        )
