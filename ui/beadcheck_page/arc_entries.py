"""What was entered about the arc and the run, from raw values to what the library takes."""

from beadcheck.advice import CurrentRange, StatedBy
from beadcheck.arc import (
    Arc,
    ArcSettings,
    PulsedArc,
    Reading,
    SteadyArc,
    TravelOfRun,
    background_of,
    times_question,
)
from beadcheck.arc import stated as kinds
from beadcheck.arc.pulses import pulses_per_ripple
from beadcheck.coupon import (
    PanelTimes,
    Process,
    PulseTimes,
    RippleLine,
    TimesAre,
    TorchMotion,
    Weave,
)
from beadcheck.errors import BeadcheckError
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.units import Unit
from beadcheck_page.entries import BackgroundIn, Entries, choice, length_mm, number
from beadcheck_page.refusals import MissingEntryError, UnusableSettingError


def is_pulsed(entries: Entries) -> bool:
    """Whether the chosen process has pulses."""
    return entries.process == Process.GTAW_PULSED.value


def entered_arc(entries: Entries, unit: LengthUnit) -> ArcSettings:
    """Settings of arc and run, as far as they were entered; fields that do not show do not count.

    Raises
    ------
    SettingError
        Half of something was entered, or something makes no sense.
    """
    travel = _travel(entries, unit)
    if not is_pulsed(entries):
        return ArcSettings(arc=_steady(entries), travel=travel)
    percent = number(entries.wanted_overlap, "The wanted overlap")
    if percent is not None and percent >= 100.0:
        raise UnusableSettingError("The wanted overlap", "it must be less than 100 %")
    return ArcSettings(
        arc=_pulsed(entries),
        travel=travel,
        motion=choice(TorchMotion, entries.motion, "the torch"),
        weave=choice(Weave, entries.weave, "the weave") or Weave.NONE,
        wanted_overlap_ratio=None if percent is None else percent / 100.0,
    )


def entered_times(entries: Entries) -> PulseTimes | PanelTimes | None:
    """Pulse times in seconds where the answer is that they are; else what the panel shows.

    Raises
    ------
    SettingError
        One without the other, or no pulse lasts as long.
    """
    panel = _panel(entries)
    if panel is None or panel.times_are is not TimesAre.SECONDS:
        return panel
    try:
        return panel.confirmed(TimesAre.SECONDS)
    except ValueError as error:
        raise UnusableSettingError("The pulse times", str(error)) from None


def entered_range(entries: Entries) -> CurrentRange | None:
    """Currents that the procedure or the electrode allows.

    Raises
    ------
    SettingError
        One end without the other, or in the wrong order.
    """
    lowest = number(entries.lowest_current, "The lowest current allowed")
    highest = number(entries.highest_current, "The highest current allowed")
    if lowest is None and highest is None:
        return None
    if lowest is None or highest is None:
        mend = "Enter the lowest and the highest, or leave both empty."
        raise MissingEntryError("One end of the currents allowed", mend)
    by = choice(StatedBy, entries.allowed_by, "who allows the current") or StatedBy.PROCEDURE
    try:
        return CurrentRange(lowest_a=lowest, highest_a=highest, stated_by=by)
    except ValueError as error:
        raise UnusableSettingError("The range of current", str(error)) from None


def asked_of_times(entries: Entries, result: Result | None) -> str:
    """Question whether the two numbers are seconds, with the travel that follows if they are.

    Empty where they are not there, or not yet numbers.
    """
    try:
        panel = _panel(entries)
        weave = choice(Weave, entries.weave, "the weave") or Weave.NONE
    except BeadcheckError:
        return ""
    if panel is None:
        return ""
    spacing_mm, apart = None, 1
    if weave is Weave.NONE:
        apart = pulses_per_ripple(weave, RippleLine.MIDDLE)
        spacing_mm = _spacing_mm(result)
    return times_question(panel, Process.GTAW_PULSED, ripples_mm=spacing_mm, pulses=apart)


def _spacing_mm(result: Result | None) -> float | None:
    """Mean ripple spacing of the first photo that gave one."""
    wanted = (QuantityName.RIPPLE_SPACING, Statistic.MEAN, Unit.MM)
    quantities = () if result is None else result.quantities
    return next((q.value for q in quantities if (q.name, q.statistic, q.unit) == wanted), None)


def _panel(entries: Entries) -> PanelTimes | None:
    if not is_pulsed(entries):
        return None
    peak = number(entries.peak_s, "The peak time")
    background = number(entries.background_s, "The background time")
    if peak is None and background is None:
        return None
    if peak is None or background is None:
        raise MissingEntryError("One of the two pulse times", "Enter both, or leave both empty.")
    answer = choice(TimesAre, entries.times_are, "what the pulse times count")
    return PanelTimes(peak=peak, background=background, times_are=answer)


def _steady(entries: Entries) -> Arc | None:
    current = _reading(kinds.CURRENT, entries.current, "The current")
    volts = _reading(kinds.VOLTS, entries.volts, "The arc voltage")
    if current is None:
        if volts is not None:
            raise MissingEntryError("The current", "Enter it beside the voltage, or clear both.")
        return None
    return SteadyArc(current=current, volts=volts)


def _pulsed(entries: Entries) -> Arc | None:
    peak = _reading(kinds.PEAK_CURRENT, entries.peak_current, "The peak current")
    in_percent = entries.background_in == BackgroundIn.PERCENT.value
    kind = kinds.BACKGROUND_PERCENT if in_percent else kinds.BACKGROUND_CURRENT
    entered = _reading(kind, entries.background_current, "The background current")
    low_volts = _reading(
        kinds.BACKGROUND_VOLTS, entries.background_volts, "The voltage on the background"
    )
    high_kind = kinds.VOLTS if low_volts is None else kinds.PEAK_VOLTS
    volts = _reading(high_kind, entries.volts, "The arc voltage")
    if peak is None and entered is None and volts is None and low_volts is None:
        return None
    if peak is None or entered is None:
        raise MissingEntryError(
            "The peak or the background current", "Enter both, or clear currents and voltages."
        )
    if volts is None and low_volts is not None:
        raise MissingEntryError("The voltage on the peak", "Enter it too, or clear the other one.")
    background = background_of(peak, entered) if in_percent else entered
    if volts is not None and low_volts is None:
        volts, low_volts = kinds.of_one_voltage(volts, peak, background)
    return PulsedArc(
        peak=SteadyArc(current=peak, volts=volts),
        background=SteadyArc(current=background, volts=low_volts),
        percent=entered if in_percent else None,
    )


def _travel(entries: Entries, unit: LengthUnit) -> TravelOfRun | None:
    run_mm = length_mm(entries.run_length, "The run length", unit)
    arc_time_s = number(entries.arc_time, "The arc time")
    if run_mm is None and arc_time_s is None:
        return None
    if run_mm is None or arc_time_s is None:
        raise MissingEntryError(
            "The run length or the arc time", "Enter both, or leave both empty."
        )
    return TravelOfRun(
        length=kinds.RUN_LENGTH.reading(run_mm), arc_time=kinds.ARC_TIME.reading(arc_time_s)
    )


def _reading(kind: kinds.Stated, entered: object, what: str) -> Reading | None:
    value = number(entered, what)
    return None if value is None else kind.reading(value)
