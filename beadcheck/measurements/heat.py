"""Current and heat of a pass: from the settings of its arc, and from its ripples."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from beadcheck.arc import (
    Answer,
    ArcSettings,
    Asked,
    CountedEnergy,
    Effect,
    PulsedArc,
    Reading,
    ShownPower,
    SteadyArc,
    TravelByRipples,
    Unanswered,
    answers,
)
from beadcheck.coupon import Process, RippleLine, Weave
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Statistic

QUANTITIES: Final[Mapping[Asked, QuantityName]] = MappingProxyType(
    {
        Asked.MEAN_CURRENT: QuantityName.MEAN_CURRENT,
        Asked.MEAN_POWER: QuantityName.MEAN_POWER,
        Asked.TRAVEL_SPEED: QuantityName.TRAVEL_SPEED,
        Asked.ARC_ENERGY: QuantityName.ARC_ENERGY,
        Asked.HEAT_INPUT: QuantityName.HEAT_INPUT,
        Asked.PULSE_RATE: QuantityName.PULSE_RATE,
    }
)
"""What a result says of the arc; overlap is a quantity of the ripples."""
BY_RIPPLES: Final = (Asked.ARC_ENERGY, Asked.HEAT_INPUT)
"""What the travel that ripples show adds to that."""


def stated_quantities(settings: ArcSettings) -> tuple[Quantity | NotMeasured, ...]:
    """What follows from the settings alone, and what they still need for what they are for.

    Volts are for power and heat: without them nobody asked for these.

    Returns
    -------
    tuple
        No photo has a part in them, nor has its scale.
    """
    by_ripples = BY_RIPPLES if heat_by_ripples(settings) else ()
    return tuple(
        _told(each, QUANTITIES[each.asked], s_range_mm=(0.0, 0.0), count=1)
        for each in answers(replace(settings, spot=None, wanted_overlap_ratio=None))
        if each.asked in QUANTITIES
        and each.asked not in by_ripples
        and (isinstance(each, Answer) or _is_wanted(each.asked, settings))
    )


def heat_by_ripples(settings: ArcSettings) -> bool:
    """Whether the ripples of a photo give the travel for the heat: one pulse leaves one ripple."""
    return (
        settings.process is Process.GTAW_PULSED
        and settings.times is not None
        and settings.travel is None
        and settings.weave is Weave.NONE
        and not isinstance(settings.arc, CountedEnergy)
        and _power_is_known(settings)
    )


def heat_quantities(
    spacing: Quantity | NotMeasured, settings: ArcSettings
) -> tuple[Quantity | NotMeasured, ...]:
    """Arc energy and heat input where the ripples of a photo give the travel; else nothing.

    Parameters
    ----------
    spacing
        Mean ripple spacing along the middle line, in mm, or why there is none.

    Returns
    -------
    tuple
        Scale not in the budgets yet, as for every quantity of a photo.
    """
    if not heat_by_ripples(settings):
        return ()
    if isinstance(spacing, NotMeasured):
        return tuple(replace(spacing, name=QUANTITIES[each]) for each in BY_RIPPLES)
    travel = TravelByRipples(spacing=_measured(spacing), line=RippleLine.MIDDLE)
    return tuple(
        _told(each, QUANTITIES[each.asked], s_range_mm=spacing.s_range_mm, count=spacing.count)
        for each in answers(replace(settings, travel=travel, spot=None, wanted_overlap_ratio=None))
        if each.asked in BY_RIPPLES
    )


def reading_of(quantities: Iterable[Quantity | NotMeasured], name: QuantityName) -> Reading | None:
    """Mean of this name with the causes of its doubt; None where it was not measured."""
    for each in quantities:
        if isinstance(each, Quantity) and each.name is name and each.statistic is Statistic.MEAN:
            return _measured(each)
    return None


def _is_wanted(asked: Asked, settings: ArcSettings) -> bool:
    """Whether what is still missing is worth a word."""
    if asked in (Asked.MEAN_POWER, *BY_RIPPLES):
        return _power_is_known(settings)
    return True


def _power_is_known(settings: ArcSettings) -> bool:
    match settings.arc:
        case SteadyArc(volts=volts):
            return volts is not None
        case PulsedArc(peak=peak, background=background):
            return peak.volts is not None and background.volts is not None
        case ShownPower() | CountedEnergy():
            return True
        case _:
            return False


def _measured(quantity: Quantity) -> Reading:
    """What a photo gave; its causes are kept apart from those of the settings."""
    name = quantity.name.value.replace("_", " ")
    effects = (
        Effect(source=f"{name}: {each.source}", swing=each.standard_uncertainty, scope=each.scope)
        for each in quantity.budget
    )
    return Reading(value=quantity.value, unit=quantity.unit, effects=tuple(effects))


def _told(
    each: Answer | Unanswered,
    name: QuantityName,
    *,
    s_range_mm: tuple[float, float],
    count: int,
) -> Quantity | NotMeasured:
    if isinstance(each, Unanswered):
        return NotMeasured(
            name=name, reason=f"It needs {each.needs}.", how_to="Give that with the settings too."
        )
    return Quantity(
        name=name,
        statistic=Statistic.MEAN,
        value=each.reading.value,
        unit=each.reading.unit,
        count=count,
        budget=each.reading.budget,
        s_range_mm=s_range_mm,
    )
