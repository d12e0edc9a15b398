"""From the flags that scale heights to the step or the angle that the library takes."""

from typing import TYPE_CHECKING, Final

from beadcheck.cli.take_flags import number_and_uncertainty
from beadcheck.quantity import COVERAGE_FACTOR

if TYPE_CHECKING:
    from beadcheck.profiles.light_line.reference import KnownStep, LightAngle

ANGLE_EXPANDED_DEG: Final = 2.0
"""U of an angle that is typed alone: set by hand with a protractor (an estimate)."""


def known_step(text: str) -> "KnownStep":
    """Step as it was typed.

    Raises
    ------
    SettingError
        It is no number, or cannot serve as a step.
    """
    from beadcheck.profiles.light_line.reference import U_STEP_MM, KnownStep

    typed = number_and_uncertainty("--step", text, example="--step 5,0.04")
    expanded = typed.expanded_uncertainty
    return KnownStep(
        thickness_mm=typed.value,
        u_thickness_mm=U_STEP_MM if expanded is None else expanded / COVERAGE_FACTOR,
    )


def known_angle(text: str) -> "LightAngle":
    """Angle of the light as it was typed.

    Raises
    ------
    SettingError
        It is no number, or cannot serve as an angle.
    """
    from beadcheck.profiles.light_line.reference import LightAngle

    typed = number_and_uncertainty("--light-angle", text, example="--light-angle 45,2")
    expanded = typed.expanded_uncertainty or ANGLE_EXPANDED_DEG
    return LightAngle(angle_deg=typed.value, u_angle_deg=expanded / COVERAGE_FACTOR)
