"""Both toe lines of one weld in one photo."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface import Points


@dataclass(frozen=True, slots=True, kw_only=True)
class ToeUncertainty:
    """Standard uncertainties, in mm, that stations share.

    Attributes
    ----------
    tone_curve_mm, definition_mm
        Of one toe's place across the weld.
    finder_width_mm
        Of a width, by the finder's mean error in this photo.
    """

    tone_curve_mm: float
    definition_mm: float
    finder_width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Toes:
    """Both toes at N stations, 1 mm apart along the weld.

    Attributes
    ----------
    s_mm
        (N,) distance along the weld on the surface.
    left_mm, right_mm
        (N, 2) surface points; left and right seen facing growing s.
    left_px, right_px
        (N, 2) the same points in the photo.
    u_left_mm, u_right_mm
        (N,) standard uncertainty of each toe across the weld, of this station alone.
    hand_u_left_mm, hand_u_right_mm
        (N,) standard uncertainty that a person's hand adds, alike all along one line; 0 where the
        finder placed the toe.
    sure
        (N,) bool: both toes are clear here.
    steady
        (N,) bool: within the steady body of the weld (no rounded end, start lump or crater), seen
        at 30 degrees or more.
    correlation_mm
        Length along the weld over which the errors of one toe stay alike.
    """

    s_mm: NDArray[np.float64]
    left_mm: Points
    right_mm: Points
    left_px: Points
    right_px: Points
    u_left_mm: NDArray[np.float64]
    u_right_mm: NDArray[np.float64]
    hand_u_left_mm: NDArray[np.float64]
    hand_u_right_mm: NDArray[np.float64]
    sure: NDArray[np.bool_]
    steady: NDArray[np.bool_]
    correlation_mm: float
    shared: ToeUncertainty

    @property
    def width_mm(self) -> NDArray[np.float64]:
        """(N,) weld width: toe to toe on the base-metal surface."""
        return np.asarray(np.hypot(*(self.right_mm - self.left_mm).T))

    @property
    def middle_mm(self) -> Points:
        """(N, 2) midway between the toes, on the surface."""
        return 0.5 * (self.left_mm + self.right_mm)

    @property
    def left_by_hand(self) -> NDArray[np.bool_]:
        """(N,) bool: a person placed the left toe here."""
        return self.hand_u_left_mm > 0.0

    @property
    def right_by_hand(self) -> NDArray[np.bool_]:
        """(N,) bool: a person placed the right toe here."""
        return self.hand_u_right_mm > 0.0

    @property
    def used(self) -> NDArray[np.bool_]:
        """(N,) bool: the stations that statistics use."""
        return self.sure & self.steady
