"""Refusals of reading a height profile, whichever way it was measured."""

from beadcheck.errors.base import BeadError


class TooLittleBaseMetalError(BeadError):
    """Too little bare base metal beside the weld to level the profile on."""

    code = "too_little_base_metal"
    problem = (
        "Only {seen_mm:.1f} mm of bare base metal is seen to the {side} of the weld; "
        "{needed_mm:.1f} mm is needed to level the profile."
    )
    remedy = (
        "Retake the photo with 10 mm of bare base metal in view on either side of the weld, and "
        "keep paper and spatter off it."
    )

    def __init__(self, side: str, seen_mm: float, needed_mm: float) -> None:
        super().__init__(side, seen_mm, needed_mm)
        self.side, self.seen_mm, self.needed_mm = side, seen_mm, needed_mm


class ProfileTooSparseError(BeadError):
    """Too few heights are seen along a profile."""

    code = "profile_too_sparse"
    problem = "Heights are seen at only {share_percent:.0f} % of the profile."
    remedy = (
        "Turn the lamp so that glare is kept off the weld, wipe dust off, and retake the photo."
    )

    def __init__(self, share_percent: float) -> None:
        super().__init__(share_percent)
        self.share_percent = share_percent


class NoLevelMetalError(BeadError):
    """What lies beside the weld is not one straight surface."""

    code = "no_level_metal"
    problem = (
        "The metal beside the weld slopes by {slope_deg:.0f} degrees in this profile, so it is not "
        "the base metal."
    )
    remedy = (
        "Retake the photo with 10 mm of bare base metal in view on either side of the weld, and "
        "keep paper, steps and spatter off it."
    )

    def __init__(self, slope_deg: float) -> None:
        super().__init__(slope_deg)
        self.slope_deg = slope_deg


class UnevenSidesError(BeadError):
    """The two sides of the weld lie too far apart in height to be the two parts welded."""

    code = "uneven_sides"
    problem = (
        "The metal left and right of the weld lies {step_mm:.1f} mm apart in height; up to "
        "{most_mm:.1f} mm is taken for misaligned parts, more for something that lies on one side."
    )
    remedy = "Retake the photo with bare base metal on both sides, the step farther from the weld."

    def __init__(self, step_mm: float, most_mm: float) -> None:
        super().__init__(step_mm, most_mm)
        self.step_mm, self.most_mm = step_mm, most_mm
