"""One place to look at: what is seen there, where, how large, and how clear."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from beadcheck.surface import Points


class CandidateKind(StrEnum):
    """What is seen; the words claim no more than the photo shows."""

    SPOT_ON_FACE = "spot_on_face"
    LINE_AT_TOE = "line_at_toe"
    SPOT_ON_BASE = "spot_on_base"
    ROUGH_SPOT = "rough_spot"
    DIP_AT_END = "dip_at_end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Lengths along and across the weld in mm, with their standard uncertainties, scale left out.

    Without a target they are in units of the unscaled surface.
    """

    along_mm: float
    across_mm: float
    u_along_mm: float
    u_across_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """A place to look at.

    Attributes
    ----------
    s_mm, across_mm
        Its middle along the axis of the map and across it, facing growing s.
    side
        left or right, facing growing s, where it lies at a toe or outside one; else None.
    corners_mm
        (4, 2) corners of its box on the surface.
    clearness
        How far it stands out, as a multiple of what it must to be shown: 1 or more.
    """

    kind: CandidateKind
    s_mm: float
    across_mm: float
    side: str | None
    size: Size
    corners_mm: Points
    clearness: float

    @property
    def strength(self) -> float:
        """From 0.5, just clear enough to be shown, towards 1."""
        return self.clearness / (1.0 + self.clearness)

    def covers(self, other: "Candidate") -> bool:
        """Whether the middle of the other lies in this one's box."""
        middle = other.corners_mm.mean(axis=0) - self.corners_mm.mean(axis=0)
        edges = self.corners_mm[[1, 3]] - self.corners_mm[0]
        shares = (edges @ middle) / (edges**2).sum(axis=1)
        return bool((np.abs(shares) <= 0.5).all())
