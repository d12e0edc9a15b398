"""Limit sets as the form offers them, and how what was chosen is understood."""

import pytest

from beadcheck.errors import SettingError
from beadcheck.limits import DecisionRule, Family, LengthSystem, limit_sets
from beadcheck_page.entries import LONGEST_TEXT, Entries
from beadcheck_page.limit_choices import FAMILY_WORDS, shipped_limits
from beadcheck_page.understanding import understood

CHOICES = shipped_limits()
MOST_IN_A_LIST = 10
"""Entries that a phone shows at once, each as tall as a thumb."""


def test_every_shipped_set_can_be_chosen_through_its_family() -> None:
    assert sorted(CHOICES.names) == sorted(limit_sets())
    assert {family for _, family in CHOICES.families} == set(Family) - {Family.OWN}
    assert set(FAMILY_WORDS) == set(Family) - {Family.OWN}


def test_no_list_is_longer_than_a_phone_shows() -> None:
    assert len(CHOICES.families) < MOST_IN_A_LIST
    for _, family in CHOICES.families:
        assert 1 <= len(CHOICES.of(family)) < MOST_IN_A_LIST
    assert all(len(name) <= LONGEST_TEXT for name in CHOICES.names)


@pytest.mark.parametrize("family", [None, "-", 3, "gas pipes"])
def test_an_unknown_family_has_no_sets(family: object) -> None:
    assert CHOICES.of(family) == []


def test_the_usual_set_comes_first_in_its_family() -> None:
    assert CHOICES.of(Family.PRACTICE.value)[0][1] == "pipe-coupon"


@pytest.mark.parametrize(
    ("unit", "guard", "system", "rule"),
    [
        ("mm", "w = U", LengthSystem.MM, DecisionRule.FULL),
        ("inch", "w = 0.83 U", LengthSystem.INCH, DecisionRule.NINETY_FIVE),
    ],
)
def test_limits_are_judged_in_the_unit_and_by_the_guard_band_that_were_chosen(
    unit: str, guard: str, system: LengthSystem, rule: DecisionRule
) -> None:
    told = understood(Entries(unit=unit, guard=guard), limit_names=CHOICES.names)
    assert (told.judging.system, told.judging.rule) == (system, rule)


@pytest.mark.parametrize(
    "entries",
    [
        Entries(limits_of="ASME"),
        Entries(limits_of="ASME", limits="asme-b31"),
        Entries(guard="w = 2 U"),
        Entries(guard=0.83),
        Entries(limits_of=["ASME"], limits="asme-b31-3-normal"),
    ],
)
def test_a_choice_that_is_none_is_refused(entries: Entries) -> None:
    with pytest.raises(SettingError):
        understood(entries, limit_names=CHOICES.names)
