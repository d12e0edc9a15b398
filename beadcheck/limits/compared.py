"""What a limit is compared with, picked from the quantities of a photo."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from beadcheck.limits.limit import Limit
from beadcheck.quantity import LENGTH_OF, Quantity, QuantityName, Scope, Side, Statistic


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a limit is compared with."""

    value: float
    standard_uncertainty: float
    count: int
    side: Side | None


def mean_width(quantities: Sequence[Quantity]) -> Quantity | None:
    """Mean weld width among the quantities; None where it was not measured."""
    for quantity in quantities:
        if quantity.name is QuantityName.WELD_WIDTH and quantity.statistic is Statistic.MEAN:
            return quantity
    return None


def readings_of(limit: Limit, quantities: Sequence[Quantity]) -> list[Reading]:
    """Every measured value of the limited quantity: one, or one for each side."""
    named = [
        quantity
        for quantity in quantities
        if quantity.name is limit.quantity and quantity.unit is limit.unit
    ]
    chosen = [quantity for quantity in named if quantity.statistic is limit.statistic]
    if limit.relative_to is None:
        return [
            Reading(
                value=quantity.value,
                standard_uncertainty=quantity.standard_uncertainty,
                count=quantity.count,
                side=quantity.side,
            )
            for quantity in chosen
        ]
    references = {
        quantity.side: quantity for quantity in named if quantity.statistic is limit.relative_to
    }
    return [
        Reading(
            value=abs(quantity.value - references[quantity.side].value),
            standard_uncertainty=difference_uncertainty(quantity, references[quantity.side]),
            count=quantity.count,
            side=quantity.side,
        )
        for quantity in chosen
        if quantity.side in references
    ]


def difference_uncertainty(first: Quantity, second: Quantity) -> float:
    """Standard uncertainty of the difference of two statistics of one photo.

    Effects that the whole photo shares (scale, definition of the toe) move both alike, so they
    subtract (GUM 5.2.2, correlation 1); those of single stations are independent.
    """
    shared: dict[tuple[str, Scope], list[float]] = defaultdict(lambda: [0.0, 0.0])
    variance = 0.0
    for index, quantity in enumerate((first, second)):
        for component in quantity.budget:
            if component.scope is Scope.STATION:
                variance += component.standard_uncertainty**2
            else:
                key = (component.source, component.scope)
                shared[key][index] = math.hypot(shared[key][index], component.standard_uncertainty)
    variance += sum((one - other) ** 2 for one, other in shared.values())
    return math.sqrt(variance)


def lengths_of(limit: Limit, quantities: Sequence[Quantity], side: Side | None) -> list[Quantity]:
    """Lengths along the weld of what is limited, longest and total, at one toe where it has any."""
    name = LENGTH_OF.get(limit.quantity)
    return [each for each in quantities if each.name is name and each.side is side]
