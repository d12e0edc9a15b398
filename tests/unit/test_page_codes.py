"""The codes that open the page from another device: what is one, what opens, how often is tried."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck_page.admissions import AGE_S, Admissions
from beadcheck_page.codes import CLASS_DIGITS, INSTRUCTOR_DIGITS, Codes, codes_for
from beadcheck_page.patience import OF_ALL, OF_ONE, Measure, Patience
from beadcheck_page.refusals import CodesAlikeError, CodeTooSimpleError
from beadcheck_page.roles import Role, role_of

CODES = Codes(of_class="483 920", of_instructor="Quay-side 7")
DAY_S = 8 * 3600.0


@dataclass
class Clock:
    now_s: float = 1000.0

    def __call__(self) -> float:
        return self.now_s


def test_random_codes_are_digits_in_two_groups_and_differ_each_time() -> None:
    made = [codes_for(None, None) for _ in range(20)]
    for codes in made:
        assert codes.only_digits
        assert len(codes.of_class.replace(" ", "")) == CLASS_DIGITS
        assert len(codes.of_instructor.replace(" ", "")) == INSTRUCTOR_DIGITS
    assert len({codes.of_class for codes in made}) > 15


@pytest.mark.parametrize("entered", ["483920", " 48 39 20 ", "483-920", "４８３９２０"])
def test_spaces_hyphens_and_wide_digits_do_not_matter(entered: str) -> None:
    assert CODES.role(entered) is Role.TRAINEE


def test_capitals_do_not_matter_and_the_instructors_code_opens_more() -> None:
    assert CODES.role("QUAYSIDE7") is Role.INSTRUCTOR
    assert not CODES.only_digits


@given(entered=st.text())
def test_nothing_else_opens_anything(entered: str) -> None:
    plain = "".join(each for each in entered.casefold() if each.isalnum())
    if plain not in {"483920", "quayside7"}:
        assert CODES.role(entered) in {None, CODES.role(plain)}
    for wrong in ("", "48392", "4839201", "483921"):
        assert CODES.role(wrong) is None


@pytest.mark.parametrize("chosen", ["", "12345", "  1 2 3 ", "111111", "ababab", "-----------"])
def test_a_chosen_code_that_is_too_short_or_too_plain_is_refused_in_a_sentence(
    chosen: str,
) -> None:
    with pytest.raises(
        CodeTooSimpleError, match=r"class code is too short or too plain\. Choose 6"
    ):
        codes_for(chosen, None)
    with pytest.raises(CodeTooSimpleError, match="instructor's code"):
        codes_for(None, chosen)


def test_one_code_for_both_is_refused() -> None:
    with pytest.raises(CodesAlikeError):
        codes_for("harrow-42", "HARROW 42")


def test_an_admission_ends_with_its_time_and_with_the_run() -> None:
    clock = Clock()
    admissions = Admissions(clock=clock)
    token = admissions.admit(Role.INSTRUCTOR)
    clock.now_s += AGE_S[Role.INSTRUCTOR] - 1
    assert admissions.role(token) is Role.INSTRUCTOR
    assert Admissions(clock=clock).role(token) is None
    clock.now_s += 1
    assert admissions.role(token) is None


@given(forged=st.none() | st.text())
def test_a_token_that_was_not_made_here_admits_nobody(forged: str | None) -> None:
    admissions = Admissions()
    token = admissions.admit(Role.TRAINEE)
    assert admissions.role(forged) is None
    assert admissions.role(token.replace("trainee", "instructor")) is None
    ends = token.split(".")[1]
    assert admissions.role(token.replace(ends, str(int(ends) + 1))) is None


def test_wrong_codes_cost_a_growing_wait_up_to_the_longest() -> None:
    clock = Clock()
    patience = Patience(OF_ONE, clock=clock)
    waits = []
    for _ in range(14):
        patience.failed("a")
        waits.append(patience.wait_s("a"))
        clock.now_s += waits[-1]
    assert waits[:8] == [0.0, 0.0, 0.0, 0.0, 10.0, 20.0, 40.0, 80.0]
    assert waits[-1] == OF_ONE.longest_wait_s == 600.0
    assert patience.wait_s("b") == 0.0


def test_a_wait_runs_out_and_all_is_forgotten_a_while_later() -> None:
    clock = Clock()
    measure = Measure(free=0, first_wait_s=10.0, longest_wait_s=60.0, forget_s=100.0)
    patience = Patience(measure, clock=clock)
    patience.failed("a")
    patience.failed("a")
    assert patience.wait_s("a") == 20.0
    clock.now_s += 15.0
    assert patience.wait_s("a") == 5.0
    clock.now_s += 106.0
    assert patience.wait_s("a") == 0.0
    patience.failed("a")
    assert patience.wait_s("a") == 10.0


def test_however_many_addresses_try_only_so_many_are_remembered() -> None:
    patience = Patience(OF_ONE, most=50)
    for number in range(5000):
        patience.failed(str(number))
    assert len(patience._failures) == 50  # its memory is what is asked about


def test_a_school_day_of_tries_from_many_addresses_covers_less_than_a_thousandth() -> None:
    clock = Clock()
    patience = Patience(OF_ALL, clock=clock)
    tried = 0
    while clock.now_s < DAY_S:
        clock.now_s += max(patience.wait_s("all"), 0.01)
        patience.failed("all")
        tried += 1
    assert tried / 10**CLASS_DIGITS < 0.001
    assert patience.wait_s("all") == OF_ALL.longest_wait_s


def test_a_role_that_the_guard_did_not_write_is_the_least() -> None:
    assert role_of({}) is Role.TRAINEE
    assert role_of({"x-beadcheck-role": "headmaster"}) is Role.TRAINEE
    assert [role for role in Role if role.sees_class] == [Role.HERE, Role.INSTRUCTOR]
