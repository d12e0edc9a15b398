"""What is known of the run: measured, set, allowed, looked at."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from beadcheck.arc import ArcSettings, Effect, PulsedArc, Reading, SteadyArc, Unanswered
from beadcheck.arc.known import travel_speed
from beadcheck.coupon import (
    Coupon,
    Position,
    Process,
    PulseTimes,
    TorchMotion,
    Weave,
    WeldPass,
)
from beadcheck.indications import CandidateKind
from beadcheck.limits import Check
from beadcheck.quantity import Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.units import Unit, wrapped_degrees

AIMED_OVERLAP_RATIO: Final = 0.75
"""Where nobody says what is wanted: published start for pulsed arc seams (article on arc pulsing,
verified in public text)."""
OVERHEAD_DEG: Final = 45.0
"""Within this of 6 o'clock a fixed pipe is welded overhead (common practice, no published
source)."""
DEG_PER_HOUR: Final = 30.0


class StatedBy(StrEnum):
    """Who states a range of current."""

    PROCEDURE = "procedure"
    ELECTRODE = "electrode"


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentRange:
    """Currents that the procedure or the electrode allows, in ampere; of the peak, where pulsed.

    Advice never leaves it: the procedure wins.
    """

    lowest_a: float
    highest_a: float
    stated_by: StatedBy = StatedBy.PROCEDURE

    def __post_init__(self) -> None:
        if not 0.0 < self.lowest_a <= self.highest_a:
            msg = "a range of current goes from above 0 A up to no less than its beginning"
            raise ValueError(msg)

    def nearest_a(self, current_a: float) -> float:
        """Current of the range that is nearest to this one, in ampere."""
        return min(max(current_a, self.lowest_a), self.highest_a)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """A place that a photo shows as worth a look."""

    kind: CandidateKind
    side: Side | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where along the weld a greatest or least value was read.

    `clock_deg` is None on plate, and where no 12 o'clock mark was seen.
    """

    name: QuantityName
    statistic: Statistic
    side: Side | None = None
    s_mm: float
    clock_deg: float | None = None

    @property
    def words(self) -> str:
        """Place as the end of a sentence.

        Examples
        --------
        >>> at = {"name": QuantityName.UNDERFILL, "statistic": Statistic.MAX, "s_mm": 41.6}
        >>> Place(**at).words
        ', 42 mm along the weld'
        >>> Place(**at, clock_deg=188.0).words
        ", near 6:30 o'clock"
        """
        if self.clock_deg is None:
            return f", {self.s_mm:.0f} mm along the weld"
        half_hours = round(2.0 * wrapped_degrees(self.clock_deg) / DEG_PER_HOUR) % 24
        hour, half = divmod(half_hours, 2)
        return f", near {hour or 12}{':30' if half else ''} o'clock"

    def is_overhead(self, position: Position | None) -> bool:
        """Whether a pipe fixed in this position is welded overhead here."""
        if position not in {Position.FIXED_HORIZONTAL, Position.FIXED_INCLINED}:
            return False
        if self.clock_deg is None:
            return False
        return abs(wrapped_degrees(self.clock_deg) - 180.0) <= OVERHEAD_DEG


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Everything that advice may follow from."""

    quantities: tuple[Quantity, ...]
    checks: tuple[Check, ...]
    coupon: Coupon
    settings: ArcSettings = field(default_factory=ArcSettings)
    allowed: CurrentRange | None = None
    looked_at: tuple[LookedAt, ...] = ()
    places: tuple[Place, ...] = ()

    @property
    def process(self) -> Process | None:
        """Process of the pass."""
        return self.coupon.process or self.settings.process

    @property
    def is_pulsed(self) -> bool:
        """Whether the current pulses."""
        return self.process is Process.GTAW_PULSED

    @property
    def steps_show(self) -> bool:
        """Whether ripples on the middle line are as far apart as the steps of the pool.

        They are not where the pauses alternate between the edges.
        """
        return self.settings.weave is not Weave.ALTERNATING

    @property
    def weld_pass(self) -> WeldPass:
        """Pass; one that is not given is taken as the cap."""
        return self.coupon.weld_pass or WeldPass.CAP

    @property
    def times(self) -> PulseTimes | None:
        """Pulse times, where the welder has confirmed that they are seconds."""
        return self.coupon.pulse or self.settings.times

    @property
    def motion(self) -> TorchMotion:
        """How the torch goes along; it steps, unless something else is said."""
        return self.settings.motion or TorchMotion.STEPPED

    @property
    def set_current_a(self) -> float | None:
        """Current as set, of the peak where it pulses, in ampere; None where nobody said it."""
        match self.settings.arc:
            case PulsedArc(peak=peak):
                return peak.current.value
            case SteadyArc(current=current):
                return current.value
            case _:
                # Power or energy alone tell no current.
                return None

    @property
    def outside_of_range(self) -> str:
        """Says that the current as set is not one that is allowed; else empty."""
        now, allowed = self.set_current_a, self.allowed
        if now is None or allowed is None or allowed.nearest_a(now) == now:
            return ""
        what = "peak current" if isinstance(self.settings.arc, PulsedArc) else "current"
        return (
            f"The {what} of {now:g} A is not within the {allowed.lowest_a:g} to "
            f"{allowed.highest_a:g} A that the {allowed.stated_by} sets: bring it back first."
        )

    @property
    def aimed_overlap_ratio(self) -> float:
        """Overlap to be reached."""
        wanted = self.settings.wanted_overlap_ratio
        return AIMED_OVERLAP_RATIO if wanted is None else wanted

    def one(
        self, name: QuantityName, statistic: Statistic, side: Side | None = None
    ) -> Quantity | None:
        """Quantity of this name, statistic and side, if it was measured."""
        for quantity in self.quantities:
            if (quantity.name, quantity.statistic, quantity.side) == (name, statistic, side):
                return quantity
        return None

    @property
    def travel_speed(self) -> Reading | None:
        """Travel speed in mm/s, as measured, else as it follows from what the welder said."""
        speed = self.one(QuantityName.TRAVEL_SPEED, Statistic.MEAN)
        if speed is None or speed.unit is not Unit.MM_PER_S:
            stated = travel_speed(self.settings)
            return None if isinstance(stated, Unanswered) else stated
        effect = Effect(
            source="travel speed as measured", swing=speed.standard_uncertainty, scope=Scope.PHOTO
        )
        return Reading(value=speed.value, unit=speed.unit, effects=(effect,))

    def place_of(self, name: QuantityName, statistic: Statistic, side: Side | None) -> Place | None:
        """Where this value was read, if that is known."""
        for place in self.places:
            if (place.name, place.statistic, place.side) == (name, statistic, side):
                return place
        return None


def surely(quantity: Quantity) -> float:
    """Value less its expanded uncertainty."""
    return quantity.value - quantity.expanded_uncertainty


def at_most(quantity: Quantity) -> float:
    """Value with its expanded uncertainty added."""
    return quantity.value + quantity.expanded_uncertainty


def value_words(value: float, unit: Unit, decimals: int = 1) -> str:
    """Value with its unit, as advice says it: a photo without a target has pixels.

    Examples
    --------
    >>> value_words(0.234, Unit.RATIO)
    '23 %'
    >>> value_words(9.87, Unit.MM)
    '9.9 mm'
    """
    match unit:
        case Unit.RATIO:
            return f"{100.0 * value:.0f} %"
        case Unit.DEG:
            return f"{value:.0f}°"
        case Unit.PX:
            return f"{value:.0f} {unit}"
        case Unit.KJ_PER_MM:
            return f"{value:.2f} {unit}"
        case _:
            return f"{value:.{decimals}f} {unit}"


def words_of(quantity: Quantity, decimals: int = 1) -> str:
    """Value of a quantity with its unit."""
    return value_words(quantity.value, quantity.unit, decimals)
