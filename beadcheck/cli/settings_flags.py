"""From the flags that describe arc and run to the values that the library takes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from beadcheck.arc import (
    Arc,
    ArcSettings,
    CountedEnergy,
    PulsedArc,
    Reading,
    ShownPower,
    SteadyArc,
    Travel,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
    background_of,
)
from beadcheck.arc import stated as kinds
from beadcheck.arc.travel import S_PER_MIN
from beadcheck.cli.take_flags import number_and_uncertainty
from beadcheck.coupon import Process, RippleLine, TorchMotion, Weave
from beadcheck.errors.arc import OverlapBeyondReachError
from beadcheck.errors.command import BadFlagValueError, ConflictingFlagsError, FlagNeedsFlagError

if TYPE_CHECKING:
    from beadcheck.advice import CurrentRange

ELECTRODE: Final = "electrode"
"""Third part of a range of current that the electrode's maker states, not the procedure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcFlags:
    """What was typed of the arc, and of the length of its run."""

    current: str | None
    volts: str | None
    peak_current: str | None
    background_current: str | None
    peak_volts: str | None
    background_volts: str | None
    power: str | None
    energy: str | None
    run_length: str | None

    @property
    def of_levels(self) -> Mapping[str, str | None]:
        """What only a pulsed arc has."""
        return {
            "--peak-current": self.peak_current,
            "--background-current": self.background_current,
            "--peak-volts": self.peak_volts,
            "--background-volts": self.background_volts,
        }

    @property
    def is_pulsed(self) -> bool:
        """Whether anything was typed that only a pulsed arc has."""
        return any(text is not None for text in self.of_levels.values())


def refuse_pulses(process: Process | None, given: Mapping[str, str | float | None]) -> None:
    """Refuse what only a pulsed pass has, for a process that has no pulses.

    Raises
    ------
    ConflictingFlagsError
    """
    if process in (None, Process.GTAW_PULSED):
        return
    for flag, value in given.items():
        if value is not None:
            why = "only a pulsed pass has pulses, and ripples that each are one"
            raise ConflictingFlagsError(flag, f"--process {process.value}", why)


def arc_from_flags(flags: ArcFlags) -> Arc | None:
    """The one way in which the arc is given, if it is.

    Raises
    ------
    FlagNeedsFlagError, ConflictingFlagsError
        Half a way, or two.
    """
    ways = {
        "--current": flags.current is not None,
        "--peak-current and its like": flags.is_pulsed,
        "--power": flags.power is not None,
        "--energy": flags.energy is not None,
    }
    given = [flag for flag, there in ways.items() if there]
    if len(given) > 1:
        why = "an arc is steady, or pulsed, or given by power or energy"
        raise ConflictingFlagsError(given[0], given[1], why)
    if flags.is_pulsed:
        return _pulsed(flags)
    if flags.current is not None:
        return SteadyArc(
            current=_given("--current", flags.current, kinds.CURRENT),
            volts=typed_reading("--volts", flags.volts, kinds.VOLTS),
        )
    if flags.volts is not None:
        raise FlagNeedsFlagError("--volts", "--current or --peak-current")
    if flags.power is not None:
        return ShownPower(power=_given("--power", flags.power, kinds.POWER))
    if flags.energy is not None:
        if flags.run_length is None:
            raise FlagNeedsFlagError("--energy", "--run-length")
        return CountedEnergy(
            energy=_given("--energy", flags.energy, kinds.ENERGY),
            length=_given("--run-length", flags.run_length, kinds.RUN_LENGTH),
        )
    return None


def travel_from_flags(
    flags: ArcFlags,
    arc_time: str | None,
    *,
    speed: str | None = None,
    spacing: str | None = None,
    line: RippleLine = RippleLine.MIDDLE,
) -> Travel | None:
    """The one way in which the travel is given, if it is.

    Raises
    ------
    FlagNeedsFlagError, ConflictingFlagsError
        Half a way, or two.
    """
    # The length of a run whose energy was counted needs no time.
    timed = flags.run_length if flags.energy is None or arc_time is not None else None
    ways = {"--speed": speed, "--run-length": timed, "--spacing": spacing}
    given = [flag for flag, text in ways.items() if text is not None]
    if len(given) > 1:
        raise ConflictingFlagsError(given[0], given[1], "either one gives the travel")
    if arc_time is not None and timed is None:
        raise FlagNeedsFlagError("--arc-time", "--run-length")
    if line is RippleLine.EDGE and spacing is None:
        raise FlagNeedsFlagError("--ripples-at", "--spacing")
    if speed is not None:
        per_minute = _given("--speed", speed, kinds.TRAVEL_SPEED, per_unit=S_PER_MIN)
        return TravelAtSpeed(speed=per_minute)
    if spacing is not None:
        return TravelByRipples(spacing=_given("--spacing", spacing, kinds.SPACING), line=line)
    if timed is None:
        return None
    if arc_time is None:
        raise FlagNeedsFlagError("--run-length", "--arc-time")
    return TravelOfRun(
        length=_given("--run-length", timed, kinds.RUN_LENGTH),
        arc_time=_given("--arc-time", arc_time, kinds.ARC_TIME),
    )


def typed_reading(flag: str, text: str | None, kind: kinds.Stated) -> Reading | None:
    """Reading of a flag; None where it was not given."""
    return None if text is None else _given(flag, text, kind)


def range_of_current(text: str | None) -> "CurrentRange | None":
    """Range of current that ``--current-range LOW,HIGH`` states, by the procedure unless said.

    Raises
    ------
    BadFlagValueError
        Not two currents, the lower one first.
    """
    if text is None:
        return None
    from beadcheck.advice import CurrentRange, StatedBy

    low, high, *by = (*text.split(","), "")
    try:
        lowest_a, highest_a = float(low), float(high)
    except ValueError:
        lowest_a = highest_a = math.nan
    if not 0.0 < lowest_a <= highest_a < math.inf or by not in (
        [
            "",
        ],
        [ELECTRODE, ""],
    ):
        mend = f"Give the lower and the higher current, as in: 90,130 or 90,130,{ELECTRODE}"
        raise BadFlagValueError("--current-range", text, mend)
    stated_by = StatedBy.ELECTRODE if ELECTRODE in by else StatedBy.PROCEDURE
    return CurrentRange(lowest_a=lowest_a, highest_a=highest_a, stated_by=stated_by)


def _given(flag: str, text: str, kind: kinds.Stated, *, per_unit: float = 1.0) -> Reading:
    """Reading of a flag whose own unit is so many times smaller than the kind's."""
    typed = number_and_uncertainty(flag, text, example=f"{flag} 120,5")
    expanded = typed.expanded_uncertainty
    return kind.reading(typed.value / per_unit, None if expanded is None else expanded / per_unit)


def _pulsed(flags: ArcFlags) -> PulsedArc:
    if flags.peak_current is None:
        raise FlagNeedsFlagError("--background-current, --peak-volts or the like", "--peak-current")
    if flags.background_current is None:
        raise FlagNeedsFlagError("--peak-current", "--background-current")
    peak = _given("--peak-current", flags.peak_current, kinds.PEAK_CURRENT)
    background, percent = _background(flags.background_current, peak)
    on_peak = typed_reading("--peak-volts", flags.peak_volts, kinds.PEAK_VOLTS)
    on_background = typed_reading(
        "--background-volts", flags.background_volts, kinds.BACKGROUND_VOLTS
    )
    if flags.volts is not None:
        if on_peak is not None or on_background is not None:
            why = "one is for both levels"
            raise ConflictingFlagsError("--volts", "--peak-volts or --background-volts", why)
        both = _given("--volts", flags.volts, kinds.VOLTS)
        on_peak, on_background = kinds.of_one_voltage(both, peak, background)
    elif (on_peak is None) != (on_background is None):
        raise FlagNeedsFlagError("--peak-volts or --background-volts", "the other, or else --volts")
    return PulsedArc(
        peak=SteadyArc(current=peak, volts=on_peak),
        background=SteadyArc(current=background, volts=on_background),
        percent=percent,
    )


def _background(text: str, peak: Reading) -> tuple[Reading, Reading | None]:
    """Background current, and its percentage where that was typed."""
    flag = "--background-current"
    if not text.endswith("%"):
        return _given(flag, text, kinds.BACKGROUND_CURRENT), None
    percent = _given(flag, text.removesuffix("%"), kinds.BACKGROUND_PERCENT)
    return background_of(peak, percent), percent


def settings_from_flags(
    typed: ArcFlags,
    arc_time: str | None,
    motion: TorchMotion | None,
    weave: Weave,
    overlap: float | None,
    process: Process | None,
) -> ArcSettings:
    """Settings of arc and run.

    Raises
    ------
    ConflictingFlagsError, OverlapBeyondReachError, BadFlagValueError, FlagNeedsFlagError
    """
    refuse_pulses(process, typed.of_levels)
    if process is Process.GTAW_PULSED and typed.current is not None:
        why = "a pulsed arc has a peak and a background current"
        raise ConflictingFlagsError("--current", f"--process {process.value}", why)
    if overlap is not None and not 0.0 <= overlap < 100.0:
        raise OverlapBeyondReachError(overlap)
    return ArcSettings(
        arc=arc_from_flags(typed),
        travel=travel_from_flags(typed, arc_time),
        motion=motion,
        weave=weave,
        wanted_overlap_ratio=None if overlap is None else overlap / 100.0,
    )
