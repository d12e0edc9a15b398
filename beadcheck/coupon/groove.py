"""The joint before it was welded, and how deep in it a pass lies."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from beadcheck.errors.groove import DepthBeyondReachError

DEEPEST_ENTERED_MM: Final = 200.0


class GrooveForm(StrEnum):
    """How the edges were prepared."""

    SQUARE = "square"
    SINGLE_V = "single-v"
    DOUBLE_V = "double-v"
    SINGLE_BEVEL = "single-bevel"
    SINGLE_U = "single-u"
    SINGLE_J = "single-j"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """The joint before it was welded; what is not known is None.

    Attributes
    ----------
    angle_deg
        Included angle.
    root_gap_range_mm
        Narrowest and widest root gap that the procedure allows.
    """

    form: GrooveForm
    angle_deg: float | None = None
    root_gap_mm: float | None = None
    root_face_mm: float | None = None
    root_gap_range_mm: tuple[float, float] | None = None


class DepthBy(StrEnum):
    """What tells the depth of a pass; the values are words of the result format."""

    ENTERED = "entered"
    PROFILE = "profile"
    GROOVE = "groove"
    WALL = "wall"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class PassDepth:
    """Depth of a pass's toes below the base metal's surface, with its standard uncertainty.

    Raises
    ------
    DepthBeyondReachError
    """

    depth_mm: float
    u_depth_mm: float
    by: DepthBy

    def __post_init__(self) -> None:
        if not (0.0 <= self.depth_mm <= DEEPEST_ENTERED_MM and 0.0 <= self.u_depth_mm < math.inf):
            raise DepthBeyondReachError(self.depth_mm)
