"""What changed since somebody's last run of the same kind, on both databases."""

from dataclasses import replace
from datetime import timedelta

import pytest

from beadcheck.coupon import WeldPass
from beadcheck.log import (
    Corrected,
    Correction,
    NewPerson,
    Run,
    Selection,
    Wanted,
    add_people,
    measurement_of,
    run_before,
    save,
    summary_rows,
)
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.wording import LengthUnit
from beadcheck.trends import last_run_lines, last_run_of, look_up_person, person_lines

from .conftest import NOON, quantity, result

RUN = Run(
    person="Tern",
    coupon="P8-18",
    name="cap",
    weld_pass=WeldPass.CAP.value,
    process="gtaw-pulsed",
    measured_at=NOON + timedelta(days=9),
)


def measured(spread_mm: float, *, peak: float = 120.0, **coupon):
    made = result(
        quantity(value=9.0),
        quantity(statistic="sd", value=spread_mm, expanded_uncertainty=0.06),
        **coupon,
    )
    current = replace(made.settings.peak_current, value=peak)
    return replace(made, settings=replace(made.settings, peak_current=current))


@pytest.fixture
def saved(log, entry):
    def save_on(day: int, spread_mm: float = 0.9, **said) -> int:
        coupon = {key: said.pop(key) for key in ("weld_pass", "process", "position") if key in said}
        peak = said.pop("peak", 120.0)
        said.setdefault("coupon", f"P8-{day}")
        made = measured(spread_mm, peak=peak, **coupon)
        return save(log, entry(made, measured_at=NOON + timedelta(days=day), **said)).number

    return save_on


def test_a_smaller_scatter_since_the_last_run_is_told_with_what_measuring_alone_gives(log, saved):
    saved(1)
    number = saved(4, 0.5, peak=110.0)
    said = last_run_lines(last_run_of(log, measurement_of(log, number)), LengthUnit.MM)
    assert said == [
        "Since Tern's last cap (P8-1, cap, 2026-05-19):",
        "Weld width, spread (sd) fell from 0.90 mm to 0.50 mm, more than repeat measurement alone "
        "would give (0.08 mm).",
        "No more than repeat measurement alone would give: weld width, mean.",
        "Meanwhile peak current went from 120 to 110 A.",
        "One run may be chance: the trend tells more from five welds on.",
    ]


def test_the_first_run_of_its_kind_has_nothing_before_it(log, saved):
    saved(1, weld_pass=WeldPass.ROOT.value, run="root")
    saved(2, process="smaw")
    saved(3, person="Gull")
    number = saved(4)
    found = last_run_of(log, measurement_of(log, number))
    assert found is None
    assert last_run_lines(found, LengthUnit.MM) == []


def test_a_run_before_is_another_pass_that_nothing_corrects(log, saved):
    kept = saved(1)
    wrong = saved(2)
    correction = (Correction(what=Corrected.OTHER, by="Brisk", corrects=wrong),)
    saved(3, person="Gull", corrections=correction)
    saved(4, coupon="P8-18")
    before = run_before(log, RUN)
    assert before is not None
    assert before.number == kept
    # Kept once more under another name of the coupon: itself is no run before.
    again = replace(RUN, coupon="P8-19", corrects=kept)
    assert run_before(log, again).coupon == "P8-18"
    assert run_before(log, replace(RUN, measured_at=NOON)) is None


def test_a_person_is_known_by_number_too_and_a_stranger_has_no_run(log, saved):
    add_people(log, [NewPerson(name="Tern", number="0017")], at=NOON)
    number = saved(1)
    assert run_before(log, replace(RUN, person="0017")).number == number
    assert run_before(log, replace(RUN, person="nobody")) is None


def test_another_position_is_told(log, saved):
    saved(1, position="1G")
    number = saved(2, position="6G")
    said = last_run_lines(last_run_of(log, measurement_of(log, number)), LengthUnit.MM)
    assert "It was in 1G then, and is in 6G now." in said


def test_another_polarity_is_told(log, entry):
    for day, polarity in ((1, "dcep"), (2, "dcen")):
        made = measured(0.9)
        made = replace(made, coupon=replace(made.coupon, polarity=polarity))
        at = NOON + timedelta(days=day)
        number = save(log, entry(made, coupon=f"P8-{day}", measured_at=at)).number
    said = last_run_lines(last_run_of(log, measurement_of(log, number)), LengthUnit.MM)
    assert "It was welded on DCEP then, and on DCEN now." in said


def test_results_without_a_common_value_say_so(log, entry, saved):
    first = result(quantity(name="undercut_depth", statistic="max", value=0.2))
    save(log, entry(first, coupon="other", measured_at=NOON))
    number = saved(1)
    (said,) = last_run_lines(last_run_of(log, measurement_of(log, number)), LengthUnit.MM)
    assert said.endswith("nothing was measured both times.")


def test_a_look_up_tells_trend_places_and_the_last_run_together(log, saved):
    for day in range(1, 6):
        saved(day, 0.9 - 0.1 * day)
    wanted = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.SD)
    selection = Selection(person="Tern", latest_only=True)
    found = look_up_person(log, selection, wanted)
    assert found.trend.rows == summary_rows(log, wanted, selection)
    # One station in each of the invented results is too few for a place.
    assert found.within is None
    said = person_lines(found, LengthUnit.MM)
    assert any("5 welds" in line for line in said)
    assert any(line.startswith("Since Tern's last cap (P8-4") for line in said)
