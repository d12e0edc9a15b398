"""How far the outside diameter of a standard pipe may lie from the table's."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from beadcheck.coupon.pipe_sizes import PipeSize, pipe_sizes

SAME_MM: Final = 0.06
"""Inches and millimetres of one size are rounded apart by up to this."""

_UP_TO_NPS: Final = (
    (Fraction(3, 2), 0.8, 0.4),
    (Fraction(4), 0.8, 0.8),
    (Fraction(8), 0.8, 1.6),
    (Fraction(18), 0.8, 2.4),
    (Fraction(26), 0.8, 3.2),
)
"""Up to a nominal size, mm below and above: ASTM A530/A530M and A999/A999M, table of permissible
variations in outside diameter (verified in public text; out-of-roundness is in them)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Permitted deviation of an outside diameter, both numbers positive."""

    below_mm: float
    above_mm: float


def standard_size(outside_diameter_mm: float, *, within_mm: float = SAME_MM) -> PipeSize | None:
    """Nominal size whose outside diameter in the table is nearest, if it lies as near as that.

    Examples
    --------
    >>> str(standard_size(219.1)), standard_size(221.3)
    ('NPS 8', None)
    """
    nearest = min(
        pipe_sizes(), key=lambda size: abs(size.outside_diameter_mm - outside_diameter_mm)
    )
    apart_mm = abs(nearest.outside_diameter_mm - outside_diameter_mm)
    if apart_mm > within_mm:
        return None
    return replace(nearest, schedule=None, wall_thickness_mm=None)


def diameter_tolerance(size: PipeSize) -> Tolerance:
    """Permitted deviation of the outside diameter of one size.

    Examples
    --------
    >>> from beadcheck.coupon.pipe_sizes import parse_pipe_size
    >>> diameter_tolerance(parse_pipe_size("NPS 8"))
    Tolerance(below_mm=0.8, above_mm=1.6)
    """
    for largest, below_mm, above_mm in _UP_TO_NPS:
        if size.nps_in <= largest:
            return Tolerance(below_mm=below_mm, above_mm=above_mm)
    msg = f"no tolerance is known for {size}"
    raise ValueError(msg)
