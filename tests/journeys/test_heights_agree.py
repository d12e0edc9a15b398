"""The ways to a height against each other, on one coupon and at one place of it."""

import math

import numpy as np
import pytest

from .heights import Document, crown_st_mm, measured, reading, truth_of

SAME_PLACE_MM = 2.0
"""A line of light that slants over the weld crosses it within 1 mm of one section; a pair's stand
2 mm apart, and the nearest may be too poor to read."""
OUTLINE_REACH_MM = 8.0
"""An outline shows the highest metal within sqrt(2 R dh) of its section: dh 0.3 mm on NPS 8."""


def pair_sections(take: str, s_mm: float, within_mm: float) -> list[tuple[float, float]]:
    """Reinforcement and expanded uncertainty of a pair's sections about a station."""
    found = []
    for profile in measured(take)["profiles"]:
        value = reading(profile, "face_reinforcement")
        if value is not None and abs(crown_st_mm(take, profile)[0] - s_mm) <= within_mm:
            found.append(value)
    return found


def agree(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether two values differ by no more than their uncertainties together."""
    return abs(one[0] - other[0]) <= math.hypot(one[1], other[1])


def only_profile(take: str) -> Document:
    (profile,) = measured(take)["profiles"]
    return profile


@pytest.mark.parametrize(
    ("line", "pair"),
    [
        ("plate laser", "plate pair"),
        ("plate shadow", "plate pair"),
        ("pipe laser", "pipe pair"),
    ],
)
def test_a_line_of_light_and_a_pair_agree_where_the_line_crosses(line, pair):
    profile = only_profile(line)
    by_line = reading(profile, "face_reinforcement")
    sections = pair_sections(pair, crown_st_mm(line, profile)[0], SAME_PLACE_MM)
    assert sections, "the pair has no section where the line crosses"
    nearest = np.mean([value for value, _ in sections]), max(u for _, u in sections)
    assert agree(by_line, nearest)


def test_the_outline_and_a_pair_agree_on_the_highest_metal_near_it():
    by_outline = reading(only_profile("pipe side-on"), "face_reinforcement")
    at_mm = truth_of("pipe side-on")["limb"]["s_limb_mm"]
    sections = pair_sections("pipe pair", at_mm, OUTLINE_REACH_MM)
    assert len(sections) >= 3
    assert agree(by_outline, max(sections))


def test_the_outline_stands_no_lower_than_a_line_of_light_beside_it():
    """The outline shows the highest ripple near it; the line crosses as it comes."""
    outline_mm, u_outline_mm = reading(only_profile("pipe side-on"), "face_reinforcement")
    line_mm, u_line_mm = reading(only_profile("pipe laser"), "face_reinforcement")
    ripples_mm = 0.16  # of this weld, crest over groove
    together_mm = math.hypot(u_outline_mm, u_line_mm)
    assert -together_mm <= outline_mm - line_mm <= together_mm + ripples_mm


def test_takes_of_one_coupon_join_without_a_word_that_the_ways_disagree(run, samples):
    done = run(
        "measure", "--side-on", samples / "pipe-smaw-side-on.jpg",
        "--light-line", samples / "pipe-smaw-light-line.jpg",
        "--pipe", "NPS 8", "--step", "5,0.06", "--json",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "ways_disagree" not in done.stdout
