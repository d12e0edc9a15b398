"""Words to pipe sizes."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.coupon.pipe_sizes import PipeSize, parse_pipe_size, pipe_sizes
from beadcheck.errors import SettingError
from beadcheck.errors.setting import (
    PipeSizeNotReadableError,
    UnknownPipeSizeError,
    UnknownScheduleError,
)


@pytest.mark.parametrize(
    "text",
    [
        "NPS 1-1/2 SCH 80",
        "nps 1 1/2 sch 80",
        "  NPS1-1/2   SCH80 ",
        "1½ sch 80",
        '1-1/2" schedule 80',
        "1.5 in sch. 80",
        "DN 40 Sch 80",
        "dn40-80",
    ],
)
def test_one_size_is_understood_however_it_is_written(text: str) -> None:
    size = parse_pipe_size(text)
    assert (size.nps, size.dn, size.schedule, size.wall_thickness_mm) == ("1-1/2", 40, "80", 5.08)


def test_a_size_without_schedule_has_a_diameter_and_no_wall() -> None:
    size = parse_pipe_size("NPS 8")
    assert (size.outside_diameter_mm, size.schedule, size.wall_thickness_mm) == (219.1, None, None)


@pytest.mark.parametrize("size", pipe_sizes()[::7], ids=str)
def test_every_size_reads_its_own_name_back(size: PipeSize) -> None:
    assert parse_pipe_size(str(size)) == size
    assert parse_pipe_size(f"DN {size.dn} {size.schedule}") == size


def test_old_shop_words_mean_extra_strong() -> None:
    assert parse_pipe_size("NPS 4 XH") == parse_pipe_size("NPS 4 XS")
    assert parse_pipe_size("NPS 4 XXH") == parse_pipe_size("NPS 4 XXS")


def test_a_size_that_is_not_made_names_its_neighbours() -> None:
    with pytest.raises(UnknownPipeSizeError, match=r"no NPS 7 .* nearest are NPS 6 and NPS 8"):
        parse_pipe_size("NPS 7 SCH 40")
    with pytest.raises(UnknownPipeSizeError, match=r"no DN 210 .* nearest are DN 200 and DN 250"):
        parse_pipe_size("DN 210")


def test_a_schedule_that_is_not_made_names_those_that_are() -> None:
    with pytest.raises(UnknownScheduleError, match=r"NPS 3-1/2 has no schedule 160 .* 80 and XS"):
        parse_pipe_size("NPS 3-1/2 SCH 160")
    with pytest.raises(UnknownScheduleError, match="no schedule 40S"):
        parse_pipe_size("NPS 8 SCH 40S")


@pytest.mark.parametrize("text", ["", "NPS", "pipe", "NPS 1/0", "8 60 40", "NPS 8 SCH", "9" * 5000])
def test_words_that_make_no_size_are_refused_with_an_example(text: str) -> None:
    with pytest.raises(PipeSizeNotReadableError, match="Write it like") as caught:
        parse_pipe_size(text)
    assert len(str(caught.value)) < 160


@given(st.one_of(st.text(), st.from_regex(r"(NPS|DN)? ?[0-9 /.½-]+ ?(SCH|S)? ?[0-9XSTD]*")))
def test_any_words_give_a_size_or_a_refusal(text: str) -> None:
    with contextlib.suppress(SettingError):
        assert parse_pipe_size(text).outside_diameter_mm > 20.0
