"""Limit files: what is shipped is sound, and a broken one is refused with line, key and mend."""

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.limits import (
    DecisionRule,
    Family,
    LengthSystem,
    Sense,
    Verified,
    default_limit_set,
    limit_sets,
    limits_for,
    load_limit_set,
    look_for,
    not_judged,
)
from beadcheck.limits.limit import limit_unit
from beadcheck.limits.values import VALUE_KEYS
from beadcheck.measurements.profile import height_names
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

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
    assert {"iso-5817-b", "api-1104", "aws-d1-1-static", "pipe-coupon"} <= set(limit_sets())
    for name in limit_sets():
        limit_set = load_limit_set(name)
        assert limit_set.name == name
        assert limit_set.rule is DecisionRule.FULL
        for limit in limit_set.limits:
            assert limit.source.startswith(limit_set.source)
            assert limit.verified is not Verified.OWN
            assert limit.other is None or limit.other.source == limit.source
    assert default_limit_set(Coupon()) in limit_sets()


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
        ('"weld_width"', '"weld_breadth"', 8, ["quantity", "weld_width"]),
        ("value_mm = 2.0", 'value_mm = "2"', 12, ["value_mm", "number"]),
        ("value_mm = 2.0", "value_mm = nan", 12, ["value_mm", "number"]),
        ("value_mm = 2.0", "value = 2.0", 12, ["value", "value_mm"]),
        ("value_mm = 2.0", "value_deg = 2.0", 12, ["value_deg", "Write value_mm"]),
        ("value_mm = 2.0", "value_mm = 2.0.0", 12, ["value_mm", "TOML"]),
        # Slips of the pen that break the grammar: the line, the key and the mend all the same.
        ("value_mm = 2.0", "value_mm = 2,5", 12, ["Write value_mm = 2.5, with a point"]),
        ("value_mm = 2.0", "value_mm = 2.0 mm", 12, ["number alone: value_mm = 2.0"]),
        ("value_mm = 2.0", "per_thickness = 5 %", 12, ["per_thickness = 0.05"]),
        ("value_mm = 2.0", "value_inch = 1/16", 12, ['quotes: value_inch = "1/16"']),
        ("value_mm = 2.0", "value_mm: 2.0", 12, ["Write value_mm = 2.0"]),
        ("value_mm = 2.0", "value_mm = .5", 12, ["Write value_mm = 0.5"]),
        ('"weld_width"', "weld_width", 8, ['quotes: quantity = "weld_width"']),
        ('"at most"', "“at most”", 11, ['straight quotes: sense = "at most"']),
        ('"at most"', '"at most', 11, ['Close the quotes: sense = "at most"']),
        ('["cap", "fill"]', '["cap", "fill"', 13, ["Close the list", "passes"]),
        ('["cap", "fill"]', "[cap, fill]", 13, ['passes = ["cap", "fill"]']),
        ('["cap", "fill"]', '[\n"cap",\n"fill"\n', 13, ["passes", "after its last word"]),
        ('passes = ["cap", "fill"]', "value_mm = 3.0", 13, ["value_mm", "twice"]),
        ('passes = ["cap", "fill"]', "short_only = yes", 13, ["short_only = true"]),
        ("[[limit]]", "[[limit]", 7, ["Write [[limit]]"]),
        # Numbers that cannot be meant.
        ("value_mm = 2.0", 'value_mm = 2.0\nvalue_inch = "2/1"', 13, ["value_inch", "5/64 in"]),
        ("value_mm = 2.0", "value_mm = 2.0\nper_thickness = 5", 13, ["0.05, which is 5 %"]),
        (
            'quantity = "travel_speed"\nstatistic = "mean"\nsense = "at least"\n'
            "value_mm_per_s = 1.2",
            'quantity = "pulse_overlap"\nstatistic = "mean"\nsense = "at least"\nvalue_ratio = 60',
            20,
            ["value_ratio", "0.6, which is 60 %"],
        ),
        (
            'quantity = "weld_width"\nstatistic = "max"\nrelative_to = "mean"\nsense = "at most"\n'
            "value_mm = 2.0",
            'quantity = "undercut_depth"\nstatistic = "max"\nsense = "at most"\nvalue_mm = -0.5',
            11,
            ["value_mm", "0 (none at all) or more"],
        ),
        (
            "# Travel is judged on the practice plates only.",
            '[[limit]]\nquantity = "weld_width"\nstatistic = "max"\nrelative_to = "mean"\n'
            'sense = "at most"\nvalue_mm = 2.0\npasses = ["cap", "fill"]',
            15,
            ["the same as the one of shop.toml, line 7"],
        ),
        ("value_mm = 2.0", 'value_inch = "1/0"', 12, ["value_inch", '"1/32"']),
        ("value_mm = 2.0", 'value_inch = "an eighth"', 12, ["value_inch", '"1/32"']),
        ("value_mm = 2.0", "valu_inch = 0.1", 12, ["valu_inch", "Write value_inch"]),
        (
            "value_mm = 2.0",
            "value_mm = 2.0\nno_less_than_mm = 3\nno_more_than_mm = 2",
            14,
            ["no_less_than"],
        ),
        (
            "value_mm = 2.0",
            "value_mm = 2.0\nlength_total_mm = 50",
            13,
            ["length_window_mm", "missing"],
        ),
        (
            "value_mm = 2.0",
            "value_mm = 2.0\nlength_total_mm = 50\nlength_window_mm = 30",
            14,
            ["length_window_mm", "length_total"],
        ),
        (
            "value_mm = 2.0",
            "value_mm = 2.0\nshort_only = true\nlength_total_mm = 50",
            14,
            ["length_total_mm", "short_only"],
        ),
        ('"weld_width"', '"toe_waviness"', 9, ["statistic", '"sd" for toe_waviness']),
        ('statistic = "max"', 'statistic = "maxi"', 9, ["maxi", 'Write "max"']),
        ('["cap", "fill"]', '["cap", "fil"]', 13, ["fil", 'Write "fill"']),
        ('sense = "at most"', 'sense = "At most"', 11, ['Write "at most"']),
        ('passes = ["cap", "fill"]', "imperfections = [502]", 13, ["imperfections", '["5011"]']),
        (
            'passes = ["cap", "fill"]',
            'width_over_inch = 1\nwidth_to_inch = "1/2"',
            14,
            ["width_to_inch", "at least 1"],
        ),
        (
            'sense = "at most"\nvalue_mm = 2.0',
            'sense = "at least"\nvalue_mm = 2.0\nlength_total_mm = 5\nlength_window_mm = 9',
            13,
            ["length_total_mm", '"at most"'],
        ),
        ("value_mm = 2.0\n", "", 7, ["value_mm", "missing"]),
        ('sense = "at most"', 'sense = "between"', 11, ["least_mm", "missing"]),
        (
            'sense = "at most"\nvalue_mm = 2.0',
            'sense = "between"\nleast_mm = 2.5\nvalue_mm = 2.0',
            12,
            ["least_mm", "no larger"],
        ),
        ("value_mm = 2.0", "value_mm = 2.0\nleast_mm = 1.0", 13, ["least_mm", '"between"']),
        ('rule = "w = 0.83 U"', 'family = "practice coupon"', 5, ['Write "practice coupons"']),
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


BETWEEN = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, third term"
source = "Harrow Quay shop rule"
edition = "2026"

[[limit]]
quantity = "weld_width"
statistic = "mean"
sense = "between"
least_mm = 9.0
least_inch = "3/8"
value_mm = 12.0
value_inch = "1/2"

[[limit]]
quantity = "toe_angle"
statistic = "min"
sense = "between"
least_deg = 110.0
value_deg = 175.0
"""


@pytest.mark.parametrize("weld_pass", WeldPass)
def test_each_pass_is_told_what_it_is_looked_at_for_and_nothing_of_another(
    weld_pass: WeldPass,
) -> None:
    # Practice for training coupons; no published source.
    words = {
        WeldPass.FIT_UP: "root opening",
        WeldPass.ROOT: "flat to slightly concave",
        WeldPass.ROOT_SIDE: "Melted through on both sides",
        WeldPass.SECOND: "flat to slightly convex, no undercut",
        WeldPass.FILL: "left for the cap",
        WeldPass.CAP: "edges of the groove covered",
    }
    said = look_for(load_limit_set("pipe-coupon"), Coupon(weld_pass=weld_pass))
    assert [each for each, sentence in words.items() if sentence in said] == [weld_pass]
    # Overlap (ISO 6520-1, 506) lies on the surface of the parent metal, which a groove has not.
    on_surface = weld_pass in (WeldPass.CAP, WeldPass.ROOT_SIDE)
    assert ("overlap at the toes" in not_judged(weld_pass)) == on_surface
    assert ("spatter" in not_judged(weld_pass)) == (weld_pass is not WeldPass.FIT_UP)


@pytest.mark.parametrize("name", limit_sets())
def test_no_shipped_set_asks_of_a_pass_what_it_does_not_have(name: str) -> None:
    for weld_pass in WeldPass:
        coupon = Coupon(wall_thickness_mm=10.3, weld_pass=weld_pass)
        asked = {limit.quantity for limit in limits_for(load_limit_set(name), coupon)}
        had = {*height_names(weld_pass), QuantityName.WELD_WIDTH, QuantityName.PULSE_OVERLAP}
        assert asked <= had


def test_a_schools_file_may_say_what_each_pass_is_looked_at_for(tmp_path: Path) -> None:
    table = '[look_for]\nfill = "Edges in sight."\n\n[[limit]]'
    text = SHOP.replace("[[limit]]", table, 1)
    limit_set = load_limit_set(written(tmp_path, text))
    assert look_for(limit_set, Coupon(weld_pass=WeldPass.FILL)) == "Edges in sight."
    assert look_for(limit_set, Coupon()) == ""
    with pytest.raises(InputFileError, match=r"line 8, look_for: there is no key fil.*fill"):
        load_limit_set(written(tmp_path, text.replace("fill =", "fil =")))


@pytest.mark.parametrize("quantity", QuantityName)
def test_whatever_is_measured_may_be_limited(tmp_path: Path, quantity: QuantityName) -> None:
    unit = limit_unit(quantity)
    key = {**VALUE_KEYS, Unit.MM: "value_mm"}[unit]
    head = SHOP.partition("[[limit]]")[0]
    row = f'[[limit]]\nquantity = "{quantity}"\nsense = "at most"\n{key} = 0.9\n'
    read = []
    for statistic in Statistic:
        with suppress(InputFileError):  # not every summary of it is measured
            text = f'{head}{row}statistic = "{statistic}"'
            read += load_limit_set(written(tmp_path, text)).limits
    assert read
    assert {(each.quantity, each.unit, each.constant) for each in read} == {(quantity, unit, 0.9)}


def test_a_limit_may_have_two_sides(tmp_path: Path) -> None:
    width, angle = load_limit_set(written(tmp_path, BETWEEN)).limits
    assert (width.lowest, width.constant, width.sense) == (9.0, 12.0, Sense.BETWEEN)
    in_inches = width.in_system(LengthSystem.INCH)
    assert (in_inches.lowest, in_inches.constant) == (pytest.approx(9.525), pytest.approx(12.7))
    assert (angle.lowest, angle.constant) == (110.0, 175.0)


def test_every_shipped_set_has_a_family_and_a_file_of_ones_own_has_its_own(tmp_path: Path) -> None:
    assert all(load_limit_set(name).family is not Family.OWN for name in limit_sets())
    assert load_limit_set(written(tmp_path, BETWEEN)).family is Family.OWN


TAKEN = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, second term"
source = "Harrow Quay shop rule"
edition = "2026"

[[take]]
from = "iso-5817-c"
quantities = ["undercut_depth", "toe_angle"]
note = "As in the second-term booklet."

[[take]]
from = "api-1104"
quantities = ["face_reinforcement"]
verified = "from memory"

[[limit]]
quantity = "underfill"
statistic = "max"
sense = "at most"
value_mm = 0.5
value_inch = "1/64"
"""


def test_a_schools_file_may_take_limits_over_from_the_shipped_sets(tmp_path: Path) -> None:
    limit_set = load_limit_set(written(tmp_path, TAKEN))
    *of_c, crown, own = limit_set.limits
    level_c = load_limit_set("iso-5817-c").limits
    assert [each.constant for each in of_c] == [
        each.constant
        for each in level_c
        if each.quantity in {QuantityName.UNDERCUT_DEPTH, QuantityName.TOE_ANGLE}
    ]
    for each in of_c:
        assert each.source.startswith("Harrow Quay shop rule (2026): ISO 5817 level C")
        assert each.note.endswith("As in the second-term booklet.")
    assert (crown.constant, crown.verified) == (1.6, Verified.MEMORY)
    assert (own.constant, own.printed) == (0.5, "1/64 in (0.5 mm)")
    in_inches = own.in_system(LengthSystem.INCH)
    assert in_inches.constant == 25.4 / 64
    assert in_inches.in_system(LengthSystem.MM).constant == 0.5


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('"iso-5817-c"', '"iso-5871-c"', 7, ['Write "iso-5817-c"']),
        ('"iso-5817-c"', '"harbour"', 7, ["from", "pipe-coupon"]),
        ('"iso-5817-c"', '"iso-5817-a"', 7, ["one of iso-5817-b, iso-5817-c, iso-5817-d"]),
        ('"undercut_depth", "toe_angle"', '"ripple_spacing"', 6, ["beadcheck limits iso-5817-c"]),
        ('quantities = ["face', 'quantity = ["face', 13, ["Write quantities"]),
        ("[[take]]", "[[takes]]", 6, ["Write take"]),
    ],
)
def test_what_cannot_be_taken_over_is_refused_with_line_and_mend(
    tmp_path: Path, old: str, new: str, line: int, words: list[str]
) -> None:
    with pytest.raises(InputFileError) as caught:
        load_limit_set(written(tmp_path, TAKEN.replace(old, new)))
    sentence = str(caught.value)
    assert f"shop.toml, line {line}" in sentence
    for word in words:
        assert word in sentence


@pytest.mark.parametrize(
    ("written_as", "inches"), [('"1/32"', 1 / 32), ('"1-1/8"', 1.125), ("0.01", 0.01), ("2", 2.0)]
)
def test_inches_are_read_as_they_are_printed(
    tmp_path: Path, written_as: str, inches: float
) -> None:
    text = SHOP.replace("value_mm = 2.0", f"value_inch = {written_as}")
    first, _ = load_limit_set(written(tmp_path, text)).limits
    assert first.constant == pytest.approx(25.4 * inches, rel=1e-12)
    assert first.other is None


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
