"""Refusals of what the inside of a pipe cannot show, or calls for."""

from beadcheck.errors.base import SettingError, SurfaceError


class BoreUnknownError(SettingError):
    """The root side of a pipe whose bore is not known."""

    code = "bore_unknown"
    problem = "The root side of a pipe is measured by its bore, which is not known."
    remedy = "Give the wall (a pipe size with its schedule has one), or the bore as measured."


class BoreBeyondPipeError(SettingError):
    """A bore that no such pipe has."""

    code = "bore_beyond_pipe"
    problem = "A bore of {bore_mm:g} mm does not fit this coupon."
    remedy = "Give the inside diameter of a pipe, in mm, smaller than its outside diameter."

    def __init__(self, bore_mm: float) -> None:
        super().__init__(bore_mm)
        self.bore_mm = bore_mm


class OnlyFromAboveInBoreError(SettingError):
    """Photos for height of the inside of a pipe."""

    code = "only_from_above_in_bore"
    problem = "Inside a pipe a {kind} photo gives no height that has been checked."
    remedy = "Take the root as a face photo through the open end, and its height with a weld gauge."

    def __init__(self, kind: str) -> None:
        super().__init__(kind)
        self.kind = kind


class BoreTooObliqueError(SurfaceError):
    """A bore seen at a glancing angle."""

    code = "bore_too_oblique"
    problem = (
        "The inside of the pipe is seen at {view_deg:.0f}° to its surface, and less than "
        "{least_deg:g}° is not measured."
    )
    remedy = (
        "Hold the lens at the opposite edge of the open end and look across; no photo reaches "
        "deeper into a pipe than 1.7 times its bore, so there cut it shorter or use a weld gauge."
    )

    def __init__(self, view_deg: float, least_deg: float) -> None:
        super().__init__(view_deg, least_deg)
        self.view_deg, self.least_deg = view_deg, least_deg


class BoreBeyondStripError(SettingError):
    """No strip can be read in this bore."""

    code = "bore_beyond_strip"
    problem = (
        "A strip is read in bores of {smallest_mm:g} to {largest_mm:g} mm; {bore_mm:g} mm is "
        "beyond that: a photo through the open end would look along the metal."
    )
    remedy = "Look at the root with a mirror or a borescope, and measure it with a weld gauge."

    def __init__(self, bore_mm: float, smallest_mm: float, largest_mm: float) -> None:
        super().__init__(bore_mm, smallest_mm, largest_mm)
        self.bore_mm, self.smallest_mm, self.largest_mm = bore_mm, smallest_mm, largest_mm
