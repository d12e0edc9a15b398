"""The record of what was set for the pass; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass, replace

from pydantic import with_config

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
)
from beadcheck.coupon import Coupon, TimesAre, Weave
from beadcheck.result.form import RECORD


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class StatedRecord:
    """One number as stated, with its doubt."""

    value: float
    """The number, in its unit."""
    unit: str
    """A, %, V, W, kJ, mm or s."""
    expanded_uncertainty: float
    """Expanded uncertainty (k = 2) as stated, or else what is usual for such a number."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsRecord:
    """Arc and run, as entered; what was not entered is null. Pulse times stand with the coupon."""

    current: StatedRecord | None = None
    """Current of an arc that does not pulse."""
    volts: StatedRecord | None = None
    """Its voltage; of a pulsed arc, that on the peak."""
    peak_current: StatedRecord | None = None
    """Peak current of a pulsed arc."""
    background_current: StatedRecord | None = None
    """Background current of a pulsed arc, in ampere."""
    background_percent: StatedRecord | None = None
    """The same in percent of the peak, where the machine sets it so."""
    background_volts: StatedRecord | None = None
    """Voltage on the background."""
    power: StatedRecord | None = None
    """Mean power that the machine showed."""
    energy: StatedRecord | None = None
    """Energy that the machine counted along the run."""
    run_length: StatedRecord | None = None
    """Length of the run."""
    arc_time: StatedRecord | None = None
    """Time that the arc burned along it."""
    times_are: str | None = None
    """What the numbers beside the pulse knobs count: seconds or dial-marks; null where nobody
    said."""
    panel_times: tuple[float, float] | None = None
    """Numbers beside the knobs of peak and background time, where they are not known to be
    seconds."""
    motion: str | None = None
    """How the torch goes along a pulsed pass: stepped or steady."""
    weave: str | None = None
    """Side motion of a pulsed pass: alternating, where it pauses at the edges in turn."""
    wanted_overlap: float | None = None
    """Pulse overlap to be reached, as a ratio."""
    current_range_a: tuple[float, float] | None = None
    """Lowest and highest current that is allowed, in ampere; of a pulsed arc, of its peak."""
    current_range_by: str | None = None
    """Who allows it: procedure or electrode."""


def settings_record(
    settings: ArcSettings, coupon: Coupon, allowed: CurrentRange | None
) -> SettingsRecord | None:
    """Settings as entered; None where nothing was."""
    panel = coupon.panel_times
    times_are = TimesAre.SECONDS if coupon.pulse else panel.times_are if panel else None
    record = replace(
        _arc_record(settings.arc),
        times_are=None if times_are is None else times_are.value,
        panel_times=None if panel is None else (panel.peak, panel.background),
        motion=None if settings.motion is None else settings.motion.value,
        weave=None if settings.weave is Weave.NONE else settings.weave.value,
        wanted_overlap=settings.wanted_overlap_ratio,
        current_range_a=None if allowed is None else (allowed.lowest_a, allowed.highest_a),
        current_range_by=None if allowed is None else allowed.stated_by.value,
    )
    if isinstance(settings.travel, TravelOfRun):
        run = settings.travel
        record = replace(record, run_length=_stated(run.length), arc_time=_stated(run.arc_time))
    return None if record == SettingsRecord() else record


def _arc_record(arc: Arc | None) -> SettingsRecord:
    match arc:
        case SteadyArc():
            return SettingsRecord(current=_stated(arc.current), volts=_stated(arc.volts))
        case PulsedArc(peak=peak, background=background):
            return SettingsRecord(
                peak_current=_stated(peak.current),
                volts=_stated(peak.volts),
                background_current=_stated(background.current),
                background_percent=_stated(arc.percent),
                background_volts=_stated(background.volts),
            )
        case ShownPower():
            return SettingsRecord(power=_stated(arc.power))
        case CountedEnergy():
            return SettingsRecord(energy=_stated(arc.energy), run_length=_stated(arc.length))
        case None:
            return SettingsRecord()


def _stated(reading: Reading | None) -> StatedRecord | None:
    if reading is None:
        return None
    return StatedRecord(
        value=reading.value,
        unit=reading.unit.value,
        expanded_uncertainty=reading.expanded_uncertainty,
    )
