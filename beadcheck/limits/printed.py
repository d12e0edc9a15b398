"""Lengths in the system of units that the user chose: sources print two, which are not the same."""

import math
from dataclasses import dataclass
from enum import StrEnum

from beadcheck.limits.decision import DecisionRule
from beadcheck.units import inches


class LengthSystem(StrEnum):
    """Which of a source's printed numbers is compared with."""

    MM = "mm"
    INCH = "inch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judging:
    """How limits are judged, whichever set they belong to.

    Attributes
    ----------
    rule
        The guard band; None takes that of the set.
    system
        Whose number is compared with where a source prints one in mm and another in inches.
    """

    rule: DecisionRule | None = None
    system: LengthSystem = LengthSystem.MM


def length_words(length_mm: float, system: LengthSystem) -> str:
    """Length along a weld, to a tenth of a millimetre or a hundredth of an inch.

    Examples
    --------
    >>> length_words(12.34, LengthSystem.MM)
    '12.3 mm'
    >>> length_words(50.8, LengthSystem.INCH)
    '2 in'
    """
    if system is LengthSystem.INCH:
        return f"{round(inches(length_mm), 2):g} in"
    return f"{round(length_mm, 1):g} mm"


def rounded_up_words(depth_mm: float, system: LengthSystem) -> str:
    """Depth rounded up, to a hundredth of a millimetre or a thousandth of an inch.

    Examples
    --------
    >>> rounded_up_words(0.1201, LengthSystem.MM)
    '0.13 mm'
    >>> rounded_up_words(0.1201, LengthSystem.INCH)
    '0.005 in'
    """
    # A hair less than a whole step is not rounded up by the binary fraction alone.
    if system is LengthSystem.INCH:
        return f"{math.ceil(1000.0 * inches(depth_mm) - 1e-6) / 1000.0:.3f} in"
    return f"{math.ceil(100.0 * depth_mm - 1e-6) / 100.0:.2f} mm"
