"""Arc energy, heat input and mean current against published worked examples.

- 24 V, 180 A, 300 mm/min, k 0.8: 0.691 kJ/mm (public worked example): *verified in public text*.
- 24 V, 200 A, 300 mm/min, k 0.8: 0.768 kJ/mm; 28 V, 250 A, 250 mm/min, k 0.8: 1.344 kJ/mm (another
  public worked example): *verified in public text*.
- 325 A, 29 V, 25 in welded in 2 min: 45.24 kJ/in (public worked example of weld inspectors); 425 A,
  39 V, 35 in in 4 min: 113.65 kJ/in, cut off and not rounded (public worked example); 24 V, 120 A,
  10 in/min: 17 280 J/in (public study guide): *verified in public text*. They follow AWS and ASME,
  who count no efficiency, and so are arc energies here.
- k of GTAW 0.6, of SMAW and GMAW 0.8 (EN 1011-1, as public pages print it): *verified in public
  text*.
- Mean 100 A with a balance of 30 % at 1 Hz (a power source maker's manual): the data *verified in
  public text*; the background of 82.9 A for a peak of 140 A, and of 70.0 A for 170 A, worked by
  hand from the formula, which is *from memory*.
"""

import math

import pytest
from numpy.testing import assert_allclose

from beadcheck.arc import (
    Answer,
    ArcSettings,
    Asked,
    SteadyArc,
    TravelAtSpeed,
    TravelOfRun,
    answers,
)
from beadcheck.arc.energy import (
    THERMAL_EFFICIENCY,
    arc_energy_of_power_kj_per_mm,
    arc_energy_of_run_kj_per_mm,
    heat_input_kj_per_mm,
)
from beadcheck.arc.power import mean_current_a
from beadcheck.arc.stated import ARC_TIME, CURRENT, RUN_LENGTH, TRAVEL_SPEED, VOLTS
from beadcheck.coupon import Process
from beadcheck.units import MM_PER_INCH

WORKED = [
    # volts, ampere, mm/min, kJ/mm as printed
    (24.0, 180.0, 300.0, 0.691),
    (24.0, 200.0, 300.0, 0.768),
    (28.0, 250.0, 250.0, 1.344),
]
PRINTED_TO = 0.0005
"""kJ/mm: the examples are printed to three decimals."""


@pytest.mark.parametrize(("volts", "ampere", "mm_min", "printed"), WORKED)
def test_power_over_speed_and_energy_over_length_give_the_printed_heat_input(
    volts: float, ampere: float, mm_min: float, printed: float
) -> None:
    power_w, speed_mm_s = volts * ampere, mm_min / 60.0
    of_power = arc_energy_of_power_kj_per_mm(power_w, speed_mm_s)
    # A run of 37 s: what the machine would have counted, over what would have been welded.
    of_run = arc_energy_of_run_kj_per_mm(power_w * 37.0 / 1000.0, speed_mm_s * 37.0)
    for energy in (of_power, of_run):
        assert_allclose(heat_input_kj_per_mm(energy, 0.8), printed, atol=PRINTED_TO)


@pytest.mark.parametrize(("volts", "ampere", "mm_min", "printed"), WORKED)
def test_settings_give_the_printed_heat_input_with_its_uncertainty(
    volts: float, ampere: float, mm_min: float, printed: float
) -> None:
    settings = ArcSettings(
        process=Process.SMAW,
        arc=SteadyArc(current=CURRENT.reading(ampere, 8.0), volts=VOLTS.reading(volts, 1.2)),
        travel=TravelAtSpeed(speed=TRAVEL_SPEED.reading(mm_min / 60.0, 0.3)),
    )
    found = {each.asked: each for each in answers(settings)}
    heat, energy = found[Asked.HEAT_INPUT], found[Asked.ARC_ENERGY]
    assert isinstance(heat, Answer)
    assert isinstance(energy, Answer)
    assert_allclose(heat.reading.value, printed, atol=PRINTED_TO)
    # GUM 5.1.6: of a product, the relative uncertainties add in squares. Slopes are differences
    # over a millionth of each input, so six figures hold.
    relative = math.hypot(8.0 / ampere, 1.2 / volts, 0.3 / (mm_min / 60.0))
    assert_allclose(heat.reading.expanded_uncertainty / heat.reading.value, relative, rtol=1e-6)
    assert "AWS and ASME call this heat input" in energy.how
    assert_allclose(energy.reading.value, heat.reading.value / 0.8)


@pytest.mark.parametrize(
    ("volts", "ampere", "inches", "minutes", "printed_kj_per_in"),
    [
        (29.0, 325.0, 25.0, 2.0, 45.24),
        (39.0, 425.0, 35.0, 4.0, 113.65),
        (24.0, 120.0, 10.0, 1.0, 17.28),
    ],
)
def test_run_length_and_arc_time_give_the_printed_kilojoules_an_inch(
    volts: float, ampere: float, inches: float, minutes: float, printed_kj_per_in: float
) -> None:
    settings = ArcSettings(
        arc=SteadyArc(current=CURRENT.reading(ampere), volts=VOLTS.reading(volts)),
        travel=TravelOfRun(
            length=RUN_LENGTH.reading(MM_PER_INCH * inches, 2.0),
            arc_time=ARC_TIME.reading(60.0 * minutes, 1.0),
        ),
    )
    energy = {each.asked: each for each in answers(settings)}[Asked.ARC_ENERGY]
    assert isinstance(energy, Answer)
    per_inch = MM_PER_INCH * energy.reading.value
    assert_allclose(per_inch, printed_kj_per_in, atol=0.01)  # printed to hundredths
    # Half widths of 5 % of the current and 1 V, rectangular; U of 2 mm and of 1 s (GUM 5.1.6).
    relative = math.hypot(
        2.0 * 0.05 / math.sqrt(3.0),
        2.0 / (math.sqrt(3.0) * volts),
        2.0 / (MM_PER_INCH * inches),
        1.0 / (60.0 * minutes),
    )
    assert_allclose(energy.reading.expanded_uncertainty / energy.reading.value, relative, rtol=1e-6)


@pytest.mark.parametrize(
    ("process", "k"),
    [(Process.GTAW, 0.6), (Process.GTAW_PULSED, 0.6), (Process.SMAW, 0.8), (Process.GMAW, 0.8)],
)
def test_efficiencies_are_those_of_en_1011_1(process: Process, k: float) -> None:
    assert THERMAL_EFFICIENCY[process] == k


@pytest.mark.parametrize(("peak_a", "background_a"), [(140.0, 82.9), (170.0, 70.0)])
def test_peak_background_and_balance_give_the_mean_current(
    peak_a: float, background_a: float
) -> None:
    # The background is worked to a tenth of an ampere, and counts for 70 % of the cycle.
    assert_allclose(mean_current_a(peak_a, background_a, 0.30), 100.0, atol=0.05)
