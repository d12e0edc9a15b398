"""``beadcheck limits`` lists the sets, shows one with its sources, and checks a user's file."""

import pytest

SHOP = """\
format = "beadcheck-limits/1"
title = "Harrow Quay, first term"
source = "Harrow Quay Weld Shop"
edition = "2026"

[[limit]]
quantity = "weld_width"
statistic = "max"
relative_to = "mean"
sense = "at most"
value_mm = 2.0
"""


def test_the_list_names_every_set(run):
    done = run("limits")
    assert done.returncode == 0
    for name in ("pipe-coupon", "iso-5817-b", "api-1104", "aws-d1-1-welder-test"):
        assert name in done.stdout


@pytest.mark.parametrize("name", ["iso-5817-c", "pipe-coupon"])
def test_a_set_is_shown_with_its_edition_sources_and_how_it_was_verified(run, name):
    done = run("limits", name)
    assert done.returncode == 0
    assert "edition" in done.stdout
    assert "w = U" in done.stdout
    assert "verified" in done.stdout
    assert "qualified inspector" in done.stdout


@pytest.mark.parametrize("names", [("iso-5817-b",), ("iso-5817-b", "pipe-coupon")])
def test_what_no_photo_is_judged_by_is_named_and_not_left_out(run, names):
    said = " ".join(run("limits", *names).stdout.split())
    assert "Not judged from photos in this version" in said
    for each in ("overlap at the toes (ISO 6520-1, 506)", "undercut inside a groove"):
        assert each in said


def test_a_file_of_ones_own_is_checked_and_shown(run, tmp_path):
    (tmp_path / "shop.toml").write_text(SHOP, "utf-8")
    done = run("limits", "shop.toml")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("shop.toml: no mistake found.")
    assert "Harrow Quay, first term" in done.stdout
    assert "2 mm" in done.stdout


def test_a_wrong_file_is_told_in_one_sentence_with_file_line_key_and_mend(run, tmp_path):
    (tmp_path / "shop.toml").write_text(SHOP.replace('"at most"', '"at mots"'), "utf-8")
    done = run("limits", "shop.toml")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.splitlines() == [
        "shop.toml, line 10: sense knows no word 'at mots'. Write \"at most\" instead."
    ]


def test_the_page_refuses_a_wrong_file_with_the_same_sentence_before_it_starts(run, tmp_path):
    (tmp_path / "good.toml").write_text(SHOP, "utf-8")
    (tmp_path / "shop.toml").write_text(SHOP.replace('"at most"', '"at mots"'), "utf-8")
    done = run("page", "--limits", "good.toml", "--limits", "shop.toml")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == run("limits", "shop.toml").stderr


JOINT = ("--pipe", "NPS 8 SCH 60", "--width", "19.8", "--pass", "cap")


def row_of(text: str, name: str) -> str:
    """One set's row of the table, its lines joined."""
    _, found, after = text.partition(f"\n{name} ")
    assert found, text
    return " ".join(after.partition("\n\n")[0].split())


def test_sets_are_compared_side_by_side_for_a_joint(run):
    done = run("limits", "iso-5817-c", "asme-b31-3-normal", "pipe-coupon", *JOINT)
    assert done.returncode == 0, done.stderr
    # 1 + 0.15 x 19.8 mm; 3.0 mm over 6 to 13 mm of wall; 3.2 mm.
    assert row_of(done.stdout, "iso-5817-c").startswith("at most 3.97 mm")
    assert row_of(done.stdout, "asme-b31-3-normal").startswith("at most 3.00 mm")
    assert row_of(done.stdout, "pipe-coupon").startswith("at most 3.20 mm")
    assert "none (should)" in done.stdout


def test_in_inches_the_printed_inches_are_compared(run):
    done = run("limits", "aws-d1-1-welder-test", "aws-d1-6-static", "--wall", "8", "--inch")
    assert done.returncode == 0, done.stderr
    # 1/32 in printed beside 1 mm; where only 1 mm is printed it stays 1 mm.
    assert "0.79 mm (1/32 in)" in " ".join(done.stdout.split())
    assert row_of(done.stdout, "aws-d1-6-static").startswith("– – at most 1.00 mm")
    assert "0.039 in" not in done.stdout


def test_the_list_stands_by_families(run):
    lines = [" ".join(line.split()) for line in run("limits").stdout.splitlines()]
    practice, iso, aws = (lines.index(each) for each in ("Practice coupons", "ISO and EN", "AWS"))
    named = [line.split()[0] if line else "" for line in lines]
    assert practice < named.index("pipe-coupon") < iso < named.index("iso-5817-b") < aws
    assert aws < named.index("aws-d1-1-static")


def test_without_a_name_every_set_is_worked_out_for_the_joint(run):
    done = run("limits", *JOINT, "--process", "smaw")
    assert done.returncode == 0, done.stderr
    assert "at most 1.60 mm" in row_of(done.stdout, "api-1104")
    assert "No limit for this joint: asme-b31-3-autogenous." in done.stdout


def test_what_a_limit_waits_for_is_said(run):
    done = run("limits", "iso-5817-b", "--pass", "cap")
    assert "needs --wall" in done.stdout
    assert "needs --width" in done.stdout


def test_one_set_for_a_joint_shows_the_rows_that_hold_and_the_guard_band(run):
    done = run("limits", "asme-b31-3-normal", "--wall", "10.31", "--guard", "95")
    assert "w = 0.83 U" in done.stdout
    assert "3.00 mm" in done.stdout
    assert "4 mm" not in done.stdout


@pytest.mark.parametrize("width", ["0", "900", "-3"])
def test_a_width_that_no_weld_has_is_refused(run, width):
    done = run("limits", "--width", width)
    assert done.returncode == 2
    assert "between 0.1 and 200" in done.stderr
