"""What is printed where on a target."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray


class WrapAxis(StrEnum):
    """Which axis of the target runs round the pipe."""

    X = "x"
    Y = "y"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marker:
    """One marker of a target.

    Attributes
    ----------
    corners_mm
        (4, 2) in the target's frame, x right and y down, in ArUco's order (top left first, then
        clockwise as printed).
    piece
        Which rigid piece carries it, when one sheet is cut into several that are laid down apart.
        The frame of piece 0 is the target's frame; where the others lie is solved from the photo.
    """

    id: int
    corners_mm: NDArray[np.float64]
    piece: int = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TargetDesign:
    """A printed target.

    Attributes
    ----------
    check_bar_mm
        Nominal length of the bar that is measured with a rule to check the print, or None.
    clock_zero_mm
        Where 12 o'clock lies along the wrapped axis, in mm, or None where it is not marked.
    clock_sense
        +1 where the clock grows with the wrapped axis, seen from the welder's side; else -1.
    """

    name: str
    dictionary: str
    width_mm: float
    height_mm: float
    thickness_mm: float
    markers: tuple[Marker, ...]
    wraps: WrapAxis = WrapAxis.X
    check_bar_mm: float | None = None
    clock_zero_mm: float | None = None
    clock_sense: int = 1
