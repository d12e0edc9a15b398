"""What the user says of the coupon and the pass."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from beadcheck.coupon.groove import Groove, PassDepth
from beadcheck.coupon.pulse_times import PanelTimes, PulseTimes
from beadcheck.errors.bore import BoreBeyondPipeError, BoreUnknownError
from beadcheck.errors.groove import (
    DepthBeyondWallError,
    DepthOfNoGrooveError,
    RootGapRangeError,
)


class Shape(StrEnum):
    """Shape of the base metal."""

    PLATE = "plate"
    PIPE = "pipe"


class Process(StrEnum):
    """Welding process of the pass."""

    GTAW = "gtaw"
    GTAW_PULSED = "gtaw-pulsed"
    SMAW = "smaw"
    GMAW = "gmaw"


class Polarity(StrEnum):
    """Current type and polarity: the electrode negative or positive, or alternating current."""

    DCEN = "dcen"
    DCEP = "dcep"
    AC = "ac"


class Position(StrEnum):
    """Test position of the coupon."""

    FLAT = "1G"
    HORIZONTAL = "2G"
    VERTICAL = "3G"
    OVERHEAD = "4G"
    FIXED_HORIZONTAL = "5G"
    FIXED_INCLINED = "6G"


class Progression(StrEnum):
    """Direction of vertical welding."""

    UP = "up"
    DOWN = "down"


class StripSide(StrEnum):
    """On which side of the weld the strip lies as the pipe stood when it was welded."""

    HIGH = "high"
    LOW = "low"


class WeldPass(StrEnum):
    """Which pass the photo shows."""

    FIT_UP = "fit-up"
    ROOT = "root"
    ROOT_SIDE = "root-side"
    SECOND = "second"
    FILL = "fill"
    CAP = "cap"


U_DIAMETER: Final = 0.01 / math.sqrt(3.0)
"""Relative: pipe is made to 1 % of its outside diameter (from memory); rectangular. A bore that was
measured is out of round as much."""
U_WALL: Final = 0.125 / math.sqrt(3.0)
"""Relative: a wall may be 12.5 % thinner than nominal (ASTM A530/A999, from memory), and is taken
to be as much thicker; rectangular."""
MOST_LAYERS: Final = 99
"""Layers of a joint, and beads of a layer: more is a slip of the pen (common practice, no published
source)."""

WIDEST_GAP_MM: Final = 25.0
IN_THE_GROOVE: Final = frozenset({WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL})
"""Passes that lie between the walls of a groove, seen from its face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupon:
    """One coupon and the pass under the camera; what is not known is None.

    `depth` is how far below the surface the toes of a pass in a groove lie, where that was entered
    or seen in a profile; `root_gap_range_mm` the root opening that the procedure allows.
    `outside_diameter_mm` is set exactly when the shape is a pipe; `panel_times` only where the
    pulse times are not known in seconds. Layers count from the root, the beads of a layer in the
    order in which they were welded, both from 1; a fit-up has neither.
    `beads` is how many lie side by side on top, `groove_width_mm` how wide the groove was at the
    surface.
    """

    shape: Shape = Shape.PLATE
    outside_diameter_mm: float | None = None
    wall_thickness_mm: float | None = None
    bore_mm: float | None = None
    process: Process | None = None
    polarity: Polarity | None = None
    position: Position | None = None
    progression: Progression | None = None
    weld_pass: WeldPass | None = None
    layer: int | None = None
    bead: int | None = None
    pulse: PulseTimes | None = None
    panel_times: PanelTimes | None = None
    strip_side: StripSide | None = None
    groove: Groove | None = None
    depth: PassDepth | None = None
    beads: int | None = None
    groove_width_mm: float | None = None
    root_gap_range_mm: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if (self.shape is Shape.PIPE) != (self.outside_diameter_mm is not None):
            msg = "a pipe, and only a pipe, has an outside diameter"
            raise ValueError(msg)
        if self.pulse is not None and self.panel_times is not None:
            msg = "pulse times are known in seconds, or they are not"
            raise ValueError(msg)
        if self.outside_diameter_mm is not None and not 10.0 <= self.outside_diameter_mm <= 2500.0:
            msg = "the outside diameter must lie between 10 and 2500 mm"
            raise ValueError(msg)
        if self.wall_thickness_mm is not None and not 0.1 <= self.wall_thickness_mm <= 200.0:
            msg = "the wall thickness must lie between 0.1 and 200 mm"
            raise ValueError(msg)
        if self.bore_mm is not None:
            self._require_bore(self.bore_mm)
        width_mm = self.groove_width_mm
        if width_mm is not None and not 0.1 <= width_mm <= 200.0:
            msg = "the groove's width must lie between 0.1 and 200 mm"
            raise ValueError(msg)
        for what, count in (("layer", self.layer), ("bead", self.bead), ("beads", self.beads)):
            if count is not None and not 1 <= count <= MOST_LAYERS:
                msg = f"the number of the {what} must lie between 1 and {MOST_LAYERS}"
                raise ValueError(msg)
            if count is not None and self.weld_pass is WeldPass.FIT_UP:
                msg = f"a fit-up has no {what} yet"
                raise ValueError(msg)
        gap_mm = self.root_gap_range_mm
        if gap_mm is not None and not 0.0 <= gap_mm[0] <= gap_mm[1] <= WIDEST_GAP_MM:
            raise RootGapRangeError(*gap_mm)
        if self.depth is not None:
            self._require_fitting(self.depth)

    @property
    def seen_from_inside(self) -> bool:
        """Whether the photos show the inside of a pipe: the root side, through the open end."""
        return self.shape is Shape.PIPE and self.weld_pass is WeldPass.ROOT_SIDE

    @property
    def strip_diameter_mm(self) -> float | None:
        """Diameter of what the strip lies on: the outside, or the bore; None on plate.

        Raises
        ------
        BoreUnknownError
            The bore counts, and neither it nor the wall is known.
        """
        if not self.seen_from_inside or self.outside_diameter_mm is None:
            return self.outside_diameter_mm
        if self.bore_mm is not None:
            return self.bore_mm
        wall_mm = self.wall_thickness_mm
        if wall_mm is None or 2.0 * wall_mm >= self.outside_diameter_mm:
            raise BoreUnknownError
        return self.outside_diameter_mm - 2.0 * wall_mm

    @property
    def u_strip_diameter_ratio(self) -> float:
        """Relative standard uncertainty of that diameter, by how pipe is made."""
        outside_mm, wall_mm = self.outside_diameter_mm, self.wall_thickness_mm
        if not self.seen_from_inside or self.bore_mm is not None:
            return U_DIAMETER
        if outside_mm is None or wall_mm is None or self.strip_diameter_mm is None:
            return U_DIAMETER
        u_mm = math.hypot(U_DIAMETER * outside_mm, 2.0 * U_WALL * wall_mm)
        return u_mm / self.strip_diameter_mm

    def _require_bore(self, bore_mm: float) -> None:
        outside_mm = self.outside_diameter_mm
        if outside_mm is None or not 5.0 <= bore_mm < outside_mm:
            raise BoreBeyondPipeError(bore_mm)

    def _require_fitting(self, depth: PassDepth) -> None:
        if self.weld_pass not in IN_THE_GROOVE:
            raise DepthOfNoGrooveError
        wall_mm = self.wall_thickness_mm
        if wall_mm is not None and depth.depth_mm > wall_mm + 2.0 * depth.u_depth_mm:
            raise DepthBeyondWallError(depth.depth_mm, wall_mm)
