"""Refusals of the surface."""

from beadcheck.errors.base import SurfaceError


class CheckBarError(SurfaceError):
    """The stated length of the check bar cannot be right."""

    code = "check_bar"
    problem = "{measured_mm:g} mm cannot be the length of the check bar of “{name}” ({nominal})."
    remedy = "Measure the printed check bar with a steel rule, in mm, end to end."

    def __init__(self, measured_mm: float, name: str, nominal_mm: float | None) -> None:
        super().__init__(measured_mm, name, nominal_mm)
        self.measured_mm, self.name, self.nominal_mm = measured_mm, name, nominal_mm
        self.nominal = "it has none" if nominal_mm is None else f"{nominal_mm:g} mm as designed"


class PoseUnclearError(SurfaceError):
    """No pose of the camera explains the markers."""

    code = "pose_unclear"
    problem = "The markers do not fit together as one target seen by one camera."
    remedy = "Lay one target only, whole and flat, beside the weld, and retake the photo."


class TooObliqueError(SurfaceError):
    """The plate is seen at too flat an angle."""

    code = "too_oblique"
    problem = (
        "The plate is seen at {seen_at_deg:.0f}° to its surface; at least {needed_deg:.0f}° is "
        "needed."
    )
    remedy = "Hold the camera more nearly square over the weld, and retake the photo."

    def __init__(self, seen_at_deg: float, needed_deg: float) -> None:
        super().__init__(seen_at_deg, needed_deg)
        self.seen_at_deg, self.needed_deg = seen_at_deg, needed_deg


class TargetUnevenError(SurfaceError):
    """The markers miss their places too far."""

    code = "target_uneven"
    problem = (
        "The target lies too unevenly: its markers miss their places by {pattern_px:.2f} px, and "
        "at most {limit_px:.2f} px can be used."
    )
    remedy = "Press the target down all over (tape or magnets), and retake the photo."

    def __init__(self, pattern_px: float, limit_px: float) -> None:
        super().__init__(pattern_px, limit_px)
        self.pattern_px, self.limit_px = pattern_px, limit_px


class TargetBowedError(SurfaceError):
    """The card is bowed too far."""

    code = "target_bowed"
    problem = (
        "The target is bowed by about {bow_mm:.1f} mm, and at most {limit_mm:g} mm can be used."
    )
    remedy = "Press the target flat on the metal (tape or magnets), and retake the photo."

    def __init__(self, bow_mm: float, limit_mm: float) -> None:
        super().__init__(bow_mm, limit_mm)
        self.bow_mm, self.limit_mm = bow_mm, limit_mm


class TargetLiftedError(SurfaceError):
    """One piece of the target stands off the metal, or aslant on it."""

    code = "target_lifted"
    problem = (
        "One piece of the target stands about {gap_mm:.1f} mm off the plane of the other, and at "
        "most {limit_mm:g} mm can be used."
    )
    remedy = "Press both flat on the metal beside the weld (tape or magnets), and retake the photo."

    def __init__(self, gap_mm: float, limit_mm: float) -> None:
        super().__init__(gap_mm, limit_mm)
        self.gap_mm, self.limit_mm = gap_mm, limit_mm


class WeldNotInTargetPlaneError(SurfaceError):
    """The pieces on both sides of the weld lie in different planes."""

    code = "weld_not_in_target_plane"
    problem = (
        "The pieces of the target lie in different planes, {gap_mm:.0f} mm or {tilt_deg:.0f}° "
        "apart, so the weld between them lies in neither."
    )
    remedy = "Lay the whole target on the metal of the weld, level with it, and retake the photo."

    def __init__(self, gap_mm: float, tilt_deg: float) -> None:
        super().__init__(gap_mm, tilt_deg)
        self.gap_mm, self.tilt_deg = gap_mm, tilt_deg
