"""Refusals of the bead and its toes."""

from beadcheck.errors.base import BeadError


class NoWeldFoundError(BeadError):
    """Nothing in the picture looks enough like a weld."""

    code = "no_weld_found"
    problem = "No weld was found beside the target."
    remedy = (
        "Take the photo square on with the weld across the middle of the picture and soft light "
        "from one side, or point at the two ends of the weld."
    )


class NoWeldInPictureError(NoWeldFoundError):
    """Nothing in a photo without a target looks enough like a weld."""

    problem = "No weld was found in the picture."


class WeldShortInPictureError(BeadError):
    """Too little of the weld is in view for statistics, and there is no scale."""

    code = "weld_too_short"
    problem = "Too short a piece of steady weld is in view: {lengths:.1f} times its width."
    remedy = "Step back or move along, so that more of the weld is in the picture."

    def __init__(self, lengths: float) -> None:
        super().__init__(lengths)
        self.lengths = lengths


class TooFewSureStationsError(BeadError):
    """The toes are too unsure over too much of the weld."""

    code = "toes_unsure"
    problem = "The toes are clear at only {sure} of {total} stations along the weld."
    remedy = (
        "Brush off slag and dust, turn the lamp so that the toes cast a thin shadow, keep glare "
        "off the weld, and retake the photo closer."
    )

    def __init__(self, sure: int, total: int) -> None:
        super().__init__(sure, total)
        self.sure, self.total = sure, total


class WeldTooShortError(BeadError):
    """Too little of the weld is in view for statistics."""

    code = "weld_too_short"
    problem = "Only {length_mm:.0f} mm of steady weld is in view; {needed_mm:.0f} mm is needed."
    remedy = "Step back or move along, so that more of the weld and the target are in the picture."

    def __init__(self, length_mm: float, needed_mm: float) -> None:
        super().__init__(length_mm, needed_mm)
        self.length_mm, self.needed_mm = length_mm, needed_mm
