"""Refusals of the target."""

from beadcheck.errors.base import TargetError


class NoMarkerError(TargetError):
    """No marker can be read anywhere in the photo."""

    code = "no_marker"
    problem = "No marker of the target can be read in this photo."
    remedy = (
        "Lay the printed target beside the weld, whole, flat, in focus and out of glare, and "
        "retake the photo."
    )


class TooFewMarkersError(TargetError):
    """Some markers can be read, but not enough of them."""

    code = "too_few_markers"
    problem = "Only {found} of the target's markers can be used; {needed} are needed."
    remedy = "Uncover the whole target, keep glare and dirt off it, and retake the photo."

    def __init__(self, found: int, needed: int) -> None:
        super().__init__(found, needed)
        self.found, self.needed = found, needed


class TargetCutOffError(TargetError):
    """Most of the target lies outside the picture."""

    code = "target_cut_off"
    problem = (
        "Only {found} of the target's {total} markers are in the picture; the rest is cut off."
    )
    remedy = "Step back or move until the whole target is in the picture, and retake it."

    def __init__(self, found: int, total: int) -> None:
        super().__init__(found, total)
        self.found, self.total = found, total


class GlareOnTargetError(TargetError):
    """A lamp's reflection hides the markers."""

    code = "glare_on_target"
    problem = "Glare hides the target's markers."
    remedy = "Move the lamp or the camera so that the target shows no reflection, and retake it."


class MirroredTargetError(TargetError):
    """The markers read only in a mirror."""

    code = "mirrored_target"
    problem = "The target's markers are mirrored, so left and right cannot be trusted."
    remedy = (
        "Use the photo as the camera took it, not a mirrored copy, and lay the target printed "
        "side up."
    )


class TargetBlurredError(TargetError):
    """The markers are too blurred for their edges to be measured."""

    code = "target_blurred"
    problem = (
        "The target is too blurred: its edges spread over {blur_px:.1f} px where a marker cell "
        "is {module_px:.1f} px wide."
    )
    remedy = "Hold the camera still, tap on the weld to focus, and retake the photo."

    def __init__(self, blur_px: float, module_px: float) -> None:
        super().__init__(blur_px, module_px)
        self.blur_px, self.module_px = blur_px, module_px


class OtherTargetError(TargetError):
    """Markers are in view, but of another board."""

    code = "other_target"
    problem = (
        "The markers in the picture ({dictionary}, ids {shown_ids}) do not belong to {expected}."
    )
    remedy = "Use the target that was named, or name the target file of the board in the picture."

    def __init__(self, dictionary: str, ids: tuple[int, ...], designs: tuple[str, ...]) -> None:
        super().__init__(dictionary, ids, designs)
        self.dictionary, self.ids, self.designs = dictionary, ids, designs
        self.shown_ids = ", ".join(map(str, ids[:6])) + (", …" if len(ids) > 6 else "")
        self.expected = " or ".join(f"“{name}”" for name in designs)
