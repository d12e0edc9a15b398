"""Refusals of photos that are to show heights together."""

from beadcheck.errors.base import ProfileError


class SameViewpointError(ProfileError):
    """The photos look from nearly the same place."""

    code = "pair_same_viewpoint"
    problem = (
        "The photos look at the weld from only {apart_deg:.1f}° apart; at least {needed_deg:g}° "
        "show height."
    )
    remedy = (
        "Take the second photo from 10 to 25° to one side, best along the weld: at 20 cm distance "
        "move the phone by 4 to 9 cm."
    )

    def __init__(self, apart_deg: float, needed_deg: float) -> None:
        super().__init__(apart_deg, needed_deg)
        self.apart_deg, self.needed_deg = apart_deg, needed_deg


class ViewsTooFarApartError(ProfileError):
    """The photos look from so far apart that the metal does not look alike."""

    code = "pair_too_far_apart"
    problem = (
        "The photos look at the weld from {apart_deg:.0f}° apart; beyond {most_deg:g}° the metal "
        "looks too different."
    )
    remedy = "Take the second photo from 10 to 25° to one side of the first."

    def __init__(self, apart_deg: float, most_deg: float) -> None:
        super().__init__(apart_deg, most_deg)
        self.apart_deg, self.most_deg = apart_deg, most_deg


class DifferentTargetsError(ProfileError):
    """The photos show different targets."""

    code = "pair_different_targets"
    problem = "One photo shows the target “{first}”, another “{other}”."
    remedy = "Take all photos of a pair with the same target, left where it lies."

    def __init__(self, first: str, other: str) -> None:
        super().__init__(first, other)
        self.first, self.other = first, other


class NotInBothPhotosError(ProfileError):
    """Hardly any of the weld lies in both photos."""

    code = "pair_no_overlap"
    problem = "Only {shared_mm:.0f} mm of the weld is in both photos; {needed_mm:g} mm is needed."
    remedy = "Keep the weld and the whole target in the middle of both photos, and retake them."

    def __init__(self, shared_mm: float, needed_mm: float) -> None:
        super().__init__(shared_mm, needed_mm)
        self.shared_mm, self.needed_mm = shared_mm, needed_mm


class DifferentCouponsError(ProfileError):
    """The photos show the same target beside different welds."""

    code = "pair_different_coupons"
    problem = (
        "The photos seem to show two different coupons: ripples, scratches and spatter of one are "
        "not found where they belong in the other."
    )
    remedy = (
        "Take all photos of a pair of one coupon, and do not move the target between them; if it "
        "is one coupon, retake both in dull, even light."
    )


class TooCoarseForHeightsError(ProfileError):
    """The photos have too few pixels per mm to show heights."""

    code = "pair_too_coarse"
    problem = (
        "The photos show the metal at {px_per_mm:.1f} pixels per mm; from {apart_deg:.0f}° apart "
        "at least {needed:.0f} are needed to tell a height."
    )
    remedy = "Come closer, until target and weld fill the picture, and retake both photos."

    def __init__(self, px_per_mm: float, needed: float, apart_deg: float) -> None:
        super().__init__(px_per_mm, needed, apart_deg)
        self.px_per_mm, self.needed, self.apart_deg = px_per_mm, needed, apart_deg


class MetalNotAlikeError(ProfileError):
    """The metal beside the weld does not match between the photos."""

    code = "pair_metal_not_alike"
    problem = (
        "The photos do not show the same metal in the same place: only {alike_percent:.0f} % of "
        "what lies beside the weld matches, and {needed_percent:.0f} % is needed."
    )
    remedy = (
        "Take all photos of one coupon, sharp and in the same light, and do not move the target "
        "between them."
    )

    def __init__(self, alike_percent: float, needed_percent: float) -> None:
        super().__init__(alike_percent, needed_percent)
        self.alike_percent, self.needed_percent = alike_percent, needed_percent


class TargetMovedError(ProfileError):
    """The target seems to have moved between the photos, or does not lie on the metal."""

    code = "pair_target_moved"
    problem = (
        "The metal beside the weld seems to lie {off_mm:.1f} mm off the plane of the target; more "
        "than {most_mm:g} mm means that the target moved between the photos or stands off the "
        "metal."
    )
    remedy = "Press the target flat, leave it where it lies, and retake both photos."

    def __init__(self, off_mm: float, most_mm: float) -> None:
        super().__init__(off_mm, most_mm)
        self.off_mm, self.most_mm = off_mm, most_mm


class WeldNotAlikeError(ProfileError):
    """Too little of the weld itself matches between the photos."""

    code = "pair_weld_not_alike"
    problem = (
        "Only {alike_percent:.0f} % of the weld looks alike in the photos; {needed_percent:g} % is "
        "needed: glare slides over it, or it is too small or blurred."
    )
    remedy = (
        "Move lamps away or shade them with white paper, come closer, and take the second photo "
        "from further along the weld, not across it."
    )

    def __init__(self, alike_percent: float, needed_percent: float) -> None:
        super().__init__(alike_percent, needed_percent)
        self.alike_percent, self.needed_percent = alike_percent, needed_percent


class InGrooveError(ProfileError):
    """The pass lies in a groove, into which a pair does not see well enough."""

    code = "pair_in_groove"
    problem = (
        "A pair of photos does not tell the height of a pass inside a groove: the bevels hide it "
        "from one side, and mirror it from the other."
    )
    remedy = "Take a light-line photo across the groove."


class StepNotSeenError(ProfileError):
    """No known step is seen in the photos."""

    code = "pair_step_not_seen"
    problem = "No flat step {thickness_mm:g} mm high is seen beside the weld in the photos."
    remedy = (
        "Lay the step flat on the base metal within 25 mm of the weld and point at its top, or "
        "leave out its thickness."
    )

    def __init__(self, thickness_mm: float) -> None:
        super().__init__(thickness_mm)
        self.thickness_mm = thickness_mm


class StepUnusedError(ProfileError):
    """A known step is not seen well enough to scale heights, which are measured all the same."""

    code = "pair_step_unused"
    problem = (
        "The step {thickness_mm:g} mm high is not seen well enough beside the weld, so the target "
        "alone scales the heights."
    )
    remedy = (
        "To scale by the step, lay it flat on the base metal within 25 mm of the weld, keep all of "
        "it in both photos, and point at the middle of its top."
    )

    def __init__(self, thickness_mm: float) -> None:
        super().__init__(thickness_mm)
        self.thickness_mm = thickness_mm


class StepOffError(ProfileError):
    """The step's height does not fit its stated thickness."""

    code = "pair_step_off"
    problem = (
        "The step looks {seen_mm:.1f} mm high, but {thickness_mm:g} mm was given as its thickness."
    )
    remedy = "Measure the step's thickness, see that it lies flat on the metal, and try again."

    def __init__(self, seen_mm: float, thickness_mm: float) -> None:
        super().__init__(seen_mm, thickness_mm)
        self.seen_mm, self.thickness_mm = seen_mm, thickness_mm
