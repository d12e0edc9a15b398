"""The log a page at a time, and a wrong name put right without anything being overwritten."""

from datetime import timedelta

import pytest

from beadcheck.errors.log import (
    NameNotUsableError,
    NamesAsTheyAreError,
    NoSuchMeasurementError,
    ReplacedAlreadyError,
    UnknownPersonError,
)
from beadcheck.log import (
    Selection,
    Wanted,
    correct_names,
    csv_lines,
    forget_person,
    measurement_of,
    measurements,
    newest,
    save,
    settings_of,
    summary_rows,
)
from beadcheck.quantity import QuantityName, Statistic

from .conftest import NOON, quantity, result

WIDTH = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.MEAN)
LATER = NOON + timedelta(days=3)


def numbers_of(page) -> list[int]:
    return [line.logged.number for line in page.lines]


def test_pages_go_from_the_newest_to_the_oldest_and_leave_nothing_out(log, entry):
    kept = [save(log, entry(coupon=f"P{k}")).number for k in range(7)]
    seen = []
    for skipped in (0, 3, 6):
        page = newest(log, most=3, skipped=skipped)
        assert (page.total, page.skipped) == (7, skipped)
        seen += numbers_of(page)
    assert seen == kept[::-1]
    assert newest(log, most=3, skipped=9).lines == ()


def test_a_page_may_be_of_one_person_and_of_nobody_unknown(log, entry):
    save(log, entry())
    gulls = save(log, entry(person="Gull")).number
    page = newest(log, Selection(person="GULL"), most=20)
    assert (numbers_of(page), page.total) == ([gulls], 1)
    with pytest.raises(UnknownPersonError):
        newest(log, Selection(person="Moth"), most=20)


def test_a_line_tells_the_values_of_the_pass_in_a_fixed_order(log, entry):
    values = (
        quantity(name="ripple_spacing", value=1.4),
        quantity(statistic="sd", value=0.31),
        quantity(value=9.9, count=20),
        quantity(value=9.7, count=61, photo=1),
        quantity(name="toe_waviness", statistic="sd", value=0.2, side="left"),
    )
    save(log, entry(result(*values, files=("a.jpg", "b.jpg"))))
    (line,) = newest(log, most=5).lines
    told = [(each.name, each.statistic, each.value) for each in line.headlines]
    assert told == [
        ("weld_width", "mean", 9.7),
        ("weld_width", "sd", 0.31),
        ("ripple_spacing", "mean", 1.4),
    ]
    assert line.replaced_by is None


def test_a_wrong_name_is_put_right_by_a_row_that_corrects_the_first(log, entry):
    first = save(log, entry(coupon_file="x = 1", limit_set="shop")).number
    saved = correct_names(log, first, person_name="Gull", coupon_name=None, at=LATER)
    assert (saved.person, saved.coupon, saved.run, saved.new_person) == (
        "Gull",
        "P8-17",
        "cap",
        True,
    )
    old, new = measurement_of(log, first), measurement_of(log, saved.number)
    assert old.logged.person == "Tern"
    assert (new.result, new.coupon_file) == (old.result, old.coupon_file)
    assert new.logged.measured_at == old.logged.measured_at
    assert new.logged.measured_by == "Gull"
    assert (new.logged.within, new.logged.limit_set) == (old.logged.within, "shop")
    assert [photo.copy for photo in new.photos] == [photo.copy for photo in old.photos]
    (correction,) = new.corrections
    assert (correction.corrects, correction.at) == (first, LATER)
    assert [line.replaced_by for line in newest(log, most=5).lines] == [None, saved.number]
    assert len(settings_of(log, Selection(person="Gull"))) == len(
        settings_of(log, Selection(person="Tern"))
    )


def test_a_weld_kept_under_a_wrong_name_leaves_that_persons_trend(log, entry):
    first = save(log, entry()).number
    correct_names(log, first, person_name="Gull", coupon_name=None, at=LATER)
    latest = Selection(latest_only=True)
    assert [row.person for row in summary_rows(log, WIDTH, latest)] == ["Gull"]
    assert [each.person for each in measurements(log, latest)] == ["Gull"]
    assert sum("P8-17" in line for line in csv_lines(log, latest)) == 2


def test_a_wrong_coupon_is_put_right_and_a_coupon_of_that_name_is_joined(log, entry):
    other = save(log, entry(coupon="P9")).number
    wrong = save(log, entry()).number
    saved = correct_names(log, wrong, person_name=None, coupon_name="p9", at=LATER)
    assert (saved.person, saved.new_person) == ("Tern", False)
    assert [each.number for each in measurements(log, Selection(latest_only=True))] == [
        saved.number
    ]
    assert measurement_of(log, other).logged.coupon == "P9"


def test_who_measured_stays_unless_the_welder_did(log, entry):
    number = save(log, entry(measured_by="Moth")).number
    saved = correct_names(log, number, person_name="Gull", coupon_name=None, at=LATER)
    assert measurement_of(log, saved.number).logged.measured_by == "Moth"


def test_what_cannot_be_put_right_changes_nothing(log, entry):
    first = save(log, entry()).number
    with pytest.raises(NamesAsTheyAreError):
        correct_names(log, first, person_name="TERN", coupon_name=" p8-17 ", at=LATER)
    with pytest.raises(NameNotUsableError):
        correct_names(log, first, person_name="Gull", coupon_name="x" * 200, at=LATER)
    with pytest.raises(NoSuchMeasurementError):
        correct_names(log, first + 7, person_name="Gull", coupon_name=None, at=LATER)
    assert len(measurements(log)) == 1
    newer = correct_names(log, first, person_name="Gull", coupon_name=None, at=LATER).number
    with pytest.raises(ReplacedAlreadyError, match=f"number {newer}"):
        correct_names(log, first, person_name="Moth", coupon_name=None, at=LATER)
    assert len(measurements(log)) == 2


def test_a_person_who_was_named_wrongly_can_still_be_deleted(log, entry):
    first = save(log, entry()).number
    newer = correct_names(log, first, person_name="Gull", coupon_name=None, at=LATER).number
    forget_person(log, "Tern")
    kept = measurement_of(log, newer)
    assert [photo.copy is not None and photo.copy.is_file() for photo in kept.photos] == [True]
    assert kept.corrections[0].corrects is None
