"""One value of one section, with its budget."""

from collections.abc import Iterable
from dataclasses import dataclass

from beadcheck.measurements.profile.section import rectangular
from beadcheck.profiles import Profile
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    Component,
    QuantityName,
    Scope,
    Side,
    combined_standard_uncertainty,
)
from beadcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionValue:
    """A measured value of one section.

    Attributes
    ----------
    across_mm
        Where it was read; None where it belongs to no single place.
    falls
        Whether the right part lies lower, for a step whose size is the value.
    """

    name: QuantityName
    value: float
    unit: Unit
    budget: tuple[Component, ...]
    side: Side | None = None
    across_mm: float | None = None
    falls: bool = False

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty, in the unit of the value."""
        return combined_standard_uncertainty(self.budget)

    @property
    def expanded_uncertainty(self) -> float:
        """Expanded uncertainty at `COVERAGE_FACTOR`, in the unit of the value."""
        return COVERAGE_FACTOR * self.standard_uncertainty


def station(source: str, standard_uncertainty: float) -> Component:
    """Effect that differs from section to section."""
    return Component(source=source, standard_uncertainty=standard_uncertainty, scope=Scope.STATION)


def shared(source: str, standard_uncertainty: float) -> Component:
    """Effect that all sections of a take share."""
    return Component(source=source, standard_uncertainty=standard_uncertainty, scope=Scope.PHOTO)


def definition(source: str, half_width: float) -> Component:
    """Effect of what the quantity is taken to mean, within +- a half width."""
    return Component(
        source=source,
        standard_uncertainty=rectangular(half_width),
        scope=Scope.DEFINITION,
    )


def height_effects(profile: Profile, height_mm: float) -> tuple[Component, ...]:
    """Effects, in mm, of the profile's scale and form on a height above the levelled base."""
    return (*(each.times(height_mm) for each in profile.gain_budget), *profile.form_budget)


def nothing_below_zero(
    depth_mm: float, budget: Iterable[Component]
) -> tuple[float, tuple[Component, ...]]:
    """Depth that can only be zero or more, and its budget.

    A face that stands clear above the line has no depth, and that is known for sure; one that
    nearly touches it may have a little.
    """
    effects = tuple(budget)
    if depth_mm >= 0.0:
        return depth_mm, effects
    reach = COVERAGE_FACTOR * combined_standard_uncertainty(effects)
    left = max(0.0, depth_mm + reach) / reach if reach > 0.0 else 0.0
    return 0.0, tuple(each.times(left) for each in effects)
