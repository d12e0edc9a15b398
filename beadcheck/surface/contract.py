"""What every solved surface can tell."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Shape
from beadcheck.quantity import Component

Points = NDArray[np.float64]
"""(N, 2) float64, x and y."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintScale:
    """Printed length over nominal length of the target, with its standard uncertainty.

    `bar_measured` tells whether somebody measured the check bar; else the ratio is taken on trust.
    """

    ratio: float
    u_ratio: float
    bar_measured: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceWarning:
    """What makes a usable surface worse than it could be, and what to do about it."""

    code: str
    message: str


class Surface(Protocol):
    """The base metal's surface, in mm, and how the photo shows it.

    Surface coordinates are those of piece 0 of the target (of the piece seen best where fewer
    than two of its markers show), laid on the base metal: on plate x right and y down as printed;
    on pipe x is arc length on the outside diameter and y lies along the pipe's axis (whichever
    way the target wraps). They are true mm: print scale and the target's thickness are corrected
    for.
    """

    @property
    def shape(self) -> Shape:
        """Plate or pipe."""

    @property
    def px_per_mm(self) -> float:
        """Photo pixels per mm, across and along averaged, at the middle of the target."""

    @property
    def tilt_deg(self) -> float:
        """Angle between line of sight and surface normal at the middle of the target, degrees."""

    @property
    def distance_mm(self) -> float:
        """Distance from the lens to the middle of the target, in mm."""

    @property
    def residual_px(self) -> float:
        """Root mean square distance of the fitted marker edges from their samples, in px."""

    @property
    def blur_px(self) -> float:
        """Standard deviation of the photo's blur at the marker edges, in px."""

    @property
    def calibration(self) -> str | None:
        """Name and date of the stored calibration of the camera; None where none was used."""

    @property
    def warnings(self) -> tuple[SurfaceWarning, ...]:
        """What the user should be told, such as a bowed card; empty where all is well."""

    @property
    def outside_diameter_mm(self) -> float | None:
        """Outside diameter as solved, or None on plate."""

    def to_px(self, points_mm: Points) -> Points:
        """Photo pixels of surface points; NaN where the camera cannot see them."""

    def to_mm(self, points_px: Points) -> Points:
        """Surface points of photo pixels; NaN where the line of sight misses the surface."""

    def seen_at_deg(self, points_mm: Points) -> NDArray[np.float64]:
        """Angle between the line of sight and the surface at (N, 2) points: 90 is square on."""

    def clock_deg(self, points_mm: Points) -> NDArray[np.float64]:
        """Clock position of (N, 2) points, degrees; NaN on plate or without a 12 o'clock mark."""

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
        """Budget, in mm, of the mean distance between N pairs of surface points.

        Everything about scale is in it: print scale (scope PRINT), target fit, flatness and bow,
        thickness, lens, outside diameter (scope PHOTO).
        """

    def target_outline_mm(self) -> tuple[Points, ...]:
        """Corners, (M, 2), of the paper of each piece of the target, on the surface."""
