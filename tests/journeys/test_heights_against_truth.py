"""Heights of the samples against their truth, each way on plate and pipe, by the installed command.

The largest errors that are allowed are the accuracy that each way is built for: a tenth of a
millimetre side-on and by a line of light with a step, 0.12 mm for a pair with a step.
"""

import math

import numpy as np
import pytest

from .heights import crown_st_mm, measured, reading, section_near, side_of, truth_of

LINES = ("plate laser", "plate shadow", "pipe laser")
PIPE_PAIR_LOW = pytest.mark.xfail(
    reason="on this pipe a pair reads 0.16 mm low: 0.19 mm rms, and its step is not seen"
)
EVERY = ("pipe side-on", *LINES, "plate pair", "pipe pair")
SECTION_MM = 1.0
"""A pair's section and one of the truth lie at the same place within this, along the weld: half of
what a pair's sections lie apart."""


@pytest.mark.parametrize("take", LINES)
def test_a_line_of_light_reads_the_reinforcement_within_its_uncertainty(take):
    (profile,) = measured(take)["profiles"]
    value_mm, expanded_mm = reading(profile, "face_reinforcement")
    error_mm = value_mm - truth_of(take)["laser"]["max_height_mm"]
    assert abs(error_mm) <= min(expanded_mm, 0.10)
    assert expanded_mm < 0.2  # an uncertainty that covers everything says nothing


def test_the_outline_reads_the_reinforcement_within_its_uncertainty():
    (profile,) = measured("pipe side-on")["profiles"]
    value_mm, expanded_mm = reading(profile, "face_reinforcement")
    # The outline shows the largest height near the section: so much its truth says.
    error_mm = value_mm - truth_of("pipe side-on")["limb"]["max_apparent_over_join_mm"]
    assert abs(error_mm) <= min(expanded_mm, 0.10)
    assert expanded_mm < 0.2


@pytest.mark.parametrize(
    "take",
    ["plate pair", pytest.param("pipe pair", marks=PIPE_PAIR_LOW)],
)
def test_a_pair_reads_the_reinforcement_at_nine_sections_in_ten_within_its_uncertainty(take):
    ratios, errors_mm = [], []
    for profile in measured(take)["profiles"]:
        found = reading(profile, "face_reinforcement")
        if found is None:
            continue
        at_mm = crown_st_mm(take, profile)[0]
        section = section_near(take, at_mm)
        if abs(section["s"] - at_mm) > SECTION_MM:
            continue
        errors_mm.append(found[0] - section["values"]["reinforcement_mm"])
        ratios.append(abs(errors_mm[-1]) / found[1])
    assert len(ratios) >= 8
    assert np.mean(np.array(ratios) <= 1.0) >= 0.9
    assert np.sqrt(np.mean(np.square(errors_mm))) <= 0.12
    assert abs(np.mean(errors_mm)) <= 0.12


@pytest.mark.parametrize("take", ["pipe side-on", "pipe laser"])
def test_an_undercut_half_a_millimetre_deep_is_found_or_said_to_be_out_of_sight(take):
    document = measured(take)
    (profile,) = document["profiles"]
    side = side_of(take, profile, "hi")
    truth = truth_of(take)
    at_mm = truth["limb"]["s_limb_mm"] if truth["limb"] else crown_st_mm(take, profile)[0]
    true_mm = section_near(take, at_mm)["values"]["undercut_hi_mm"]
    assert true_mm > 0.4
    found = reading(profile, "undercut_depth", side)
    if found is None:
        reasons = [n["reason"] for n in document["not_measured"] if n["name"] == "undercut_depth"]
        assert any(f"the {side} toe" in reason for reason in reasons)
    else:
        value_mm, expanded_mm = found
        assert value_mm > 0.1
        assert abs(value_mm - true_mm) <= expanded_mm


@pytest.mark.parametrize("take", EVERY)
def test_bare_metal_beside_the_weld_measures_flat(take):
    held: list[bool] = []
    for profile in measured(take)["profiles"]:
        across = np.array(profile["across_mm"])
        height = np.array(profile["height_mm"], dtype=np.float64)
        expanded = np.array(profile["U_mm"], dtype=np.float64)
        left, right = profile["left_base"]["across_mm"][1], profile["right_base"]["across_mm"][0]
        bare = (across < left) | (across > right)
        bare &= np.isfinite(height)
        held += (np.abs(height[bare]) <= expanded[bare]).tolist()
    assert len(held) > 50
    # Two standard uncertainties hold 95 % of honest errors.
    assert np.mean(held) >= 0.9


@pytest.mark.parametrize("take", EVERY)
def test_a_profile_has_the_keys_that_the_result_format_promises(take):
    document = measured(take)
    kind = document["photos"][0]["kind"]
    for profile in document["profiles"]:
        promised = {
            "photo", "s_mm", "clock_deg", "across_mm", "height_mm", "U_mm", "left_toe_px",
            "right_toe_px",
        }  # fmt: skip
        assert promised <= profile.keys()
        assert (profile["clock_deg"] is not None) == take.startswith("pipe")
        assert profile["photo"] == (None if kind == "pair" else 0)
        count = len(profile["across_mm"])
        assert len(profile["height_mm"]) == len(profile["U_mm"]) == count > 20
        assert (np.diff(profile["across_mm"]) > 0).all()
    (highest,) = (
        q
        for q in document["quantities"]
        if (q["name"], q["statistic"]) == ("face_reinforcement", "max")
    )
    assert highest["coverage_factor"] == 2
    assert highest["unit"] == "mm"
    assert highest["count"] == len(
        [p for p in document["profiles"] if reading(p, "face_reinforcement") is not None]
    )
    assert math.isfinite(highest["value"])
    assert highest["expanded_uncertainty"] > 0
