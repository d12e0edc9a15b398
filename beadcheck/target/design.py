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

    def __post_init__(self) -> None:
        if self.corners_mm.shape != (4, 2):
            msg = f"marker {self.id} must have four corners"
            raise ValueError(msg)
        self.corners_mm.flags.writeable = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Patch:
    """A convex patch of paper; where a target has a window, several patches surround it.

    Attributes
    ----------
    corners_mm
        (M, 2) in the target's frame, clockwise as printed.
    piece
        The rigid piece that it belongs to.
    """

    corners_mm: NDArray[np.float64]
    piece: int = 0

    def __post_init__(self) -> None:
        if self.corners_mm.ndim != 2 or self.corners_mm.shape[1] != 2 or len(self.corners_mm) < 3:
            msg = "a patch of paper must have three corners or more"
            raise ValueError(msg)
        self.corners_mm.flags.writeable = False


def rectangle_mm(
    x_mm: float, y_mm: float, width_mm: float, height_mm: float
) -> NDArray[np.float64]:
    """Corners of an upright rectangle, (4, 2), top left first, then clockwise as printed.

    Examples
    --------
    >>> rectangle_mm(1.0, 2.0, 3.0, 4.0).tolist()
    [[1.0, 2.0], [4.0, 2.0], [4.0, 6.0], [1.0, 6.0]]
    """
    right_mm, bottom_mm = x_mm + width_mm, y_mm + height_mm
    corners = [(x_mm, y_mm), (right_mm, y_mm), (right_mm, bottom_mm), (x_mm, bottom_mm)]
    return np.array(corners, dtype=np.float64)


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
    outside_diameter_mm
        The pipe that a strip is made for, or None. Marker places do not hang on it.
    bore_mm
        The bore that a strip is made to lie in, printed side inward, or None.
    joints_mm
        Where, along the wrapped axis, a strip is glued together from segments. A joint is good to
        a few tenths of a millimetre only.
    paper
        The patches of paper; empty where the whole sheet is paper (read `paper_patches`).
    step_corners_mm
        (M, 2) convex outline, clockwise, of the place marked for a step of known thickness, in the
        frame of piece 0; None where none is marked.
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
    outside_diameter_mm: float | None = None
    bore_mm: float | None = None
    joints_mm: tuple[float, ...] = ()
    paper: tuple[Patch, ...] = ()
    step_corners_mm: NDArray[np.float64] | None = None

    def __post_init__(self) -> None:
        if self.step_corners_mm is not None:
            self.step_corners_mm.flags.writeable = False

    @property
    def paper_patches(self) -> tuple[Patch, ...]:
        """Where there is paper: the declared patches, else the whole sheet as one."""
        if self.paper:
            return self.paper
        return (Patch(corners_mm=rectangle_mm(0.0, 0.0, self.width_mm, self.height_mm)),)
