"""How far a cap reaches past the edges of the groove it fills."""

import math
from typing import Final

from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.units import Unit

U_GROOVE_MM: Final = 0.5 / math.sqrt(3.0)
"""Standard uncertainty of the groove's width at the surface, as somebody measured it with a rule
before welding: half a millimetre, rectangular (an estimate)."""


def groove_overlap_quantities(
    mean_width: Quantity, groove_width_mm: float | None
) -> tuple[Quantity, ...]:
    """Mean overlap of both sides: half of what the cap is wider than the groove was.

    Which side has more of it cannot be told: the cap hides where the groove lay. Scale is not in
    the budget yet.
    """
    if groove_width_mm is None or mean_width.unit is not Unit.MM:
        return ()
    groove = Component(
        source="width of the groove as entered",
        standard_uncertainty=U_GROOVE_MM,
        scope=Scope.PHOTO,
    )
    return (
        Quantity(
            name=QuantityName.GROOVE_OVERLAP,
            statistic=Statistic.MEAN,
            value=0.5 * (mean_width.value - groove_width_mm),
            unit=Unit.MM,
            count=mean_width.count,
            budget=tuple(each.times(0.5) for each in (*mean_width.budget, groove)),
            s_range_mm=mean_width.s_range_mm,
        ),
    )
