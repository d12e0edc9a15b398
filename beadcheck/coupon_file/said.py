"""Numbers and settings of a pass as a coupon file says them, and what they mean."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from beadcheck.advice import CurrentRange
from beadcheck.arc import (
    Arc,
    ArcSettings,
    CountedEnergy,
    PulsedArc,
    Reading,
    ShownPower,
    SteadyArc,
    TravelOfRun,
    background_of,
)
from beadcheck.arc import stated as kinds
from beadcheck.coupon import PanelTimes, Process, PulseTimes, TimesAre, TorchMotion, Weave
from beadcheck.errors.arc import OverlapBeyondReachError
from beadcheck.errors.coupon_file import KeyNeedsKeyError, KeysContradictError


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberSaid:
    """A number, and its expanded uncertainty (k = 2) where it is said."""

    value: float
    expanded_uncertainty: float | None = None

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            msg = "a number must be finite"
            raise ValueError(msg)
        if self.expanded_uncertainty is not None and not 0.0 < self.expanded_uncertainty < math.inf:
            msg = "an uncertainty must be above 0"
            raise ValueError(msg)


NUMBERS: Final[Mapping[str, kinds.Stated]] = {
    "current_a": kinds.CURRENT,
    "volts": kinds.VOLTS,
    "peak_current_a": kinds.PEAK_CURRENT,
    "background_current_a": kinds.BACKGROUND_CURRENT,
    "background_percent": kinds.BACKGROUND_PERCENT,
    "peak_volts": kinds.PEAK_VOLTS,
    "background_volts": kinds.BACKGROUND_VOLTS,
    "power_w": kinds.POWER,
    "energy_kj": kinds.ENERGY,
    "run_length_mm": kinds.RUN_LENGTH,
    "arc_time_s": kinds.ARC_TIME,
}
"""What each key of a number counts."""
_OF_PULSES: Final = (
    "peak_current_a",
    "background_current_a",
    "background_percent",
    "peak_volts",
    "background_volts",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassSettings:
    """Arc and run as said; what is not said is None.

    Attributes
    ----------
    peak_time, background_time
        Numbers beside the pulse knobs; `times_are` tells whether they are seconds, and None that
        nobody has said so.

    Raises
    ------
    SettingError
        They contradict each other, or are beyond what can be.
    """

    current_a: NumberSaid | None = None
    volts: NumberSaid | None = None
    peak_current_a: NumberSaid | None = None
    background_current_a: NumberSaid | None = None
    background_percent: NumberSaid | None = None
    peak_volts: NumberSaid | None = None
    background_volts: NumberSaid | None = None
    power_w: NumberSaid | None = None
    energy_kj: NumberSaid | None = None
    run_length_mm: NumberSaid | None = None
    arc_time_s: NumberSaid | None = None
    peak_time: float | None = None
    background_time: float | None = None
    times_are: TimesAre | None = None
    motion: TorchMotion | None = None
    weave: Weave = Weave.NONE
    overlap_percent: float | None = None
    current_range: CurrentRange | None = None

    def __post_init__(self) -> None:
        # Whatever makes no sense is refused as it is said, not once it is used.
        _ = self.arc_settings
        _ = self.pulse

    @property
    def arc_settings(self) -> ArcSettings:
        """What the library is told; process and pulse times are the coupon's."""
        overlap = self.overlap_percent
        if overlap is not None and not 0.0 <= overlap < 100.0:
            raise OverlapBeyondReachError(overlap)
        return ArcSettings(
            arc=self._arc(),
            travel=self._travel(),
            motion=self.motion,
            weave=self.weave,
            wanted_overlap_ratio=None if overlap is None else overlap / 100.0,
        )

    @property
    def pulse(self) -> PulseTimes | PanelTimes | None:
        """Pulse times, in seconds where they are confirmed as seconds."""
        if self.peak_time is None and self.background_time is None:
            if self.times_are is not None:
                raise KeyNeedsKeyError("times_are", "peak_time and background_time")
            return None
        if self.peak_time is None:
            raise KeyNeedsKeyError("background_time", "peak_time")
        if self.background_time is None:
            raise KeyNeedsKeyError("peak_time", "background_time")
        panel = PanelTimes(
            peak=self.peak_time, background=self.background_time, times_are=self.times_are
        )
        return panel.confirmed(TimesAre.SECONDS) if self.times_are is TimesAre.SECONDS else panel

    def refuse_unfit(self, process: Process | None) -> None:
        """Refuse what the process of the pass cannot have.

        Raises
        ------
        KeysContradictError
        """
        said = f'process = "{process}"'
        if process is Process.GTAW_PULSED and self.current_a is not None:
            why = "a pulsed arc has a peak and a background current"
            raise KeysContradictError("current_a", said, why)
        if process in (None, Process.GTAW_PULSED):
            return
        for key in (*_OF_PULSES, "peak_time"):
            if getattr(self, key) is not None:
                raise KeysContradictError(key, said, "only a pulsed pass has pulses")

    def _arc(self) -> Arc | None:
        ways = {
            "current_a": self.current_a is not None,
            "peak_current_a": any(getattr(self, key) is not None for key in _OF_PULSES),
            "power_w": self.power_w is not None,
            "energy_kj": self.energy_kj is not None,
        }
        given = [key for key, there in ways.items() if there]
        if len(given) > 1:
            why = "an arc is steady, or pulsed, or given by power or energy"
            raise KeysContradictError(given[0], given[1], why)
        if self.volts is not None and given[:1] not in (["current_a"], ["peak_current_a"]):
            raise KeyNeedsKeyError("volts", "current_a or peak_current_a")
        match given:
            case ["current_a"]:
                return SteadyArc(current=self._reading("current_a"), volts=self._said("volts"))
            case ["peak_current_a"]:
                return self._pulsed_arc()
            case ["power_w"]:
                return ShownPower(power=self._reading("power_w"))
            case ["energy_kj"]:
                if self.run_length_mm is None:
                    raise KeyNeedsKeyError("energy_kj", "run_length_mm")
                return CountedEnergy(
                    energy=self._reading("energy_kj"), length=self._reading("run_length_mm")
                )
        return None

    def _pulsed_arc(self) -> PulsedArc:
        if self.peak_current_a is None:
            key = next(key for key in _OF_PULSES if getattr(self, key) is not None)
            raise KeyNeedsKeyError(key, "peak_current_a")
        peak = self._reading("peak_current_a")
        background, percent = self._background(peak)
        on_peak, on_background = self._said("peak_volts"), self._said("background_volts")
        both = self._said("volts")
        if both is not None:
            if on_peak is not None or on_background is not None:
                why = "one is for both levels"
                raise KeysContradictError("volts", "peak_volts or background_volts", why)
            on_peak, on_background = kinds.of_one_voltage(both, peak, background)
        elif (on_peak is None) != (on_background is None):
            raise KeyNeedsKeyError("peak_volts or background_volts", "the other, or else volts")
        return PulsedArc(
            peak=SteadyArc(current=peak, volts=on_peak),
            background=SteadyArc(current=background, volts=on_background),
            percent=percent,
        )

    def _background(self, peak: Reading) -> tuple[Reading, Reading | None]:
        """Background current, and its percentage where that was said."""
        percent = self._said("background_percent")
        if percent is not None:
            if self.background_current_a is not None:
                why = "either one gives the background current"
                raise KeysContradictError("background_current_a", "background_percent", why)
            return background_of(peak, percent), percent
        if self.background_current_a is None:
            raise KeyNeedsKeyError("peak_current_a", "background_current_a or background_percent")
        return self._reading("background_current_a"), None

    def _travel(self) -> TravelOfRun | None:
        if self.arc_time_s is None:
            # The length of a run whose energy was counted needs no time.
            if self.run_length_mm is not None and self.energy_kj is None:
                raise KeyNeedsKeyError("run_length_mm", "arc_time_s or energy_kj")
            return None
        if self.run_length_mm is None:
            raise KeyNeedsKeyError("arc_time_s", "run_length_mm")
        return TravelOfRun(
            length=self._reading("run_length_mm"), arc_time=self._reading("arc_time_s")
        )

    def _said(self, key: str) -> Reading | None:
        return None if getattr(self, key) is None else self._reading(key)

    def _reading(self, key: str) -> Reading:
        said: NumberSaid = getattr(self, key)
        return NUMBERS[key].reading(said.value, said.expanded_uncertainty)
