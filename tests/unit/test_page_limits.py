"""Limit sets as the form offers them, and how what was chosen is understood."""

from pathlib import Path

import pytest

from beadcheck.errors import InputFileError, SettingError
from beadcheck.limits import DecisionRule, Family, LengthSystem, limit_sets
from beadcheck_page.entries import LONGEST_TEXT, Entries
from beadcheck_page.limit_choices import FAMILY_WORDS, offered_limits
from beadcheck_page.understanding import understood

CHOICES = offered_limits()
MOST_IN_A_LIST = 10
"""Entries that a phone shows at once, each as tall as a thumb."""


def test_every_shipped_set_can_be_chosen_through_its_family() -> None:
    assert sorted(CHOICES.names) == sorted(limit_sets())
    assert {family for _, family in CHOICES.families} == set(Family) - {Family.OWN}
    assert set(FAMILY_WORDS) == set(Family)


def test_no_list_is_longer_than_a_phone_shows() -> None:
    assert len(CHOICES.families) < MOST_IN_A_LIST
    for _, family in CHOICES.families:
        assert 1 <= len(CHOICES.of(family)) < MOST_IN_A_LIST
    assert all(len(name) <= LONGEST_TEXT for name in CHOICES.names)


def own_file(folder: Path, name: str, title: str) -> str:
    path = folder / name
    path.write_text(
        f"""\
format = "beadcheck-limits/1"
title = "{title}"
source = "Harrow Quay Weld Shop"
edition = "2026"
[[limit]]
quantity = "weld_width"
statistic = "max"
sense = "at most"
value_mm = 14.0
""",
        "utf-8",
    )
    return str(path)


def test_files_of_ones_own_are_a_family_of_their_own_and_come_first(tmp_path: Path) -> None:
    first, second = (own_file(tmp_path, f"{name}.toml", "First term") for name in "ab")
    choices = offered_limits([first, second])
    assert choices.families[0] == ("Our own", Family.OWN.value)
    # Two of the same title are told apart by their files.
    offered = choices.of(Family.OWN.value)
    assert [shown for shown, _ in offered] == ["First term (a.toml)", "First term (b.toml)"]
    told = understood(
        Entries(limits_of=Family.OWN.value, limits=offered[1][1]), limit_names=choices.names
    )
    assert choices.to_load(told.limits) == second
    assert choices.to_load("api-1104") == "api-1104"
    assert choices.to_load(None) is None


def test_a_browser_neither_learns_a_path_nor_may_send_one(tmp_path: Path) -> None:
    path = own_file(tmp_path, "first-term.toml", "First term")
    choices = offered_limits([path])
    assert str(tmp_path) not in str(choices.by_family)
    with pytest.raises(SettingError):
        understood(
            Entries(limits_of=Family.OWN.value, limits=path[-LONGEST_TEXT:]),
            limit_names=choices.names,
        )


def test_a_broken_file_of_ones_own_stops_the_page_before_it_starts(tmp_path: Path) -> None:
    path = own_file(tmp_path, "first-term.toml", "First term")
    broken = Path(path).read_text("utf-8").replace("at most", "at mots")
    Path(path).write_text(broken, "utf-8")
    with pytest.raises(InputFileError, match=r"first-term\.toml, line 8: sense .* Write"):
        offered_limits([path])


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
