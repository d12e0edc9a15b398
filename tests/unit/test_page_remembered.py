"""What a device remembers: only what makes sense, however it was stored."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.entries import UNSAID, Entries
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.remembered import LONGEST_PERSON, Remembered, remembered

CHOICES = LimitChoices(
    by_family={
        "iso": [("ISO 5817, level B", "iso-b"), ("ISO 5817, level C", "iso-c")],
        "practice": [("Practice coupon", "coupon")],
    }
)
ALL = {"unit": "inch", "limits_of": "iso", "limits": "iso-c", "person": "Tern"}
JUNK = st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner),
    max_leaves=5,
)


def test_what_is_stored_is_read_back() -> None:
    read = remembered(ALL, CHOICES)
    assert read == Remembered(unit=LengthUnit.INCH, limits_of="iso", limits="iso-c", person="Tern")
    assert read.stored() == ALL
    assert read.begun() == Entries(unit="inch", limits_of="iso", limits="iso-c")


def test_a_device_that_remembers_nothing_begins_as_any_other() -> None:
    assert remembered({}, CHOICES).begun() == Entries()
    assert Remembered().stored() == {}
    assert show.remembered_here(Remembered(), CHOICES) == ""


@given(sent=JUNK | st.fixed_dictionaries({}, optional=dict.fromkeys(ALL, JUNK)))
def test_whatever_a_browser_says_that_it_stored_gives_a_form_that_can_be_shown(
    sent: object,
) -> None:
    read = remembered(sent, CHOICES)
    assert read.limits is None or read.limits in CHOICES.names
    assert read.person is None or 0 < len(read.person) <= LONGEST_PERSON
    assert read.begun().unit in set(LengthUnit)


@pytest.mark.parametrize(
    ("family", "name", "kept"),
    [
        ("iso", UNSAID, None),
        ("iso", "gone", None),
        ("x", "iso-b", None),
        ("practice", UNSAID, "coupon"),
    ],
)
def test_a_limit_set_that_is_not_one_of_its_family_is_not_remembered(
    family: str, name: str, kept: str | None
) -> None:
    read = remembered({**ALL, "limits_of": family, "limits": name}, CHOICES)
    assert read.limits == kept
    assert read.limits_of == (None if kept is None else family)


def test_whose_device_it_is_stands_first_and_as_plain_words() -> None:
    told = show.remembered_here(remembered({**ALL, "person": "<b>Gull</b>"}, CHOICES), CHOICES)
    assert told.index("&lt;b&gt;Gull") < told.index("lengths in inch") < told.index("level C")
