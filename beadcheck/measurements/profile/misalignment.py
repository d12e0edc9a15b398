"""Linear misalignment: the step between the two base-metal lines."""

from typing import Final

from beadcheck.measurements.profile.base_lines import BaseLines
from beadcheck.measurements.profile.value import SectionValue, station
from beadcheck.profiles import Profile
from beadcheck.quantity import QuantityName
from beadcheck.units import Unit

LEAST_STEP_MM: Final = 0.1
"""Step between the parts that matters."""
LEVEL_MM: Final = 0.03
"""How level rolled plate and pipe are beside a weld, half width, in mm (an estimate)."""


def linear_misalignment(profile: Profile, lines: BaseLines) -> SectionValue:
    """Step between the lines midway between the toes, in mm, never below zero."""
    step = step_mm(lines)
    return SectionValue(
        name=QuantityName.LINEAR_MISALIGNMENT,
        value=abs(step),
        unit=Unit.MM,
        budget=(
            station("lines of the base metal", lines.u_step(0.0)),
            station("local form of the base metal", LEVEL_MM / 3.0**0.5),
            *(each.times(step) for each in profile.gain_budget),
            *profile.form_budget,
        ),
        falls=step < 0.0,
    )


def step_mm(lines: BaseLines) -> float:
    """Height of the right part over the left one, midway between the toes."""
    return lines.right.at(0.0) - lines.left.at(0.0)


def is_stepped(lines: BaseLines) -> bool:
    """Tell whether one part stands higher than the other for sure, and by enough to matter."""
    return abs(step_mm(lines)) > max(LEAST_STEP_MM, 2.0 * lines.u_step(0.0))
