"""What gives a line of light its scale of height: a step of known thickness, or its angle."""

import math
from dataclasses import dataclass
from typing import Final, TypeAlias

from beadcheck.errors.profile_light import (
    LightAngleError,
    StepTooThickError,
    StepTooThinError,
    StepUncertaintyError,
)

LEAST_STEP_MM: Final = 3.0
"""A thinner one leaves more than 0.1 mm of doubt at 3 mm of height (accuracy study, 2.4)."""
MOST_STEP_MM: Final = 10.0
"""A thicker one is out of focus, and its seat matters (an estimate)."""
U_STEP_MM: Final = 0.03
"""Standard uncertainty of key steel or a plate offcut by calliper (accuracy study, 3.3)."""
MOST_U_STEP: Final = 0.1
"""Relative: who knows a step no better than this does not know it."""
STEEPEST_LIGHT_DEG: Final = 80.0
MOST_U_ANGLE_DEG: Final = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownStep:
    """A flat piece of known thickness on the base metal, crossed by the same line.

    Attributes
    ----------
    place_px
        A place on its top in the upright photo, or None: then the target's mark tells, or the line.

    Raises
    ------
    SettingError
        The thickness cannot serve, or its uncertainty makes no sense.
    """

    thickness_mm: float
    u_thickness_mm: float = U_STEP_MM
    place_px: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if not self.thickness_mm >= LEAST_STEP_MM:
            raise StepTooThinError(self.thickness_mm, LEAST_STEP_MM)
        if self.thickness_mm > MOST_STEP_MM:
            raise StepTooThickError(self.thickness_mm, MOST_STEP_MM)
        if not 0.0 < self.u_thickness_mm <= MOST_U_STEP * self.thickness_mm:
            raise StepUncertaintyError(self.u_thickness_mm, self.thickness_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class LightAngle:
    """Angle between the sheet of light and the normal of the base metal.

    From which side the light falls is not said: on a raised weld the photo tells.

    Raises
    ------
    SettingError
        No sheet of light can fall like that, or the uncertainty makes no sense.
    """

    angle_deg: float
    u_angle_deg: float

    def __post_init__(self) -> None:
        possible = 0.0 <= self.angle_deg <= STEEPEST_LIGHT_DEG
        if not possible or not 0.0 < self.u_angle_deg <= MOST_U_ANGLE_DEG:
            raise LightAngleError(self.angle_deg, self.u_angle_deg)

    @property
    def slope(self) -> float:
        """Its tangent."""
        return math.tan(math.radians(self.angle_deg))


LightReference: TypeAlias = KnownStep | LightAngle
