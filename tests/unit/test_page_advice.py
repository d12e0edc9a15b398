"""Advice in the page: the change first, its source on a tap, and lengths in the chosen unit."""

from dataclasses import replace

from beadcheck.coupon import Coupon
from beadcheck.report.wording import LengthUnit
from beadcheck.result import AdviceRecord, Result, coupon_record
from beadcheck_page.show.advice import advice

STEP = AdviceRecord(
    symptom="The pulse spots, 3.1 mm apart and 4.0 mm long, overlap by only 23 %.",
    change="Move about 1.6 mm instead of 3.1 mm per pulse, for 60 % overlap.",
    why="Overlap is what is left of a spot when the next one has stepped on.",
    basis="common practice, no published source",
)
RESULT = Result(coupon=coupon_record(Coupon()), photos=(), advice=(STEP,))


def test_change_and_symptom_stand_open_and_the_source_waits_for_a_tap() -> None:
    shown, _, folded = advice(RESULT, LengthUnit.MM).partition("<details")
    assert "Move about 1.6 mm instead of 3.1 mm" in shown
    assert "overlap by only 23 %" in shown
    assert "Source" not in shown
    assert "Common practice, no published source" in folded


def test_where_inches_are_chosen_they_stand_beside_every_length() -> None:
    shown = advice(RESULT, LengthUnit.INCH)
    for words in ("1.6 mm (0.063 in) instead of 3.1 mm (0.122 in)", "4.0 mm (0.157 in) long"):
        assert words in shown


def test_where_there_is_no_advice_there_is_no_heading() -> None:
    assert advice(replace(RESULT, advice=()), LengthUnit.MM) == ""
