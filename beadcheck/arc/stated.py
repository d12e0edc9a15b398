"""Numbers that a person states: from a panel, a rule or a watch, and how sure they are."""

import math
from dataclasses import dataclass
from typing import Final

from beadcheck.arc.reading import Effect, Reading
from beadcheck.coupon import PulseTimes
from beadcheck.errors.arc import ArcValueBeyondReachError
from beadcheck.quantity import COVERAGE_FACTOR, Scope
from beadcheck.units import Unit

PULSE_TIMES: Final = 0.01
"""Half width of the pulse times as set on the machine, relative, rectangular (our estimate, no
published source)."""

LOAD_LINE_V_PER_A: Final = 0.04
"""By how much arc volts follow the current in GTAW: slope of the conventional load line 10 V + 0.04
I of IEC 60974-1 (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """A kind of stated number.

    Attributes
    ----------
    lowest, highest
        What can be at all, in the unit; beyond that it is a slip.
    half_width, relative_half_width
        Doubt where the person states none, rectangular: in the unit, and as a ratio of the value.
        Our estimates, no published source.
    """

    what: str
    unit: Unit
    lowest: float
    highest: float
    half_width: float = 0.0
    relative_half_width: float = 0.0

    def reading(self, value: float, expanded_uncertainty: float | None = None) -> Reading:
        """Reading of a number with its stated U (k = 2), or with the doubt usual for its kind.

        Raises
        ------
        ArcValueBeyondReachError
            If the number is beyond what can be.
        """
        if not self.lowest <= value <= self.highest:
            raise ArcValueBeyondReachError(
                f"A {self.what}", value, self.unit.value, self.lowest, self.highest
            )
        if expanded_uncertainty is None:
            swing = (self.half_width + self.relative_half_width * value) / math.sqrt(3.0)
        else:
            swing = expanded_uncertainty / COVERAGE_FACTOR
        effect = Effect(source=f"{self.what} as stated", swing=swing, scope=Scope.PHOTO)
        return Reading(value=value, unit=self.unit, effects=(effect,))


def _current(what: str) -> Stated:
    return Stated(what=what, unit=Unit.AMPERE, lowest=1.0, highest=1000.0, relative_half_width=0.05)


def _volts(what: str) -> Stated:
    # Two 10 m cables of 50 mm2 copper take 0.7 V at 100 A, which a panel may count as the arc's.
    return Stated(what=what, unit=Unit.VOLT, lowest=1.0, highest=100.0, half_width=1.0)


CURRENT: Final = _current("welding current")
PEAK_CURRENT: Final = _current("peak current")
BACKGROUND_CURRENT: Final = _current("background current")
BACKGROUND_PERCENT: Final = Stated(
    what="background percentage", unit=Unit.PERCENT, lowest=1.0, highest=99.0, half_width=0.5
)
VOLTS: Final = _volts("arc voltage")
PEAK_VOLTS: Final = _volts("voltage on the peak")
BACKGROUND_VOLTS: Final = _volts("voltage on the background")
POWER: Final = Stated(
    what="mean power", unit=Unit.WATT, lowest=1.0, highest=100_000.0, relative_half_width=0.05
)
ENERGY: Final = Stated(
    what="counted energy", unit=Unit.KJ, lowest=0.01, highest=100_000.0, relative_half_width=0.05
)
RUN_LENGTH: Final = Stated(
    what="run length", unit=Unit.MM, lowest=1.0, highest=10_000.0, half_width=1.0
)
ARC_TIME: Final = Stated(what="arc time", unit=Unit.S, lowest=1.0, highest=3600.0, half_width=0.5)
"""A watch started and stopped by hand."""
TRAVEL_SPEED: Final = Stated(
    what="travel speed", unit=Unit.MM_PER_S, lowest=0.05, highest=500.0, relative_half_width=0.05
)
SPACING: Final = Stated(
    what="ripple spacing", unit=Unit.MM, lowest=0.05, highest=50.0, half_width=0.1
)
SPOT: Final = Stated(what="spot length", unit=Unit.MM, lowest=0.1, highest=50.0, half_width=0.25)


def time_readings(times: PulseTimes) -> tuple[Reading, Reading]:
    """Peak and background time; one clock makes both, so its doubt is one cause."""
    peak, background = (
        Reading(
            value=time_s,
            unit=Unit.S,
            effects=(
                Effect(
                    source="pulse times as set",
                    swing=time_s * PULSE_TIMES / math.sqrt(3.0),
                    scope=Scope.PHOTO,
                ),
            ),
        )
        for time_s in (times.peak_s, times.background_s)
    )
    return peak, background


def of_one_voltage(volts: Reading, peak: Reading, background: Reading) -> tuple[Reading, Reading]:
    """Volts of peak and background where a panel shows one number for both.

    The arc's volts follow its current along `LOAD_LINE_V_PER_A` at most, and the number stands
    somewhere between both levels: each may be off by half of their difference.
    """
    half_width = 0.5 * LOAD_LINE_V_PER_A * abs(peak.value - background.value)
    swing = half_width / math.sqrt(3.0)
    on_peak, on_background = (
        Reading(
            value=volts.value,
            unit=volts.unit,
            effects=(
                *volts.effects,
                Effect(source=f"one voltage stated, {level}", swing=swing, scope=Scope.DEFINITION),
            ),
        )
        for level in ("on the peak", "on the background")
    )
    return on_peak, on_background
