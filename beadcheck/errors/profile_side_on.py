"""Refusals of a photo that looks along the pipe's outline."""

from beadcheck.errors.base import ProfileError, SettingError


class SideOnOfPlateError(SettingError):
    """A plate has no outline to look along."""

    code = "side_on_of_plate"
    problem = "A side-on photo shows height on the round outline of a pipe only, not on plate."
    remedy = (
        "On plate take a light-line photo or a pair of photos; for a pipe, give its outside "
        "diameter."
    )


class OutlineNotInPictureError(ProfileError):
    """The pipe's outline lies outside the picture."""

    code = "outline_not_in_picture"
    problem = (
        "Only {seen_mm:.0f} mm of the pipe's outline is in the picture; {needed_mm:.0f} mm is "
        "needed."
    )
    remedy = (
        "Hold the camera level with the outline, so that you look along the pipe's surface and the "
        "weld stands out against the background in the middle of the picture."
    )

    def __init__(self, seen_mm: float, needed_mm: float) -> None:
        super().__init__(seen_mm, needed_mm)
        self.seen_mm, self.needed_mm = seen_mm, needed_mm


class OutlineNotVisibleError(ProfileError):
    """The outline cannot be told from the background."""

    code = "outline_not_visible"
    problem = (
        "The pipe's outline can be told from the background over only {clear_percent:.0f} % of the "
        "length in view."
    )
    remedy = (
        "Put a plain sheet behind the pipe, white behind dark metal or dark behind bright metal, "
        "a hand's breadth or more away, and retake the photo."
    )

    def __init__(self, clear_percent: float) -> None:
        super().__init__(clear_percent)
        self.clear_percent = clear_percent


class OutlineBlurredError(ProfileError):
    """The outline is out of focus."""

    code = "outline_blurred"
    problem = (
        "The pipe's outline is out of focus: it is spread over {blur_mm:.2f} mm, and at most "
        "{limit_mm:.2f} mm can be used."
    )
    remedy = "Tap on the outline of the weld to focus there, hold still, and retake the photo."

    def __init__(self, blur_mm: float, limit_mm: float) -> None:
        super().__init__(blur_mm, limit_mm)
        self.blur_mm, self.limit_mm = blur_mm, limit_mm


class WeldNotOnOutlineError(ProfileError):
    """The outline shows bare pipe and nothing else."""

    code = "weld_not_on_outline"
    problem = (
        "No weld stands out on the outline: {seen_mm:.0f} mm of it departs from the bare pipe by "
        "less than {least_mm:.2f} mm."
    )
    remedy = (
        "Turn the pipe or move the camera until the weld crosses the outline in the middle of the "
        "picture; a weld ground flush does not show this way."
    )

    def __init__(self, seen_mm: float, least_mm: float) -> None:
        super().__init__(seen_mm, least_mm)
        self.seen_mm, self.least_mm = seen_mm, least_mm


class TooLittleBarePipeError(ProfileError):
    """Too little bare pipe beside the weld to measure from."""

    code = "too_little_bare_pipe"
    problem = (
        "Only {seen_mm:.1f} mm of bare pipe shows on the outline on one side of the weld; "
        "{needed_mm:.1f} mm is needed."
    )
    remedy = (
        "Lay the strip 10 mm from the weld, and keep 10 mm of bare pipe in the picture on both "
        "sides of it."
    )

    def __init__(self, seen_mm: float, needed_mm: float) -> None:
        super().__init__(seen_mm, needed_mm)
        self.seen_mm, self.needed_mm = seen_mm, needed_mm


class TooObliqueToSectionError(ProfileError):
    """The camera looks at the weld too far from its own plane."""

    code = "too_oblique_to_section"
    problem = (
        "The weld is seen at {oblique_deg:.0f}° to the plane in which it runs round the pipe; at "
        "most {limit_deg:.0f}° can be used."
    )
    remedy = (
        "Move along the pipe until the camera stands in the weld's own plane, and retake the photo "
        "with the weld in the middle of the picture."
    )

    def __init__(self, oblique_deg: float, limit_deg: float) -> None:
        super().__init__(oblique_deg, limit_deg)
        self.oblique_deg, self.limit_deg = oblique_deg, limit_deg


class OutlineUnlikePipeError(ProfileError):
    """The outline does not lie where the target says that the pipe's is."""

    code = "outline_unlike_pipe"
    problem = (
        "The outline lies {off_mm:.1f} mm from where the target puts that of the pipe, and at most "
        "{limit_mm:.1f} mm can be explained."
    )
    remedy = (
        "Check the outside diameter, wrap the strip tight round the pipe beside the weld, and "
        "retake the photo."
    )

    def __init__(self, off_mm: float, limit_mm: float) -> None:
        super().__init__(off_mm, limit_mm)
        self.off_mm, self.limit_mm = off_mm, limit_mm


class OutlineHiddenError(ProfileError):
    """Something covers part of the weld where it crosses the outline."""

    code = "outline_hidden"
    problem = (
        "Only {seen_mm:.1f} mm of the weld's width stands out on the outline, but beside it the "
        "weld's face is {face_mm:.0f} mm wide: something hides the rest, or most of it is flush."
    )
    remedy = (
        "Hold pipe and weld clear of bench, jaws and clamps, so that the whole outline of the weld "
        "shows before a plain background, and retake the photo; a weld that is mostly flush wants "
        "a light-line photo."
    )

    def __init__(self, seen_mm: float, face_mm: float) -> None:
        super().__init__(seen_mm, face_mm)
        self.seen_mm, self.face_mm = seen_mm, face_mm


class OutlineFallsBackError(ProfileError):
    """Part of what looks like the weld's outline may be an edge on its face."""

    code = "outline_falls_back"
    problem = (
        "{seen_mm:.1f} mm of the weld's outline lies {back_mm:.1f} mm further in than what is seen "
        "on both sides of it, with nothing clear between: it may be the edge of a ripple on the "
        "face."
    )
    remedy = (
        "Put a plain sheet behind the weld, much brighter or much darker than its crest, a hand's "
        "breadth or more away, and retake the photo; a hollow face wants a light-line photo."
    )

    def __init__(self, seen_mm: float, back_mm: float) -> None:
        super().__init__(seen_mm, back_mm)
        self.seen_mm, self.back_mm = seen_mm, back_mm
