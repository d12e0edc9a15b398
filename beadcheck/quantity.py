"""A measured value that carries its uncertainty budget, or the reason why there is none."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from beadcheck.units import Unit

COVERAGE_FACTOR: Final = 2.0
"""k of every expanded uncertainty (GUM 6.3.3: about 95 % for a normal distribution)."""


class QuantityName(StrEnum):
    """What is measured; the values are the words of the result format."""

    WELD_WIDTH = "weld_width"
    CENTRELINE_DEVIATION = "centreline_deviation"
    TOE_WAVINESS = "toe_waviness"
    RIPPLE_SPACING = "ripple_spacing"
    PULSE_OVERLAP = "pulse_overlap"
    TRAVEL_SPEED = "travel_speed"
    FACE_REINFORCEMENT = "face_reinforcement"
    ROOT_REINFORCEMENT = "root_reinforcement"
    CONCAVITY = "concavity"
    CONCAVITY_LENGTH = "concavity_length"
    CONVEXITY = "convexity"
    UNDERCUT_DEPTH = "undercut_depth"
    UNDERCUT_LENGTH = "undercut_length"
    UNDERFILL = "underfill"
    UNDERFILL_LENGTH = "underfill_length"
    DEPTH_BELOW_SURFACE = "depth_below_surface"
    TOE_ANGLE = "toe_angle"
    ROOT_OPENING = "root_opening"
    ROOT_FACE = "root_face"
    LINEAR_MISALIGNMENT = "linear_misalignment"
    SECTION_AREA = "section_area"
    BEAD_WIDTH = "bead_width"
    GROOVE_OVERLAP = "groove_overlap"
    MEAN_CURRENT = "mean_current"
    MEAN_POWER = "mean_power"
    ARC_ENERGY = "arc_energy"
    HEAT_INPUT = "heat_input"
    PULSE_RATE = "pulse_rate"


LENGTH_OF: Final[Mapping[QuantityName, QuantityName]] = MappingProxyType(
    {
        QuantityName.UNDERCUT_DEPTH: QuantityName.UNDERCUT_LENGTH,
        QuantityName.UNDERFILL: QuantityName.UNDERFILL_LENGTH,
        QuantityName.CONCAVITY: QuantityName.CONCAVITY_LENGTH,
    }
)
"""How long along the weld a depth is there, by the depth: what a length clause asks for."""


class Statistic(StrEnum):
    """Which summary of the stations a value is."""

    MEAN = "mean"
    SD = "sd"
    MIN = "min"
    MAX = "max"
    TOTAL = "total"


class Side(StrEnum):
    """Which toe, seen facing growing s."""

    LEFT = "left"
    RIGHT = "right"


class Scope(StrEnum):
    """What an effect is common to, hence what averaging may shrink.

    `STATION` effects differ from station to station and shrink in a mean; `PHOTO` effects are
    the same all over one photo; `PRINT` effects are the same for every photo of one printed target;
    `DEFINITION` effects come from what the quantity is taken to mean.
    """

    STATION = "station"
    PHOTO = "photo"
    PRINT = "print"
    DEFINITION = "definition"


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One line of an uncertainty budget.

    `standard_uncertainty` is in the unit of the value that carries it.
    """

    source: str
    standard_uncertainty: float
    scope: Scope

    def __post_init__(self) -> None:
        if not self.standard_uncertainty >= 0.0:
            msg = f"standard uncertainty of {self.source!r} must be 0 or more"
            raise ValueError(msg)

    def times(self, sensitivity: float) -> "Component":
        """Return the same effect, seen through a sensitivity coefficient."""
        return Component(
            source=self.source,
            standard_uncertainty=self.standard_uncertainty * abs(sensitivity),
            scope=self.scope,
        )


def combined_standard_uncertainty(budget: Iterable[Component]) -> float:
    """Root sum of squares of independent effects (GUM 5.1.2).

    Examples
    --------
    >>> three = Component(source="a", standard_uncertainty=3.0, scope=Scope.PHOTO)
    >>> four = Component(source="b", standard_uncertainty=4.0, scope=Scope.PRINT)
    >>> combined_standard_uncertainty([three, four])
    5.0
    """
    return math.hypot(*(component.standard_uncertainty for component in budget))


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A measured value with its budget.

    Attributes
    ----------
    count
        Number of independent readings (stations, spacings) behind the value.
    s_range_mm
        First and last station that it covers, along the weld.
    """

    name: QuantityName
    statistic: Statistic
    value: float
    unit: Unit
    count: int
    budget: tuple[Component, ...]
    s_range_mm: tuple[float, float]
    side: Side | None = None

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            msg = f"{self.name} is {self.value}: say NotMeasured instead"
            raise ValueError(msg)

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty, in the unit of the value."""
        return combined_standard_uncertainty(self.budget)

    @property
    def expanded_uncertainty(self) -> float:
        """Expanded uncertainty at `COVERAGE_FACTOR`, in the unit of the value."""
        return COVERAGE_FACTOR * self.standard_uncertainty

    def with_components(self, *components: Component) -> "Quantity":
        """Return the same value with further effects in its budget."""
        return replace(self, budget=(*self.budget, *components))


@dataclass(frozen=True, slots=True, kw_only=True)
class NotMeasured:
    """A quantity that this photo cannot give: why, and how to get it."""

    name: QuantityName
    reason: str
    how_to: str
