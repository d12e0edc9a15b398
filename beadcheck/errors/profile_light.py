"""Refusals of a line of light across the weld, and of what it is scaled by."""

from beadcheck.errors.base import ProfileError, SettingError


class StepTooThinError(SettingError):
    """A step that is too thin to scale heights by."""

    code = "step_too_thin"
    problem = (
        "A step of {thickness_mm:g} mm is too thin to scale heights by: at least {least_mm:g} mm "
        "are needed, so the edge of a card cannot serve."
    )
    remedy = (
        "Lay a piece of key steel or a gauge block, 3 to 6 mm thick, where the line crosses it."
    )

    def __init__(self, thickness_mm: float, least_mm: float) -> None:
        super().__init__(thickness_mm, least_mm)
        self.thickness_mm, self.least_mm = thickness_mm, least_mm


class StepTooThickError(SettingError):
    """A step that is too thick to scale heights by."""

    code = "step_too_thick"
    problem = (
        "A step of {thickness_mm:g} mm is too thick to scale heights by: at most {most_mm:g} mm "
        "stay sharp and near the weld's own height."
    )
    remedy = (
        "Lay a piece of key steel or a gauge block, 3 to 6 mm thick, where the line crosses it."
    )

    def __init__(self, thickness_mm: float, most_mm: float) -> None:
        super().__init__(thickness_mm, most_mm)
        self.thickness_mm, self.most_mm = thickness_mm, most_mm


class StepUncertaintyError(SettingError):
    """The uncertainty of the step's thickness makes no sense."""

    code = "step_uncertainty"
    problem = (
        "{u_thickness_mm:g} mm cannot be the standard uncertainty of a step {thickness_mm:g} mm "
        "thick."
    )
    remedy = "Measure the step with a calliper or a micrometer, and give the uncertainty of that."

    def __init__(self, u_thickness_mm: float, thickness_mm: float) -> None:
        super().__init__(u_thickness_mm, thickness_mm)
        self.u_thickness_mm, self.thickness_mm = u_thickness_mm, thickness_mm


class LightAngleError(SettingError):
    """An angle at which no sheet of light can fall, or an uncertainty that makes no sense."""

    code = "light_angle"
    problem = (
        "{angle_deg:g}° with a standard uncertainty of {u_angle_deg:g}° cannot be the angle of a "
        "sheet of light."
    )
    remedy = (
        "Give the angle between the sheet of light and the normal of the metal: 0° is straight "
        "down, 40° to 60° are best."
    )

    def __init__(self, angle_deg: float, u_angle_deg: float) -> None:
        super().__init__(angle_deg, u_angle_deg)
        self.angle_deg, self.u_angle_deg = angle_deg, u_angle_deg


class NoLightLineError(ProfileError):
    """Neither a line of light nor the edge of a shadow lies across the surface."""

    code = "no_light_line"
    problem = "No line of light, and no edge of a shadow, can be followed across the metal."
    remedy = (
        "Throw a laser line, or the shadow of a straight rule, across weld and metal in one go, "
        "dim other lights, and retake the photo. Shiny metal hardly shows a shadow: there use a "
        "laser, or dull metal and weld with chalk."
    )


class LineBlurredError(ProfileError):
    """The line is too wide to be placed well."""

    code = "light_line_blurred"
    problem = (
        "The line of light is blurred: its standard deviation is {sigma_mm:.2f} mm, and at most "
        "{limit_mm:g} mm can be used."
    )
    remedy = (
        "Focus the laser (or hold the rule nearer to the metal, and the lamp farther off), focus "
        "the camera on the weld, and retake the photo."
    )

    def __init__(self, sigma_mm: float, limit_mm: float) -> None:
        super().__init__(sigma_mm, limit_mm)
        self.sigma_mm, self.limit_mm = sigma_mm, limit_mm


class LightOutOfFocusError(ProfileError):
    """The photo is too blurred on the metal to place a line of light."""

    code = "light_out_of_focus"
    problem = (
        "The line of light is out of focus: edges in this photo are blurred by {blur_mm:.2f} mm "
        "(standard deviation), and at most {limit_mm:g} mm can be used."
    )
    remedy = "Tap on the weld to focus, go nearer, hold still, and retake the photo."

    def __init__(self, blur_mm: float, limit_mm: float) -> None:
        super().__init__(blur_mm, limit_mm)
        self.blur_mm, self.limit_mm = blur_mm, limit_mm


class NoSlantError(ProfileError):
    """The light falls along the line of sight, so that height does not move it."""

    code = "light_no_slant"
    problem = (
        "The line of light has no slant: a height of 1 mm moves it by {shift_mm:.2f} mm, and at "
        "least {needed_mm:g} mm are needed."
    )
    remedy = "Let the light fall at 40° to 60° to the camera's line of sight, and retake the photo."

    def __init__(self, shift_mm: float, needed_mm: float) -> None:
        super().__init__(shift_mm, needed_mm)
        self.shift_mm, self.needed_mm = shift_mm, needed_mm


class LightUprightError(ProfileError):
    """The sheet of light stands along the metal's normal."""

    code = "light_upright"
    problem = (
        "The light has no slant: it falls at {angle_deg:g}° to the metal's normal, and at least "
        "{needed_deg:g}° are needed."
    )
    remedy = "Let the light fall at 40° to 60° to the metal's normal, and retake the photo."

    def __init__(self, angle_deg: float, needed_deg: float) -> None:
        super().__init__(angle_deg, needed_deg)
        self.angle_deg, self.needed_deg = angle_deg, needed_deg


class LightSideUnknownError(ProfileError):
    """Nothing in the photo tells from which side the light falls."""

    code = "light_side_unknown"
    problem = (
        "The photo does not tell from which side the light falls, so that a raised weld and a "
        "hollow one look alike."
    )
    remedy = (
        "Let the line run on over the target's paper, or over a block of known thickness beside "
        "the weld, and retake the photo."
    )


class LightContradictedError(ProfileError):
    """Paper, blocks or table come out on the wrong side of the metal."""

    code = "light_contradicted"
    problem = (
        "Heights scaled by the known step put the target's paper under the metal, or the table "
        "over it: what was taken for the step is none, or paper or step do not lie flat."
    )
    remedy = (
        "Tap on the line where it crosses the step, lay paper and step flat on the metal, and "
        "retake the photo."
    )


class LineMissesWeldError(ProfileError):
    """The line does not cross the weld."""

    code = "light_misses_weld"
    problem = "The line of light is seen over {seen_percent:.0f} % of the weld's width only."
    remedy = (
        "Throw the line right across the weld, from metal to metal, dim or shade every other "
        "light, and retake the photo. Where a shadow fades on shiny metal, use a laser, or dull "
        "metal and weld with chalk."
    )

    def __init__(self, seen_percent: float) -> None:
        super().__init__(seen_percent)
        self.seen_percent = seen_percent


class LineUnsureError(ProfileError):
    """Over the weld the light cannot be told from ripples and glints well enough."""

    code = "light_unsure"
    problem = (
        "Over the weld the line of light is lost among ripples and glints: heights would be known "
        "to {doubt_mm:.1f} mm only, and at most {limit_mm:g} mm can be used."
    )
    remedy = (
        "Use a laser line, or a lamp that lights the weld more evenly; dim other lights, and "
        "retake the photo."
    )

    def __init__(self, doubt_mm: float, limit_mm: float) -> None:
        super().__init__(doubt_mm, limit_mm)
        self.doubt_mm, self.limit_mm = doubt_mm, limit_mm


class LineMissesStepError(ProfileError):
    """The line is nowhere displaced as it would be on the step."""

    code = "light_misses_step"
    problem = "The line of light does not cross the known step of {thickness_mm:g} mm."
    remedy = (
        "Lay the step beside the weld so that the line runs over at least 2 mm of its top, or tap "
        "on the line where it crosses the step."
    )

    def __init__(self, thickness_mm: float) -> None:
        super().__init__(thickness_mm)
        self.thickness_mm = thickness_mm


class StepUnclearError(ProfileError):
    """Several pieces of the line could lie on the step."""

    code = "step_unclear"
    problem = "{count} flat raised pieces of the line could each be the known step."
    remedy = "Tap on the line where it crosses the step, or take everything else out of its way."

    def __init__(self, count: int) -> None:
        super().__init__(count)
        self.count = count


class TooLittleMetalError(ProfileError):
    """Too little bare metal is lit beside the weld."""

    code = "light_little_metal"
    problem = (
        "On the {side} of the weld the line of light is seen on {seen_mm:.1f} mm of bare metal, "
        "and at least {needed_mm:g} mm are needed."
    )
    remedy = (
        "Leave bare metal between weld and target, or step, on both sides, let the line run over "
        "it, and retake the photo."
    )

    def __init__(self, side: str, seen_mm: float, needed_mm: float) -> None:
        super().__init__(side, seen_mm, needed_mm)
        self.side, self.seen_mm, self.needed_mm = side, seen_mm, needed_mm


class MetalUnsureError(ProfileError):
    """What the heights were levelled on need not be the metal of the part."""

    code = "light_metal_unsure"
    problem = (
        "On the {side} of the weld it is not sure what the line of light lies on: it comes out "
        "{apart_mm:.1f} mm off the height of the metal as paper, or the other side, tells it."
    )
    remedy = (
        "Leave 3 mm of bare metal between the weld and whatever lies beside it, lay the target "
        "flat, and retake the photo."
    )

    def __init__(self, side: str, apart_mm: float) -> None:
        super().__init__(side, apart_mm)
        self.side, self.apart_mm = side, apart_mm
