"""Refusals of passes that lie in a groove."""

from beadcheck.errors.base import BeadError, SettingError


class DepthBeyondReachError(SettingError):
    """A depth in the groove that cannot be."""

    code = "depth_beyond_reach"
    problem = "The toes of a pass cannot lie {depth_mm:g} mm below the surface."
    remedy = "Give the depth down to the edge of the pass, in mm, from 0 to 200; its U likewise."

    def __init__(self, depth_mm: float) -> None:
        super().__init__(depth_mm)
        self.depth_mm = depth_mm


class DepthBeyondWallError(SettingError):
    """A pass deeper than the wall is thick."""

    code = "depth_beyond_wall"
    problem = "A pass {depth_mm:g} mm below the surface is not in a wall of {wall_mm:g} mm."
    remedy = "Check the depth and the thickness of the wall."

    def __init__(self, depth_mm: float, wall_mm: float) -> None:
        super().__init__(depth_mm, wall_mm)
        self.depth_mm, self.wall_mm = depth_mm, wall_mm


class DepthOfNoGrooveError(SettingError):
    """A depth for a pass that does not lie in a groove."""

    code = "depth_of_no_groove"
    problem = "Only a root, second or fill pass seen from its face has a depth in the groove."
    remedy = "Say which pass it is, or leave the depth out."


class RootGapRangeError(SettingError):
    """A root opening that no procedure asks for."""

    code = "root_gap_range"
    problem = "A root opening from {least_mm:g} to {most_mm:g} mm cannot be asked for."
    remedy = "Give the narrowest and then the widest that is allowed, in mm, up to 25."

    def __init__(self, least_mm: float, most_mm: float) -> None:
        super().__init__(least_mm, most_mm)
        self.least_mm, self.most_mm = least_mm, most_mm


class FitUpNeedsTargetError(SettingError):
    """A fit-up without a target in the photo."""

    code = "fit_up_needs_target"
    problem = "A root opening is told in mm only, which needs the target in the picture."
    remedy = "Take the photo with the printed target in view."


class ToeHiddenError(BeadError):
    """A wall of the groove stands before a toe over most of the weld."""

    code = "toe_hidden"
    problem = (
        "The edge of the groove may hide the {side} toe at {hidden} of {total} stations: the "
        "camera looks in {seen_deg:.0f}° off the normal, towards a wall that leans {wall_deg:.0f}°."
    )
    remedy = "Hold the phone square above the groove, the weld in the middle, and retake it."

    def __init__(
        self, side: str, hidden: int, total: int, seen_deg: float, wall_deg: float
    ) -> None:
        super().__init__(side, hidden, total, seen_deg, wall_deg)
        self.side, self.hidden, self.total = side, hidden, total
        self.seen_deg, self.wall_deg = seen_deg, wall_deg
