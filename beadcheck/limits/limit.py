"""One limit with its source, and a set of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits.decision import DecisionRule, Sense
from beadcheck.limits.printed import Judging, LengthSystem
from beadcheck.limits.stretches import Stretches
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

_OTHER_UNITS: Final = {
    QuantityName.TOE_ANGLE: Unit.DEG,
    QuantityName.PULSE_OVERLAP: Unit.RATIO,
    QuantityName.TRAVEL_SPEED: Unit.MM_PER_S,
    QuantityName.SECTION_AREA: Unit.MM2,
    QuantityName.MEAN_CURRENT: Unit.AMPERE,
    QuantityName.MEAN_POWER: Unit.WATT,
    QuantityName.ARC_ENERGY: Unit.KJ_PER_MM,
    QuantityName.HEAT_INPUT: Unit.KJ_PER_MM,
    QuantityName.PULSE_RATE: Unit.HERTZ,
}


SIGNED: Final = frozenset({QuantityName.FACE_REINFORCEMENT, QuantityName.ROOT_REINFORCEMENT})
"""Heights that may lie below zero; every other length is zero where there is nothing."""
SCOPE_FROM_MM: Final = 0.5
"""ISO 5817 begins at this thickness, and thinner metal is not welded by hand: a limit that holds
from here on asks for no thickness."""


class Verified(StrEnum):
    """How the number of a limit was verified, from surely to not at all."""

    PUBLIC_TEXT = "verified in public text"
    SECONDARY = "verified in a secondary page only"
    MEMORY = "from memory"
    PRACTICE = "common practice, no published source"
    OWN = "the user's own"


class Obligation(StrEnum):
    """Whether the source demands the limit or recommends it."""

    SHALL = "shall"
    SHOULD = "should"


class Family(StrEnum):
    """Whose limits a set holds, so that lists of many sets stay short."""

    PRACTICE = "practice coupons"
    ISO = "ISO and EN"
    ASME = "ASME"
    API = "API"
    AWS = "AWS"
    OWN = "your own"


def limit_unit(quantity: QuantityName) -> Unit:
    """Unit in which limits of a quantity are given."""
    return _OTHER_UNITS.get(quantity, Unit.MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Thicknesses or weld widths that a limit holds for.

    From or over one value, up to and with another or below it.
    """

    from_mm: float | None = None
    over_mm: float | None = None
    to_mm: float | None = None
    below_mm: float | None = None

    def __contains__(self, size_mm: float) -> bool:
        return (
            (self.from_mm is None or size_mm >= self.from_mm)
            and (self.over_mm is None or size_mm > self.over_mm)
            and (self.to_mm is None or size_mm <= self.to_mm)
            and (self.below_mm is None or size_mm < self.below_mm)
        )

    @property
    def bounded(self) -> bool:
        """Whether a size must be known to tell if the limit holds."""
        above = self.over_mm is not None or (self.from_mm or 0.0) > SCOPE_FROM_MM
        return above or self.to_mm is not None or self.below_mm is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit of one quantity.

    Its value is ``constant + per_weld_width * width + per_thickness * thickness``, but no less
    than ``no_less_than`` and no more than ``no_more_than``, in `unit`.

    Attributes
    ----------
    lowest
        The lower of two limits, for the sense "between", of which the formula is the upper.
    relative_to
        With a statistic here, the distance between the two statistics is limited: evenness.
    passes, processes, shapes
        What the limit holds for; all, where empty.
    thicknesses, widths
        Wall thicknesses, and weld widths, that it holds for.
    stretches
        Permitted on stretches of limited length only, so that a depth alone decides nothing.
    imperfections
        Numbers of ISO 6520-1, by which other sets take it over.
    printed
        The limit as the source prints it, where it gives inches too; never converted.
    system, other
        Whose numbers these are, and the same limit by those that the source prints in the other
        system of units, where it prints both.
    """

    quantity: QuantityName
    statistic: Statistic
    sense: Sense
    unit: Unit
    constant: float
    source: str
    verified: Verified
    lowest: float | None = None
    relative_to: Statistic | None = None
    per_weld_width: float = 0.0
    per_thickness: float = 0.0
    no_less_than: float | None = None
    no_more_than: float | None = None
    thicknesses: Sizes = Sizes()
    widths: Sizes = Sizes()
    passes: tuple[WeldPass, ...] = ()
    processes: tuple[Process, ...] = ()
    shapes: tuple[Shape, ...] = ()
    stretches: Stretches | None = None
    imperfections: tuple[str, ...] = ()
    obligation: Obligation = Obligation.SHALL
    printed: str = ""
    note: str = ""
    system: LengthSystem = LengthSystem.MM
    other: "Limit | None" = None

    @property
    def statistic_words(self) -> str:
        """What is compared, such as "max" or "max - mean"."""
        if self.relative_to is None:
            return self.statistic.value
        high, low = self.statistic, self.relative_to
        if high is Statistic.MIN:
            high, low = low, high
        return f"{high.value} - {low.value}"

    @property
    def needs_width(self) -> bool:
        """Whether the limit's value, or which limit holds, depends on the measured weld width."""
        return self.widths.bounded or self.per_weld_width != 0.0

    @property
    def needs_thickness(self) -> bool:
        """Whether the limit's value, or which limit holds, depends on the wall thickness."""
        by_length = self.stretches is not None and self.stretches.over_per_thickness is not None
        return self.thicknesses.bounded or by_length or self.per_thickness != 0.0

    def in_system(self, system: LengthSystem) -> "Limit":
        """Return the limit by the numbers that are printed in this system, if there are any."""
        if self.other is None or self.system is system:
            return self
        return replace(self.other, other=replace(self, other=None))

    def forbids_any(self, limit_value: float) -> bool:
        """Tell whether, at this value, nothing at all is permitted: that can never be proved."""
        return (
            limit_value <= 0.0
            and self.sense is Sense.AT_MOST
            and self.unit is Unit.MM
            and self.relative_to is None
            and self.quantity not in SIGNED
        )

    def holds_for(self, coupon: Coupon) -> bool:
        """Tell whether the limit is meant for this coupon and pass.

        A pass that is not given is taken as the cap; an unknown process or thickness rules nothing
        out.
        """
        weld_pass = coupon.weld_pass or WeldPass.CAP
        if self.passes and weld_pass not in self.passes:
            return False
        if self.shapes and coupon.shape not in self.shapes:
            return False
        if self.processes and coupon.process is not None and coupon.process not in self.processes:
            return False
        thickness_mm = coupon.wall_thickness_mm
        return thickness_mm is None or thickness_mm in self.thicknesses

    def at(self, *, width_mm: float, thickness_mm: float) -> float:
        """Value of the limit, in `unit`.

        A width or thickness that it does not depend on may be 0.
        """
        value = self.constant + self.per_weld_width * width_mm + self.per_thickness * thickness_mm
        if self.no_less_than is not None:
            value = max(value, self.no_less_than)
        return value if self.no_more_than is None else min(value, self.no_more_than)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """Limits that belong together, and the rule by which they are judged.

    Attributes
    ----------
    name
        By which it is chosen: a shipped set's name, or a file's.
    look_for
        What is asked of a pass besides, in words: it has no number, or shows in no photo.
    system
        Whose printed numbers are compared with.
    """

    name: str
    title: str
    source: str
    edition: str
    limits: tuple[Limit, ...]
    family: Family = Family.OWN
    rule: DecisionRule = DecisionRule.FULL
    note: str = ""
    look_for: Mapping[WeldPass, str] = field(default_factory=dict)
    system: LengthSystem = LengthSystem.MM

    def judged(self, judging: Judging) -> "LimitSet":
        """Return the same limits, judged as asked."""
        return replace(self, rule=judging.rule or self.rule, system=judging.system)

    @property
    def without_lengths(self) -> "LimitSet":
        """The limits that a photo without scale can be compared with: ratios alone."""
        return replace(self, limits=tuple(each for each in self.limits if each.unit is Unit.RATIO))
