"""What follows from the settings of an arc: each number with its doubt, or what it still needs."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.arc import pulses
from beadcheck.arc.answer import Answer, Asked, Unanswered
from beadcheck.arc.energy import (
    THERMAL_EFFICIENCY,
    arc_energy_of_power_kj_per_mm,
    arc_energy_of_run_kj_per_mm,
    heat_input_kj_per_mm,
)
from beadcheck.arc.known import (
    MOTION,
    mean_current,
    mean_power,
    missing,
    peak_share,
    period,
    pulse_overlap,
    stretching_share,
    travel_per_pulse,
    travel_speed,
)
from beadcheck.arc.reading import Reading, worked_out
from beadcheck.arc.settings import (
    Arc,
    ArcSettings,
    CountedEnergy,
    PulsedArc,
    SteadyArc,
    Travel,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
)
from beadcheck.arc.stated import time_readings
from beadcheck.arc.travel import letters_of
from beadcheck.coupon import TorchMotion
from beadcheck.errors.arc import NoBackgroundLeftError
from beadcheck.units import Unit

_HOW_FAST: Final[Mapping[type[Travel], str]] = MappingProxyType(
    {
        TravelAtSpeed: "as stated",
        TravelOfRun: "run length over arc time",
        TravelByRipples: "ripple spacing over the time from ripple to ripple",
    }
)


def answers(settings: ArcSettings) -> tuple[Answer | Unanswered, ...]:
    """Everything that follows from the settings, and what the other numbers still need.

    Raises
    ------
    OverlapBeyondReachError
        If no travel gives the wanted overlap.
    """
    return (
        *_of_power(settings),
        *_of_energy(settings),
        *_of_pulses(settings),
        *_of_wanted(settings),
    )


def _of_power(settings: ArcSettings) -> Iterator[Answer | Unanswered]:
    arc, times = settings.arc, settings.times
    match arc:
        case SteadyArc():
            yield _answer(Asked.MEAN_CURRENT, mean_current(arc, times), "as set")
            yield _answer(Asked.MEAN_POWER, mean_power(arc, times), "volts times current")
        case PulsedArc():
            how = "each level for its share of the cycle"
            yield _answer(Asked.MEAN_CURRENT, mean_current(arc, times), how)
            how = "mean of both levels' volts times current"
            yield _answer(Asked.MEAN_POWER, mean_power(arc, times), how)


def _of_energy(settings: ArcSettings) -> Iterator[Answer | Unanswered]:
    if settings.travel is not None:
        yield _answer(Asked.TRAVEL_SPEED, travel_speed(settings), _HOW_FAST[type(settings.travel)])
    if settings.arc is None:
        return
    energy, how = _arc_energy(settings.arc, settings)
    yield _answer(Asked.ARC_ENERGY, energy, f"{how}; AWS and ASME call this heat input")
    if isinstance(energy, Unanswered):
        return
    if settings.process is None:
        yield Unanswered(asked=Asked.HEAT_INPUT, needs="the process, whose efficiency counts")
        return
    efficiency = THERMAL_EFFICIENCY[settings.process]
    heat = worked_out(lambda e: heat_input_kj_per_mm(e, efficiency), energy, unit=Unit.KJ_PER_MM)
    how = f"{efficiency:g} times the arc energy, as EN 1011-1 counts {letters_of(settings.process)}"
    yield _answer(Asked.HEAT_INPUT, heat, how)


def _arc_energy(arc: Arc, settings: ArcSettings) -> tuple[Reading | Unanswered, str]:
    """Arc energy, and the way to it."""
    if isinstance(arc, CountedEnergy):
        unit = Unit.KJ_PER_MM
        energy = worked_out(arc_energy_of_run_kj_per_mm, arc.energy, arc.length, unit=unit)
        return energy, "counted energy over length"
    how = "mean power over travel speed"
    power, speed = mean_power(arc, settings.times), travel_speed(settings)
    if isinstance(power, Unanswered) or isinstance(speed, Unanswered):
        return missing(Asked.ARC_ENERGY, power, speed), how
    return worked_out(arc_energy_of_power_kj_per_mm, power, speed, unit=Unit.KJ_PER_MM), how


def _of_pulses(settings: ArcSettings) -> Iterator[Answer | Unanswered]:
    if settings.times is not None:
        rate = worked_out(pulses.pulse_rate_hz, period(settings.times), unit=Unit.HERTZ)
        yield _answer(Asked.PULSE_RATE, rate, "one over peak and background time")
        how = "peak time over peak and background time"
        yield _answer(Asked.PEAK_SHARE, peak_share(settings.times), how)
    travel = travel_per_pulse(settings)
    if not isinstance(travel, Unanswered):
        yield _answer(Asked.TRAVEL_PER_PULSE, travel, _how_travelled(settings))
        if settings.outside_diameter_mm is not None:
            diameter = Reading(value=settings.outside_diameter_mm, unit=Unit.MM)
            count = worked_out(pulses.pulses_round, diameter, travel, unit=Unit.ONE)
            yield _answer(Asked.PULSES_ROUND_PIPE, count, "circumference over travel per pulse")
    if settings.spot is not None:
        stretched = settings.motion is TorchMotion.STEADY
        how = f"one less the step over the {'stretched' if stretched else 'standing'} spot"
        yield _answer(Asked.PULSE_OVERLAP, pulse_overlap(settings), how)


def _how_travelled(settings: ArcSettings) -> str:
    if not isinstance(settings.travel, TravelByRipples):
        return "travel speed over pulse rate"
    apart = pulses.pulses_per_ripple(settings.weave, settings.travel.line)
    return "the ripple spacing" if apart == 1 else "half the ripple spacing along the edge"


def _of_wanted(settings: ArcSettings) -> Iterator[Answer | Unanswered]:
    """What travel and what background time give the wanted overlap, one changed at a time."""
    wanted, spot, motion = settings.wanted_overlap_ratio, settings.spot, settings.motion
    if wanted is None:
        return
    if spot is None or motion is None:
        needs = "the spot length" if spot is None else MOTION
        yield Unanswered(asked=Asked.WANTED_TRAVEL_PER_PULSE, needs=needs)
        return
    share = stretching_share(settings, motion)
    if isinstance(share, Unanswered):
        yield missing(Asked.WANTED_TRAVEL_PER_PULSE, share)
        return
    per_side = pulses.spots_step_mm(1.0, settings.weave)
    travel = worked_out(
        lambda mm, ratio: pulses.travel_for_overlap_mm(wanted, mm, ratio, motion) / per_side,
        spot,
        share,
        unit=Unit.MM,
    )
    aim = f"for {100.0 * wanted:g} % overlap"
    yield _answer(Asked.WANTED_TRAVEL_PER_PULSE, travel, aim)
    if settings.times is None:
        return
    speed = worked_out(lambda mm, s: mm / s, travel, period(settings.times), unit=Unit.MM_PER_S)
    yield _answer(Asked.WANTED_TRAVEL_SPEED, speed, f"{aim}, with these pulse times")
    yield from _of_wanted_background(settings, spot, wanted, motion)


def _of_wanted_background(
    settings: ArcSettings, spot: Reading, wanted_ratio: float, motion: TorchMotion
) -> Iterator[Answer | Unanswered]:
    speed = travel_speed(settings)
    if settings.times is None or isinstance(speed, Unanswered):
        return
    per_side = pulses.spots_step_mm(1.0, settings.weave)
    peak, _ = time_readings(settings.times)
    needs = "slower travel or a shorter peak time: no background would be left"
    try:
        background = worked_out(
            lambda mm, mm_s, peak_s: pulses.background_for_overlap_s(
                wanted_ratio, mm, speed_mm_s=per_side * mm_s, peak_s=peak_s, motion=motion
            ),
            spot,
            speed,
            peak,
            unit=Unit.S,
        )
    except NoBackgroundLeftError:
        yield Unanswered(asked=Asked.WANTED_BACKGROUND_TIME, needs=needs)
        return
    if background.value <= background.expanded_uncertainty:  # as likely none at all
        yield Unanswered(asked=Asked.WANTED_BACKGROUND_TIME, needs=needs)
        return
    how = f"for {100.0 * wanted_ratio:g} % overlap, with this peak time and travel speed"
    yield _answer(Asked.WANTED_BACKGROUND_TIME, background, how)


def _answer(asked: Asked, reading: Reading | Unanswered, how: str) -> Answer | Unanswered:
    if isinstance(reading, Unanswered):
        return missing(asked, reading)
    return Answer(asked=asked, reading=reading, how=how)
