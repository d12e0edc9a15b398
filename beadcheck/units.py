"""Units of the result, and the conversions at its edge.

Inside beadcheck every length is in millimetres and every angle in degrees.
"""

from enum import StrEnum
from typing import Final

MM_PER_INCH: Final = 25.4
"""Exact, by the international yard and pound agreement of 1959."""


class Unit(StrEnum):
    """The unit of a reported value; the values are the words of the result format."""

    MM = "mm"
    MM2 = "mm2"
    PX = "px"
    RATIO = "ratio"
    DEG = "deg"
    MM_PER_S = "mm/s"
    S = "s"
    HERTZ = "Hz"
    AMPERE = "A"
    VOLT = "V"
    WATT = "W"
    KJ = "kJ"
    KJ_PER_MM = "kJ/mm"
    PERCENT = "%"
    ONE = "1"


def inches(length_mm: float) -> float:
    """Length in inches.

    Examples
    --------
    >>> inches(25.4)
    1.0
    """
    return length_mm / MM_PER_INCH


def millimetres(length_in: float) -> float:
    """Length in millimetres.

    Examples
    --------
    >>> millimetres(2.0)
    50.8
    """
    return length_in * MM_PER_INCH


def wrapped_degrees(angle_deg: float) -> float:
    """Angle brought to [0, 360), as clock positions are given.

    Examples
    --------
    >>> wrapped_degrees(-30.0)
    330.0
    """
    return angle_deg % 360.0
