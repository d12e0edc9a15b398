"""How long a printed millimetre is."""

import math
from typing import Final

from beadcheck.errors.surface import CheckBarError
from beadcheck.surface.contract import PrintScale
from beadcheck.target.design import TargetDesign

UNVERIFIED_HALF_WIDTH: Final = 0.01
"""Printers that scale to fit are off by up to a percent where nobody looked; rectangular."""
RULE_HALF_WIDTH_MM: Final = 0.25
"""Reading a steel rule with 0.5 mm divisions; rectangular."""
WIDEST_DEPARTURE: Final = 0.2
"""Beyond a fifth the sheet was scaled to another paper size, or the wrong line was measured."""


def print_scale(design: TargetDesign, measured_bar_mm: float | None) -> PrintScale:
    """Print scale of a target, from the length of its check bar as measured with a rule.

    Parameters
    ----------
    measured_bar_mm
        None where nobody measured it.

    Raises
    ------
    CheckBarError
        The target has no check bar, or the length cannot be one of it.
    """
    if measured_bar_mm is None:
        return PrintScale(ratio=1.0, u_ratio=UNVERIFIED_HALF_WIDTH / math.sqrt(3.0))
    nominal_mm = design.check_bar_mm
    if nominal_mm is None:
        raise CheckBarError(measured_bar_mm, design.name, None)
    ratio = measured_bar_mm / nominal_mm
    if not abs(ratio - 1.0) <= WIDEST_DEPARTURE:
        raise CheckBarError(measured_bar_mm, design.name, nominal_mm)
    u_ratio = RULE_HALF_WIDTH_MM / math.sqrt(3.0) / nominal_mm
    return PrintScale(ratio=ratio, u_ratio=u_ratio, bar_measured=True)
