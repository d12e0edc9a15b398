"""A trend is a query: the values of many measurements, selected, in their order."""

from datetime import date, timedelta
from statistics import fmean

import pytest

from beadcheck.coupon import WeldPass
from beadcheck.errors.log import UnknownPersonError
from beadcheck.log import (
    Corrected,
    Correction,
    NewPerson,
    Selection,
    Wanted,
    add_people,
    class_values,
    measurements,
    save,
    summary_rows,
)
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.trends import look_up_class, weeks_of
from beadcheck.units import Unit

from .conftest import NOON, quantity, result

WIDTH = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.MEAN)


def saved(log, entry, value, *, days=0, **said) -> int:
    measured = result(quantity(value=value))
    return save(log, entry(measured, measured_at=NOON + timedelta(days=days), **said)).number


def test_values_come_oldest_first_with_whose_they_are(log, entry):
    saved(log, entry, 9.5, days=3, person="Gull", coupon="A")
    saved(log, entry, 9.1, days=1, coupon="B")
    rows = summary_rows(log, WIDTH)
    assert [(each.value, each.person, each.coupon) for each in rows] == [
        (9.1, "Tern", "B"),
        (9.5, "Gull", "A"),
    ]
    assert rows[0].expanded_uncertainty == 0.18
    assert rows[0].clock_deg == 92.5


def test_sides_statistics_and_units_are_kept_apart(log, entry):
    values = (
        quantity(name="toe_waviness", statistic="sd", value=0.2, side="left"),
        quantity(name="toe_waviness", statistic="sd", value=0.4, side="right"),
        quantity(value=400.0, unit="px", s_range_mm=None),
    )
    save(log, entry(result(*values)))
    waviness = Wanted(name=QuantityName.TOE_WAVINESS, statistic=Statistic.SD, side=Side.RIGHT)
    assert [each.value for each in summary_rows(log, waviness)] == [0.4]
    assert summary_rows(log, WIDTH) == ()
    pixels = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.MEAN, unit=Unit.PX)
    assert [each.value for each in summary_rows(log, pixels)] == [400.0]


def test_of_several_photos_the_coupons_value_stands_for_the_pass(log, entry):
    values = (
        quantity(value=9.0, photo=0),
        quantity(value=9.4, photo=1),
        quantity(value=9.2, photo=None, photos=(0, 1), scope="coupon"),
    )
    save(log, entry(result(*values, files=("a.jpg", "b.jpg"))))
    assert [each.value for each in summary_rows(log, WIDTH)] == [9.2]
    single = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.MEAN, for_pass=False)
    assert [each.value for each in summary_rows(log, single)] == [9.0, 9.4]


def test_without_a_coupons_value_that_of_most_readings_stands_for_the_pass(log, entry):
    values = (quantity(value=9.0, count=1, photo=0), quantity(value=9.4, count=60, photo=1))
    save(log, entry(result(*values, files=("side.jpg", "face.jpg"))))
    assert [each.value for each in summary_rows(log, WIDTH)] == [9.4]


def test_a_pass_measured_again_may_count_once(log, entry):
    saved(log, entry, 9.0)
    saved(log, entry, 9.3, days=1)
    saved(log, entry, 8.0, run="fill")
    assert len(summary_rows(log, WIDTH)) == 3
    latest = summary_rows(log, WIDTH, Selection(latest_only=True))
    assert sorted(each.value for each in latest) == [8.0, 9.3]


def test_a_measurement_kept_under_a_wrong_name_leaves_that_persons_trend(log, entry):
    saved(log, entry, 9.0)
    wrong = saved(log, entry, 7.1, days=1)
    corrections = (Correction(what=Corrected.OTHER, by="Brisk", corrects=wrong),)
    moved = saved(log, entry, 7.2, days=2, person="Gull", corrections=corrections)

    def latest(person):
        selection = Selection(person=person, latest_only=True)
        return [each.value for each in summary_rows(log, WIDTH, selection)]

    assert latest("Tern") == [9.0]
    assert latest("Gull") == [7.2]
    (week,) = weeks_of(class_values(log, WIDTH, Selection(latest_only=True)))
    assert (week.count, week.people, week.least) == (2, 2, 7.2)
    # Corrected once more, back under the first name.
    back = (Correction(what=Corrected.OTHER, by="Brisk", corrects=moved),)
    saved(log, entry, 7.3, days=3, run="second", corrections=back)
    assert latest("Tern") == [9.0, 7.3]
    assert latest("Gull") == []
    assert len(measurements(log)) == 4


def test_a_selection_narrows_by_person_class_coupon_pass_and_day(log, entry):
    add_people(log, [NewPerson(name="Tern", number="0017", class_name="second term")], at=NOON)
    first = saved(log, entry, 9.0)
    second = saved(log, entry, 9.1, days=1, person="Gull", coupon="other", run="second")

    def numbers(**said):
        return [each.number for each in measurements(log, Selection(**said))]

    assert numbers(person="0017") == numbers(class_name="second term") == [first]
    assert numbers(coupon="P8-17") == [first]
    assert numbers(run="second") == [second]
    assert numbers(weld_pass=WeldPass.CAP, process="gtaw-pulsed", position="1G") == [first, second]
    assert numbers(weld_pass=WeldPass.ROOT) == []
    assert numbers(since=date(2026, 5, 19)) == [second]
    assert numbers(until=date(2026, 5, 18)) == [first]


def test_somebody_unknown_is_refused_and_the_nearest_is_named(log, entry):
    saved(log, entry, 9.0)
    with pytest.raises(UnknownPersonError, match="'Tern' is"):
        measurements(log, Selection(person="tren"))


def test_a_class_trend_is_what_python_makes_of_the_same_values(log, entry):
    """Against `statistics.fmean`, and weeks by `datetime.date.isocalendar` (ISO 8601)."""
    days = {0: 9.0, 2: 9.6, 6: 9.3, 7: 8.8, 13: 8.4, 30: 8.1}
    for day, value in days.items():
        saved(log, entry, value, days=day, person=f"learner {day % 3}", coupon=f"C{day}")
    weeks: dict[tuple[int, int], list[float]] = {}
    for day, value in days.items():
        year, week, _ = (NOON + timedelta(days=day)).isocalendar()
        weeks.setdefault((year, week), []).append(value)
    points = weeks_of(class_values(log, WIDTH))
    assert [each.first_day.isocalendar()[:2] for each in points] == list(weeks)
    assert all(each.first_day.isoweekday() == 1 for each in points)
    for point, values in zip(points, weeks.values(), strict=True):
        assert point.mean == pytest.approx(fmean(values), abs=1e-12)
        assert (point.least, point.greatest) == (min(values), max(values))
        assert point.count == len(values)
    assert points[0].people == 2


def test_a_class_has_a_line_for_each_person_whatever_the_order_of_saving(log, entry):
    """Against `statistics.fmean` over the values as they were saved."""
    welded = {"Tern": [9.0, 9.6, 9.3, 8.8, 8.5], "Gull": [8.4, 8.1]}
    for day in (4, 0, 2, 3, 1):
        for person, values in welded.items():
            if day < len(values):
                saved(log, entry, values[day], days=day, person=person, coupon=f"C{day}")
    found = look_up_class(log, Selection(latest_only=True), WIDTH)
    assert [(each.person, each.welds) for each in found.members] == [("Gull", 2), ("Tern", 5)]
    gull, tern = found.members
    assert (gull.first, gull.latest) == (8.4, 8.1)
    assert tern.mean == pytest.approx(fmean(welded["Tern"]), abs=1e-12)
    assert tern.first == pytest.approx(fmean(welded["Tern"][:2]), abs=1e-12)
    assert tern.latest == pytest.approx(fmean(welded["Tern"][-2:]), abs=1e-12)
    assert tern.last_at == NOON + timedelta(days=4)
    assert look_up_class(log, Selection(class_name="nobody's"), WIDTH).members == ()
