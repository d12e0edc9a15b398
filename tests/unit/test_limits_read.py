"""Limit files: what is shipped is sound, and a broken one is refused with line, key and mend."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.limits import (
    DecisionRule,
    Obligation,
    Sense,
    Verified,
    default_limit_set,
    limit_sets,
    load_limit_set,
)
from beadcheck.quantity import QuantityName, Statistic

SHOP = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, first term"
source = "Harrow Quay shop rule"
edition = "2026"
rule = "w = 0.83 U"

[[limit]]
quantity = "weld_width"
statistic = "max"
relative_to = "mean"
sense = "at most"
value_mm = 2.0
passes = ["cap", "fill"]

# Travel is judged on the practice plates only.
[[limit]]
quantity = "travel_speed"
statistic = "mean"
sense = "at least"
value_mm_per_s = 1.2
"""


def written(folder: Path, text: str) -> str:
    path = folder / "shop.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_the_shipped_sets_are_named_and_sourced() -> None:
    assert limit_sets() == ("iso-5817-b", "iso-5817-c", "iso-5817-d", "pipe-coupon")
    for name in limit_sets():
        limit_set = load_limit_set(name)
        assert limit_set.name == name
        assert limit_set.rule is DecisionRule.FULL
        for limit in limit_set.limits:
            assert limit.source.startswith(limit_set.source)
            assert limit.verified is not Verified.OWN
    assert default_limit_set(Coupon()) in limit_sets()


def test_common_practice_is_marked_as_such_and_only_recommends() -> None:
    for limit in load_limit_set("pipe-coupon").limits:
        assert limit.verified is Verified.PRACTICE
        assert limit.obligation is Obligation.SHOULD


def test_a_printed_inch_value_is_kept_as_printed() -> None:
    printed = {limit.printed for limit in load_limit_set("pipe-coupon").limits}
    assert {"1/8 in (3.2 mm)", "1/16 in (1.6 mm)", "1/32 in (0.8 mm)"} <= printed


def test_a_schools_own_file_is_read(tmp_path: Path) -> None:
    limit_set = load_limit_set(written(tmp_path, SHOP))
    assert limit_set.name == "shop.toml"
    assert limit_set.title == "Harrow Quay, first term"
    assert limit_set.rule is DecisionRule.NINETY_FIVE
    evenness, travel = limit_set.limits
    assert evenness.relative_to is Statistic.MEAN
    assert evenness.passes == (WeldPass.CAP, WeldPass.FILL)
    assert evenness.source == "Harrow Quay shop rule (2026)"
    assert evenness.verified is Verified.OWN
    assert (travel.quantity, travel.sense, travel.constant) == (
        QuantityName.TRAVEL_SPEED,
        Sense.AT_LEAST,
        1.2,
    )


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('"weld_width"', '"bead_width"', 8, ["quantity", "weld_width"]),
        ("value_mm = 2.0", 'value_mm = "2"', 12, ["value_mm", "number"]),
        ("value_mm = 2.0", "value_mm = nan", 12, ["value_mm", "number"]),
        ("value_mm = 2.0", "value = 2.0", 12, ["value", "value_mm"]),
        ("value_mm = 2.0", "value_deg = 2.0", 12, ["value_deg", "no key"]),
        ("value_mm = 2.0", "value_mm = 2.0.0", 12, ["TOML"]),
        ("value_mm = 2.0\n", "", 7, ["value_mm", "missing"]),
        ('sense = "at most"', 'sense = "below"', 11, ["sense", '"at most" or "at least"']),
        ('relative_to = "mean"', 'relative_to = "sd"', 10, ["relative_to", "mean"]),
        ('["cap", "fill"]', '"cap"', 13, ["passes", "list"]),
        ('["cap", "fill"]', '["cap", "hot"]', 13, ["passes", "root-side"]),
        ('["cap", "fill"]', '["cap", ["fill"]]', 13, ["passes", "list"]),
        ('passes = ["cap", "fill"]', "short_only = 1", 13, ["short_only", "true or false"]),
        ('passes = ["cap", "fill"]', "colour = 1", 13, ["colour", "no key"]),
        ('passes = ["cap", "fill"]', "per_thicknes = 1", 13, ["per_thickness"]),
        (
            'passes = ["cap", "fill"]',
            "thickness_over_mm = 5\nthickness_to_mm = 3",
            14,
            ["thickness_to_mm", "at least 5"],
        ),
        ("value_mm_per_s = 1.2", "value_mm_per_s = 1.2\nper_weld_width = 0.1", 21, ["no key"]),
        ('rule = "w = 0.83 U"', 'rule = "w = 2 U"', 5, ["rule", "w = U"]),
        ('title = "Harrow Quay, first term"', "title = 5", 2, ["title", "quotes"]),
        ("beadcheck-limits/1", "beadcheck-limits/9", 1, ["beadcheck-limits/1"]),
        ('format = "beadcheck-limits/1"\n', "", None, ["format"]),
    ],
)
def test_a_broken_file_is_refused_with_line_key_and_mend(
    tmp_path: Path, old: str, new: str, line: int | None, words: list[str]
) -> None:
    assert old in SHOP
    with pytest.raises(InputFileError) as caught:
        load_limit_set(written(tmp_path, SHOP.replace(old, new, 1)))
    sentence = str(caught.value)
    assert "shop.toml" in sentence
    assert line is None or f"line {line}" in sentence
    for word in words:
        assert word in sentence


def test_a_file_without_limits_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="limit"):
        load_limit_set(written(tmp_path, SHOP.partition("[[limit]]")[0]))
    with pytest.raises(InputFileError, match="limit"):
        load_limit_set(written(tmp_path, SHOP.partition("[[limit]]")[0] + "limit = 3\n"))


def test_an_unknown_name_and_a_missing_file_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="iso-5817-b, iso-5817-c"):
        load_limit_set("iso-5817")
    with pytest.raises(InputFileError, match=r"none\.toml"):
        load_limit_set(str(tmp_path / "none.toml"))
    with pytest.raises(InputFileError):
        load_limit_set(str(tmp_path) + "/")


@settings(
    max_examples=50,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    at=st.integers(0, len(SHOP)),
    junk=st.text(max_size=8) | st.sampled_from(["[" * 1500, "\x00", "'''", "[[limit]]", "="]),
    cut=st.integers(0, 60),
)
def test_a_mangled_file_gives_a_set_or_a_refusal(
    tmp_path: Path, at: int, junk: str, cut: int
) -> None:
    path = tmp_path / "mangled.toml"
    path.write_bytes((SHOP[:at] + junk + SHOP[at + cut :]).encode("utf-8"))
    try:
        limit_set = load_limit_set(str(path))
    except BeadcheckError as error:
        sentence = str(error)
    else:
        sentence = limit_set.title
    assert sentence
    assert "\n" not in sentence
