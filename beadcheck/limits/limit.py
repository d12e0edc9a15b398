"""One limit with its source, and a set of them."""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.limits.decision import DecisionRule, Sense
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

_OTHER_UNITS: Final = {
    QuantityName.TOE_ANGLE: Unit.DEG,
    QuantityName.PULSE_OVERLAP: Unit.RATIO,
    QuantityName.TRAVEL_SPEED: Unit.MM_PER_S,
}


class Verified(StrEnum):
    """How the number of a limit was verified."""

    PUBLIC_TEXT = "verified in public text"
    SECONDARY = "verified in a secondary page only"
    MEMORY = "from memory"
    PRACTICE = "common practice, no published source"
    OWN = "the user's own"


class Obligation(StrEnum):
    """Whether the source demands the limit or recommends it."""

    SHALL = "shall"
    SHOULD = "should"


def limit_unit(quantity: QuantityName) -> Unit:
    """Unit in which limits of a quantity are given."""
    return _OTHER_UNITS.get(quantity, Unit.MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thicknesses:
    """Wall thicknesses that a limit holds for: from or over one value, up to and with another."""

    from_mm: float | None = None
    over_mm: float | None = None
    to_mm: float | None = None

    def __contains__(self, thickness_mm: float) -> bool:
        return (
            (self.from_mm is None or thickness_mm >= self.from_mm)
            and (self.over_mm is None or thickness_mm > self.over_mm)
            and (self.to_mm is None or thickness_mm <= self.to_mm)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit of one quantity.

    Its value is ``constant + per_weld_width * width + per_thickness * thickness``, but no more
    than ``no_more_than``, in `unit`.

    Attributes
    ----------
    relative_to
        With a statistic here, the distance between the two statistics is limited: evenness.
    passes, processes, shapes
        What the limit holds for; all, where empty.
    short_only
        Permitted on short stretches only, so a depth alone cannot be found within.
    printed
        The limit as the source prints it, where it gives a second unit; never converted.
    """

    quantity: QuantityName
    statistic: Statistic
    sense: Sense
    unit: Unit
    constant: float
    source: str
    verified: Verified
    relative_to: Statistic | None = None
    per_weld_width: float = 0.0
    per_thickness: float = 0.0
    no_more_than: float | None = None
    thicknesses: Thicknesses = Thicknesses()
    passes: tuple[WeldPass, ...] = ()
    processes: tuple[Process, ...] = ()
    shapes: tuple[Shape, ...] = ()
    short_only: bool = False
    obligation: Obligation = Obligation.SHALL
    printed: str = ""
    note: str = ""

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
        """Whether the limit's value depends on the measured weld width."""
        return self.per_weld_width != 0.0

    @property
    def needs_thickness(self) -> bool:
        """Whether the limit's value, or which limit holds, depends on the wall thickness."""
        bounded = self.thicknesses.over_mm is not None or self.thicknesses.to_mm is not None
        return bounded or self.per_thickness != 0.0

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
        return value if self.no_more_than is None else min(value, self.no_more_than)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """Limits that belong together, and the rule by which they are judged.

    Attributes
    ----------
    name
        By which it is chosen: a shipped set's name, or a file's.
    """

    name: str
    title: str
    source: str
    edition: str
    limits: tuple[Limit, ...]
    rule: DecisionRule = DecisionRule.FULL
    note: str = ""

    @property
    def without_lengths(self) -> "LimitSet":
        """The limits that a photo without scale can be compared with: ratios alone."""
        return replace(self, limits=tuple(each for each in self.limits if each.unit is Unit.RATIO))
