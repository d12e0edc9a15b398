"""What several takes of one coupon say together."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from beadcheck.quantity import (
    LENGTH_OF,
    Component,
    Quantity,
    QuantityName,
    Scope,
    Statistic,
)

HEIGHTS: Final = frozenset(
    {
        QuantityName.FACE_REINFORCEMENT,
        QuantityName.ROOT_REINFORCEMENT,
        QuantityName.CONCAVITY,
        QuantityName.CONVEXITY,
        QuantityName.UNDERCUT_DEPTH,
        QuantityName.UNDERFILL,
        QuantityName.DEPTH_BELOW_SURFACE,
        QuantityName.TOE_ANGLE,
        QuantityName.LINEAR_MISALIGNMENT,
        QuantityName.SECTION_AREA,
        *LENGTH_OF.values(),
    }
)
"""What a photo from above alone does not show."""

BETWEEN_SECTIONS: Final = "few sections of the weld"
PICKED: Final = "picking the extreme section"


def mean_width(widths: Sequence[Quantity]) -> Quantity | None:
    """Mean weld width of the coupon from those of its photos; None where no photo gives one."""
    if not widths:
        return None
    return _mean(widths)


def coupon_quantities(takes: Sequence[Sequence[Quantity]]) -> tuple[Quantity, ...]:
    """Mean, least and greatest of every height that two takes or more give.

    Left and right toe are taken together: what is left in one photo may be right in another.
    """
    found: list[Quantity] = []
    for name in QuantityName:
        # How long something runs through several photos is told by their sections together.
        if name not in HEIGHTS or name in LENGTH_OF.values():
            continue
        for statistic in (Statistic.MEAN, Statistic.MIN, Statistic.MAX):
            alike = [
                [q for q in quantities if q.name is name and q.statistic is statistic]
                for quantities in takes
            ]
            if sum(map(bool, alike)) > 1:
                every = [quantity for of_take in alike for quantity in of_take]
                found.append(_mean(every) if statistic is Statistic.MEAN else extreme(every))
    return tuple(found)


def _mean(alike: Sequence[Quantity]) -> Quantity:
    """Mean over all readings; what takes share by name (scale, step, definition) stays whole.

    Takes that differ more than by chance show places that differ: so few of them are a sample.
    """
    counts = [max(1, quantity.count) for quantity in alike]
    weights = [count / sum(counts) for count in counts]
    value = sum(w * q.value for w, q in zip(weights, alike, strict=True))
    shared: dict[tuple[str, Scope], float] = defaultdict(float)
    for weight, quantity in zip(weights, alike, strict=True):
        own: dict[tuple[str, Scope], float] = defaultdict(float)
        for component in quantity.budget:
            key = (component.source, component.scope)
            own[key] = math.hypot(own[key], weight * component.standard_uncertainty)
        for key, u in own.items():
            station = key[1] is Scope.STATION
            shared[key] = math.hypot(shared[key], u) if station else shared[key] + u
    budget = [
        Component(source=source, standard_uncertainty=u, scope=scope)
        for (source, scope), u in shared.items()
    ]
    if len(alike) > 1:
        between = _spread(q.value for q in alike) / math.sqrt(len(alike))
        budget.append(
            Component(source=BETWEEN_SECTIONS, standard_uncertainty=between, scope=Scope.STATION)
        )
    return replace(
        alike[0],
        value=value,
        count=sum(q.count for q in alike),
        budget=tuple(budget),
        s_range_mm=_range(alike),
        side=None,
    )


def extreme(alike: Sequence[Quantity]) -> Quantity:
    """Least or greatest, of no side; where it is one of several, chance picks it too."""
    if len(alike) == 1:
        return replace(alike[0], side=None)
    greatest = alike[0].statistic is Statistic.MAX
    found = (max if greatest else min)(alike, key=lambda quantity: quantity.value)
    noise = math.hypot(*(c.standard_uncertainty for c in found.budget if c.scope is Scope.STATION))
    # As for the extreme of many stations (`measurements.width`): two noise variances over spread.
    drawn_out = 2.0 * noise**2 / max(_spread(q.value for q in alike), noise, 1e-6)
    picked = Component(
        source=PICKED, standard_uncertainty=drawn_out / math.sqrt(3.0), scope=Scope.STATION
    )
    return replace(
        found.with_components(picked),
        count=sum(q.count for q in alike),
        s_range_mm=_range(alike),
        side=None,
    )


def _spread(values: Iterable[float]) -> float:
    """Standard deviation of two values or more."""
    known = tuple(values)
    middle = sum(known) / len(known)
    return math.sqrt(sum((value - middle) ** 2 for value in known) / (len(known) - 1))


def _range(alike: Sequence[Quantity]) -> tuple[float, float]:
    return min(q.s_range_mm[0] for q in alike), max(q.s_range_mm[1] for q in alike)
