"""Advice in the unit that was chosen: every length and travel speed has its inches beside it."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.advice.rules import RULES
from beadcheck.report.advised import advice_words, change_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.wording import LengthUnit
from beadcheck.result import AdviceRecord

STEPS = AdviceRecord(
    symptom="The pulse spots, 3.1 mm apart and 4.0 mm long, overlap by only 23 %.",
    change="Move about 1.6 mm instead of 3.1 mm per pulse, for 60 % overlap: that is 77 mm/min "
    "instead of 149 mm/min with these pulse times.",
    why="Overlap is what is left of a spot when the next one has stepped on.",
    look_first="660 mm/min is faster than hands usually weld with GTAW (51 to 203 mm/min).",
)


def test_inches_stand_beside_every_length_and_speed() -> None:
    assert change_words(STEPS, LengthUnit.INCH) == (
        "Move about 1.6 mm (0.063 in) instead of 3.1 mm (0.122 in) per pulse, for 60 % overlap: "
        "that is 77 mm/min (3.0 in/min) instead of 149 mm/min (5.9 in/min) with these pulse times."
    )
    beside = dict(advice_words(STEPS, LengthUnit.INCH))
    assert beside["Seen"].startswith("The pulse spots, 3.1 mm (0.122 in) apart and 4.0 mm")
    # 660 / 25.4 = 26.0; a span within brackets gets no brackets of its own.
    assert beside["Look first"] == (
        "660 mm/min (26.0 in/min) is faster than hands usually weld with GTAW (51 to 203 mm/min, "
        "2.0 to 8.0 in/min)."
    )


def test_millimetres_alone_stay_as_they_are() -> None:
    assert change_words(STEPS, LengthUnit.MM) == STEPS.change
    assert dict(advice_words(STEPS, LengthUnit.MM))["Look first"] == STEPS.look_first


@pytest.mark.parametrize("words", ["88 px apart", "62 % overlap", "15 mm2 of metal", "4 mmHg"])
def test_what_is_no_length_stays_as_it_is(words: str) -> None:
    assert in_unit(words, LengthUnit.INCH) == words


@given(number=st.decimals(-9, 99, places=1), last=st.none() | st.decimals(0, 99, places=2))
def test_inches_are_the_millimetres_they_stand_beside(number, last) -> None:
    span = "" if last is None else f" to {last}"
    told = in_unit(f"It lies {number}{span} mm below.", LengthUnit.INCH)
    inches = re.findall(r"-?\d+\.\d+", told.split("(")[1])
    for inch, mm in zip(inches, [number, last], strict=False):
        # Rounded to a thousandth of an inch.
        assert float(inch) == pytest.approx(float(mm) / 25.4, abs=0.00051)
    assert len(inches) == (1 if last is None else 2)


def test_no_rule_words_a_length_that_gets_no_inches() -> None:
    for rule in RULES:
        for words in (rule.look_first, *(c.words for c in rule.changes)):
            assert not re.search(r"milli|centi", words)
            told = in_unit(words, LengthUnit.INCH)
            assert told.count(" mm") == told.count(" in)")
