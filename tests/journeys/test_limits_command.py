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
    for name in ("pipe-coupon", "iso-5817-b", "iso-5817-c", "iso-5817-d"):
        assert name in done.stdout


@pytest.mark.parametrize("name", ["iso-5817-c", "pipe-coupon"])
def test_a_set_is_shown_with_its_edition_sources_and_how_it_was_verified(run, name):
    done = run("limits", name)
    assert done.returncode == 0
    assert "edition" in done.stdout
    assert "w = U" in done.stdout
    assert "verified" in done.stdout
    assert "qualified inspector" in done.stdout


def test_a_file_of_ones_own_is_checked_and_shown(run, tmp_path):
    (tmp_path / "shop.toml").write_text(SHOP, "utf-8")
    done = run("limits", "shop.toml")
    assert done.returncode == 0, done.stderr
    assert "Harrow Quay, first term" in done.stdout
    assert "2 mm" in done.stdout
