"""Current, power, travel and overlap, in whichever way the settings give them."""

from typing import Final

from beadcheck.arc import pulses
from beadcheck.arc.answer import Asked, Unanswered
from beadcheck.arc.power import mean_current_a, mean_power_w
from beadcheck.arc.reading import Reading, worked_out
from beadcheck.arc.settings import (
    ArcSettings,
    PulsedArc,
    ShownPower,
    SteadyArc,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
)
from beadcheck.arc.stated import time_readings
from beadcheck.arc.travel import speed_of_ripples_mm_s, speed_of_run_mm_s
from beadcheck.coupon import PulseTimes, TorchMotion
from beadcheck.units import Unit

TIMES: Final = "the pulse times in seconds"
VOLTS: Final = "the arc voltage"
MOTION: Final = "whether the torch stands on the peak and steps, or travels steadily"


def period(times: PulseTimes) -> Reading:
    """Time from pulse to pulse, in seconds."""
    return worked_out(lambda peak_s, rest_s: peak_s + rest_s, *time_readings(times), unit=Unit.S)


def peak_share(times: PulseTimes) -> Reading:
    """Part of the cycle that is peak, as a ratio; the clock's doubt cancels."""
    return worked_out(
        lambda peak_s, rest_s: peak_s / (peak_s + rest_s), *time_readings(times), unit=Unit.RATIO
    )


def mean_current(arc: SteadyArc | PulsedArc, times: PulseTimes | None) -> Reading | Unanswered:
    """Mean current, in ampere."""
    if isinstance(arc, SteadyArc):
        return arc.current
    if times is None:
        return Unanswered(asked=Asked.MEAN_CURRENT, needs=TIMES)
    levels = (arc.peak.current, arc.background.current)
    return worked_out(mean_current_a, *levels, peak_share(times), unit=Unit.AMPERE)


def mean_power(
    arc: SteadyArc | PulsedArc | ShownPower, times: PulseTimes | None
) -> Reading | Unanswered:
    """Mean power, in watt; of a pulsed arc, the mean of both levels' power."""
    if isinstance(arc, ShownPower):
        return arc.power
    if isinstance(arc, SteadyArc):
        if arc.volts is None:
            return Unanswered(asked=Asked.MEAN_POWER, needs=VOLTS)
        return worked_out(lambda a, v: a * v, arc.current, arc.volts, unit=Unit.WATT)
    if arc.peak.volts is None or arc.background.volts is None:
        return Unanswered(asked=Asked.MEAN_POWER, needs=VOLTS)
    if times is None:
        return Unanswered(asked=Asked.MEAN_POWER, needs=TIMES)
    levels = (arc.peak.current, arc.peak.volts, arc.background.current, arc.background.volts)
    return worked_out(mean_power_w, *levels, peak_share(times), unit=Unit.WATT)


def travel_speed(settings: ArcSettings) -> Reading | Unanswered:
    """Travel speed, in mm/s, whichever way it is known."""
    match settings.travel:
        case TravelAtSpeed(speed=speed):
            return speed
        case TravelOfRun(length=length, arc_time=arc_time):
            return worked_out(speed_of_run_mm_s, length, arc_time, unit=Unit.MM_PER_S)
        case TravelByRipples(spacing=spacing, line=line) if settings.times is not None:
            apart = pulses.pulses_per_ripple(settings.weave, line)
            return worked_out(
                lambda spacing_mm, period_s: speed_of_ripples_mm_s(spacing_mm, period_s, apart),
                spacing,
                period(settings.times),
                unit=Unit.MM_PER_S,
            )
        case TravelByRipples():
            return Unanswered(asked=Asked.TRAVEL_SPEED, needs=TIMES)
        case _:
            needs = "the run length and arc time, the ripple spacing, or the travel speed"
            return Unanswered(asked=Asked.TRAVEL_SPEED, needs=needs)


def travel_per_pulse(settings: ArcSettings) -> Reading | Unanswered:
    """Travel from pulse to pulse, in mm: from the ripples themselves, else from the speed."""
    if isinstance(settings.travel, TravelByRipples):
        apart = pulses.pulses_per_ripple(settings.weave, settings.travel.line)
        return worked_out(lambda mm: mm / apart, settings.travel.spacing, unit=Unit.MM)
    speed = travel_speed(settings)
    if isinstance(speed, Unanswered):
        return Unanswered(asked=Asked.TRAVEL_PER_PULSE, needs=speed.needs)
    if settings.times is None:
        return Unanswered(asked=Asked.TRAVEL_PER_PULSE, needs=TIMES)
    return worked_out(pulses.travel_per_pulse_mm, speed, period(settings.times), unit=Unit.MM)


def pulse_overlap(settings: ArcSettings) -> Reading | Unanswered:
    """Overlap of a spot with the next on its line, as a ratio; below zero is a gap."""
    spot, motion = settings.spot, settings.motion
    if spot is None:
        return Unanswered(asked=Asked.PULSE_OVERLAP, needs="the spot length")
    if motion is None:
        return Unanswered(asked=Asked.PULSE_OVERLAP, needs=MOTION)
    travel, share = travel_per_pulse(settings), stretching_share(settings, motion)
    if isinstance(travel, Unanswered) or isinstance(share, Unanswered):
        return missing(Asked.PULSE_OVERLAP, travel, share)
    return worked_out(
        lambda spot_mm, travel_mm, ratio: pulses.overlap_ratio(
            spot_mm, pulses.spots_step_mm(travel_mm, settings.weave), ratio, motion
        ),
        spot,
        travel,
        share,
        unit=Unit.RATIO,
    )


def stretching_share(settings: ArcSettings, motion: TorchMotion) -> Reading | Unanswered:
    """Part of the travel per pulse that stretches the spot, as a ratio."""
    if motion is TorchMotion.STEPPED:
        return Reading(value=0.0, unit=Unit.RATIO)
    if settings.times is None:
        return Unanswered(asked=Asked.PEAK_SHARE, needs=TIMES)
    return peak_share(settings.times)


def missing(asked: Asked, *inputs: Reading | Unanswered) -> Unanswered:
    """What all the inputs that there are not yet still need, each need once."""
    needs = dict.fromkeys(each.needs for each in inputs if isinstance(each, Unanswered))
    return Unanswered(asked=asked, needs=", and ".join(needs))
