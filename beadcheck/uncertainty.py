"""Effects that all quantities of one photo share: above all, the scale."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from beadcheck.quantity import Component, Quantity, QuantityName
from beadcheck.surface import Points, Surface
from beadcheck.toes import Toes
from beadcheck.units import Unit

_ALONG: Final = frozenset(
    {
        QuantityName.RIPPLE_SPACING,
        QuantityName.TRAVEL_SPEED,
        QuantityName.ARC_ENERGY,
        QuantityName.HEAT_INPUT,
    }
)
"""Proportional to a length along the weld, or to one over it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleEffects:
    """Relative standard uncertainties of lengths in one photo, across the weld and along it."""

    across: tuple[Component, ...]
    along: tuple[Component, ...]

    def applied_to(self, quantity: Quantity) -> Quantity:
        """Return the quantity with scale in its budget.

        A ratio of two lengths of one photo keeps its budget: their common scale cancels.
        """
        if quantity.unit is Unit.RATIO:
            return quantity
        runs_along = quantity.name in _ALONG
        relative = self.along if runs_along else self.across
        return quantity.with_components(*(c.times(quantity.value) for c in relative))


def scale_effects(surface: Surface, toes: Toes) -> ScaleEffects:
    """Scale of this photo where the weld lies."""
    return scale_between(surface, toes.left_mm[toes.steady], toes.right_mm[toes.steady])


def scale_between(surface: Surface, left_mm: Points, right_mm: Points) -> ScaleEffects:
    """Scale of this photo between two lines along the weld, (N, 2) each."""
    ends = 0.5 * (left_mm + right_mm)[[0, -1]]
    return ScaleEffects(
        across=_relative(surface, left_mm, right_mm),
        along=_relative(surface, ends[:1], ends[1:]),
    )


def _relative(surface: Surface, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
    length_mm = float(np.hypot(*(end_mm - start_mm).T).mean())
    return tuple(
        replace(component, standard_uncertainty=component.standard_uncertainty / length_mm)
        for component in surface.distance_components(start_mm, end_mm)
    )
