"""Root opening of a joint that is not welded yet, over its stations."""

import math
from typing import Final

import numpy as np

from beadcheck.fit_up import Opening
from beadcheck.measurements.over_stations import over_stations
from beadcheck.measurements.width import extreme_effects
from beadcheck.quantity import Component, NotMeasured, Quantity, QuantityName, Scope, Statistic

CORRELATION_MM: Final = 3.0
"""Length of a filed or ground edge over which burrs stay alike (an estimate)."""
DEFINITION_U_MM: Final = 0.06
"""What 'edge' means where it is broken or burred: up to 0.1 mm, rectangular, each side alone."""
LAND_UNSEEN: Final = NotMeasured(
    name=QuantityName.ROOT_FACE,
    reason="A photo from above looks along the lands, and does not show how high they stand.",
    how_to="Measure the root face with a gauge or a rule before the parts are set together.",
)


def shared_effects(opening: Opening) -> tuple[Component, ...]:
    """Return the effects, in mm, that every opening of one photo shares."""
    return (
        Component(
            source="lands seen askew",
            standard_uncertainty=opening.u_lands_mm,
            scope=Scope.PHOTO,
        ),
        Component(
            source="definition of the land's edge",
            standard_uncertainty=math.sqrt(2.0) * DEFINITION_U_MM,
            scope=Scope.DEFINITION,
        ),
    )


def opening_quantities(opening: Opening) -> tuple[Quantity, ...]:
    """Mean, spread, narrowest and widest opening over the stations where it is clear.

    Scale is not in the budgets yet: the surface adds it.
    """
    used = opening.sure
    gaps = opening.opening_mm[used]
    own_u = np.hypot(opening.u_left_mm, opening.u_right_mm)[used]
    noise = float(np.sqrt(np.mean(own_u**2)))
    independent = max(1.0, gaps.size / CORRELATION_MM)
    spread = float(gaps.std(ddof=1))
    shared = shared_effects(opening)
    found = [
        _quantity(
            opening,
            Statistic.MEAN,
            float(gaps.mean()),
            (_own("edges of the opening", noise / math.sqrt(independent)), *shared),
        ),
        _quantity(
            opening,
            Statistic.SD,
            spread,
            # All that the edges' own noise can have added, and the few places it was read at.
            (
                _own("edges of the opening", spread - math.sqrt(max(0.0, spread**2 - noise**2))),
                _own("number of places", spread / math.sqrt(2.0 * independent)),
            ),
        ),
    ]
    for statistic, at in (
        (Statistic.MIN, int(gaps.argmin())),
        (Statistic.MAX, int(gaps.argmax())),
    ):
        own = extreme_effects(float(own_u[at]), noise, spread)
        found.append(_quantity(opening, statistic, float(gaps[at]), (*own, *shared)))
    return tuple(found)


def _own(source: str, u_mm: float) -> Component:
    return Component(source=source, standard_uncertainty=u_mm, scope=Scope.STATION)


def _quantity(
    opening: Opening, statistic: Statistic, value: float, budget: tuple[Component, ...]
) -> Quantity:
    return over_stations(
        QuantityName.ROOT_OPENING,
        statistic,
        value_mm=value,
        s_mm=opening.s_mm[opening.sure],
        budget=budget,
    )
