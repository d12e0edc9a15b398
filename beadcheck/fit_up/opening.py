"""What was found of an open joint."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface import Points

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class JointDepths:
    """Depths below the surface, in mm, between which the lands stand.

    Attributes
    ----------
    top_mm, bottom_mm
        Upper and lower edge of the land, each with its standard uncertainty.
    """

    top_mm: float
    u_top_mm: float
    bottom_mm: float
    u_bottom_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tack:
    """A closed stretch of the opening between open ones, both ends in view.

    Attributes
    ----------
    s_range_mm
        Where it begins and ends along the joint.
    u_end_mm
        Standard uncertainty of either end.
    """

    s_range_mm: tuple[float, float]
    u_end_mm: float

    @property
    def length_mm(self) -> float:
        """From end to end, along the surface."""
        return self.s_range_mm[1] - self.s_range_mm[0]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Opening:
    """Both edges of a root opening at N stations, 1 mm apart along the joint.

    Attributes
    ----------
    s_mm
        (N,) distance along the joint on the surface.
    left_mm, right_mm
        (N, 2) places of the surface straight above the edges; left and right facing growing s.
    opening_mm
        (N,) root opening: edge to edge, square to the joint.
    left_px, right_px
        (N, 2) the edges in the photo.
    u_left_mm, u_right_mm
        (N,) standard uncertainty of each edge across the joint, of this station alone.
    sure
        (N,) bool: both edges are clear here, and the joint is open.
    tacks
        In order along the joint.
    u_lands_mm
        Standard uncertainty of every opening by which edge of a land bounds what is seen.
    """

    s_mm: Floats
    left_mm: Points
    right_mm: Points
    opening_mm: Floats
    left_px: Points
    right_px: Points
    u_left_mm: Floats
    u_right_mm: Floats
    sure: NDArray[np.bool_]
    tacks: tuple[Tack, ...]
    u_lands_mm: float

    @property
    def middle_mm(self) -> Points:
        """(N, 2) midway between the edges, on the surface."""
        return 0.5 * (self.left_mm + self.right_mm)
