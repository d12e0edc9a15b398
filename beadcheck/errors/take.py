"""Refusals of photos that are to be measured together, and of what a kind of photo needs."""

from beadcheck.errors.base import PhotoError, SettingError


class LightNeedsReferenceError(SettingError):
    """A light-line photo without anything that scales its heights."""

    code = "light_needs_reference"
    problem = "A line of light gives no height without a known step or the angle of the light."
    remedy = (
        "Lay a step of 3 to 6 mm where the line crosses it and give its thickness, or give the "
        "angle between the light and the normal of the metal."
    )


class HeightsNeedTargetError(SettingError):
    """Photos for height, and no target in them."""

    code = "heights_need_target"
    problem = "A {kind} photo gives heights in mm only, which need the target in the picture."
    remedy = "Take it with the printed target in view, or measure face photos alone without one."

    def __init__(self, kind: str) -> None:
        super().__init__(kind)
        self.kind = kind


class PairNeedsTwoError(SettingError):
    """A pair of one photo."""

    code = "pair_needs_two"
    problem = "A pair is two photos or more of one place, and only {count} was given."
    remedy = "Take another from 10 to 25 degrees to one side, nothing moved, and give both."

    def __init__(self, count: int) -> None:
        super().__init__(count)
        self.count = count


class OtherPhotoOfPairError(PhotoError):
    """A photo that is fine itself, but belongs to a pair of which another is not."""

    code = "other_photo_of_pair"
    problem = "{file}, another photo of this pair, cannot be used."
    remedy = "Mend or retake that photo, and measure the pair again."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file
