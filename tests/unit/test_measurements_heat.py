"""Heat of a pass whose ripples were measured."""

import math
from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from beadcheck.arc import ArcSettings, PulsedArc, SteadyArc, TravelOfRun
from beadcheck.arc.stated import (
    ARC_TIME,
    BACKGROUND_CURRENT,
    BACKGROUND_VOLTS,
    CURRENT,
    PEAK_CURRENT,
    PEAK_VOLTS,
    PULSE_TIMES,
    RUN_LENGTH,
    VOLTS,
)
from beadcheck.coupon import Process, PulseTimes, TimesAre, Weave
from beadcheck.measurements.heat import heat_quantities, stated_quantities
from beadcheck.quantity import Component, NotMeasured, Quantity, QuantityName, Scope, Statistic
from beadcheck.uncertainty import ScaleEffects
from beadcheck.units import Unit

SPACING = Quantity(
    name=QuantityName.RIPPLE_SPACING,
    statistic=Statistic.MEAN,
    value=1.5,
    unit=Unit.MM,
    count=30,
    budget=(Component(source="all", standard_uncertainty=0.015, scope=Scope.PHOTO),),
    s_range_mm=(2.0, 50.0),
)
# Stated to a millionth, so that the ripples and the clock are all that is left.
SETTINGS = ArcSettings(
    process=Process.GTAW_PULSED,
    arc=PulsedArc(
        peak=SteadyArc(
            current=PEAK_CURRENT.reading(150.0, 1e-6), volts=PEAK_VOLTS.reading(13.0, 1e-6)
        ),
        background=SteadyArc(
            current=BACKGROUND_CURRENT.reading(40.0, 1e-6),
            volts=BACKGROUND_VOLTS.reading(9.0, 1e-6),
        ),
    ),
    times=PulseTimes(peak_s=0.4, background_s=0.6, times_are=TimesAre.SECONDS),
)


def by_name(found) -> dict[QuantityName, Quantity | NotMeasured]:
    return {each.name: each for each in found}


def test_ripples_give_the_travel_of_the_heat() -> None:
    heat = by_name(heat_quantities(SPACING, SETTINGS))[QuantityName.HEAT_INPUT]
    assert isinstance(heat, Quantity)
    # By hand: 0.6 * (0.4 * 150 * 13 + 0.6 * 40 * 9) W / 1.5 mm/s.
    assert_allclose(heat.value, 0.3984)
    relative = math.hypot(0.015 / 1.5, PULSE_TIMES / math.sqrt(3.0))
    assert_allclose(heat.standard_uncertainty / heat.value, relative, rtol=1e-5)
    assert heat.s_range_mm == SPACING.s_range_mm


def test_scale_counts_in_the_heat_by_ripples() -> None:
    scale = Component(source="scale", standard_uncertainty=0.02, scope=Scope.PHOTO)
    heat = by_name(heat_quantities(SPACING, SETTINGS))[QuantityName.HEAT_INPUT]
    assert isinstance(heat, Quantity)
    scaled = ScaleEffects(across=(), along=(scale,)).applied_to(heat)
    assert_allclose(scaled.budget[-1].standard_uncertainty, 0.02 * heat.value)


def test_what_needs_no_travel_follows_from_the_settings_alone() -> None:
    found = by_name(stated_quantities(SETTINGS))
    # By hand: 0.4 * 150 + 0.6 * 40; 0.4 * 1950 + 0.6 * 360; 1 / 1 s.
    wanted = {
        QuantityName.MEAN_CURRENT: 84.0,
        QuantityName.MEAN_POWER: 996.0,
        QuantityName.PULSE_RATE: 1.0,
    }
    assert found.keys() == wanted.keys()
    for name, value in wanted.items():
        each = found[name]
        assert isinstance(each, Quantity)
        assert_allclose(each.value, value)


def test_without_ripples_the_reason_is_theirs() -> None:
    none = NotMeasured(name=QuantityName.RIPPLE_SPACING, reason="No ripples.", how_to="Closer.")
    for each in heat_quantities(none, SETTINGS):
        assert isinstance(each, NotMeasured)
        assert each.reason == "No ripples."


@pytest.mark.parametrize(
    "changes",
    [
        {"weave": Weave.ALTERNATING},
        {"process": Process.SMAW},
        {"times": None},
        {"arc": SteadyArc(current=PEAK_CURRENT.reading(150.0))},
    ],
)
def test_ripples_tell_no_heat_where_they_are_not_one_per_pulse_or_the_power_is_not_known(
    changes,
) -> None:
    assert heat_quantities(SPACING, replace(SETTINGS, **changes)) == ()


def test_a_run_by_rule_and_watch_gives_travel_and_heat_of_smaw() -> None:
    run = TravelOfRun(length=RUN_LENGTH.reading(150.0), arc_time=ARC_TIME.reading(40.0))
    arc = SteadyArc(current=CURRENT.reading(180.0), volts=VOLTS.reading(24.0))
    found = by_name(stated_quantities(ArcSettings(process=Process.SMAW, arc=arc, travel=run)))
    speed, heat = found[QuantityName.TRAVEL_SPEED], found[QuantityName.HEAT_INPUT]
    assert isinstance(speed, Quantity)
    assert isinstance(heat, Quantity)
    # By hand: 150 / 40 mm/s; 0.8 * 24 * 180 / 3.75 J/mm.
    assert_allclose(speed.value, 3.75)
    assert_allclose(heat.value, 0.9216)


def test_a_current_alone_asks_for_no_volts() -> None:
    current = ArcSettings(process=Process.SMAW, arc=SteadyArc(current=CURRENT.reading(90.0)))
    assert by_name(stated_quantities(current)).keys() == {QuantityName.MEAN_CURRENT}
    pulsed = by_name(stated_quantities(replace(SETTINGS, times=None)))
    mean = pulsed[QuantityName.MEAN_CURRENT]
    assert isinstance(mean, NotMeasured)
    assert "pulse times in seconds" in mean.reason
