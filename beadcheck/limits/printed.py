"""Lengths in the system of units that the user chose: sources print two, which are not the same."""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from beadcheck.limits.decision import DecisionRule
from beadcheck.units import inches

MARK_ALIKE: Final = 1e-6
"""Part of a 64th of an inch by which a number may miss it, for its binary fraction."""


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


def limit_length_words(limit_mm: float, printed_in: LengthSystem) -> str:
    """Limit on a length as its source prints it; inches stand beside the mm that they are.

    Examples
    --------
    >>> limit_length_words(1.6, LengthSystem.MM)
    '1.60 mm'
    >>> limit_length_words(25.4 / 16, LengthSystem.INCH)
    '1.59 mm (1/16 in)'
    >>> limit_length_words(0.254, LengthSystem.INCH)
    '0.25 mm (0.010 in)'
    >>> limit_length_words(28.575, LengthSystem.INCH)
    '28.58 mm (1 1/8 in)'
    """
    # A binary fraction such as 3.175 must not be rounded down for the last of its bits.
    metric = f"{round(limit_mm + math.copysign(1e-9, limit_mm), 2) + 0.0:.2f} mm"
    if printed_in is LengthSystem.MM:
        return metric
    return f"{metric} ({inch_words(inches(limit_mm))})"


def inch_words(limit_inch: float) -> str:
    """Inches as a rule is marked, or to a thousandth where no mark fits.

    Examples
    --------
    >>> inch_words(0.3125)
    '5/16 in'
    """
    marks = round(64.0 * limit_inch)
    if abs(64.0 * limit_inch - marks) > MARK_ALIKE or marks <= 0:
        return f"{limit_inch:.3f} in"
    whole, part = divmod(Fraction(marks, 64), 1)
    return " ".join(str(each) for each in (whole, part, "in") if each)


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
