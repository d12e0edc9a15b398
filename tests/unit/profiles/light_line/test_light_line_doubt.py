"""A line that breaks up over the weld is as doubtful as it looks."""

import numpy as np
import pytest

from beadcheck.beadmap import Axis
from beadcheck.errors.profile_light import LineUnsureError
from beadcheck.profiles.light_line.doubt import form_budget_of, require_sure
from beadcheck.profiles.light_line.evidence import LightKind
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.search import RoughLine
from beadcheck.profiles.light_line.section import even_section
from beadcheck.quantity import combined_standard_uncertainty

ACROSS_MM = np.arange(-14.03, 13.9, 0.05)
WELD_MM = (-4.2, 3.9)
ON_WELD = np.abs(ACROSS_MM - np.mean(WELD_MM)) < 0.5 * np.ptp(WELD_MM)


def a_line(kind, seen_share):
    """A line of which this share is seen over the weld, and all of it beside."""
    generator = np.random.default_rng(31)
    good = ~ON_WELD | (generator.random(ACROSS_MM.size) < seen_share)
    straight = 2.0 + 0.07 * ACROSS_MM
    axis = Axis(origin_mm=(3.0, 1.0), direction=(0.8, 0.6), across=(-0.6, 0.8))
    rough = RoughLine(
        kind=kind, axis=axis, across_mm=ACROSS_MM, s_mm=straight, seen=good, base=(2.0, 0.07),
        score_mm=25.0,
    )  # fmt: skip
    return FollowedLine(
        rough=rough, across_mm=ACROSS_MM, s_mm=straight, u_s_mm=np.full(ACROSS_MM.size, 0.01),
        points_px=np.stack([12.0 * ACROSS_MM, straight], axis=1), good=good, sigma_mm=0.1,
        lean=0.1,
    )  # fmt: skip


def a_section(wander_mm):
    """Metal that scatters by 0.01 mm, and a weld 2 mm high on which the line wanders."""
    generator = np.random.default_rng(32)
    height_mm = 0.01 * generator.normal(size=ACROSS_MM.size)
    height_mm[ON_WELD] += 2.0 + wander_mm * np.sin(2.0 * np.pi * ACROSS_MM[ON_WELD] / 1.3)
    sides = np.where(ON_WELD, 0, np.sign(ACROSS_MM)).astype(np.intp)
    points_px = np.stack([12.0 * ACROSS_MM, height_mm], axis=1)
    return even_section(ACROSS_MM, height_mm, np.full(ACROSS_MM.size, 0.01), points_px, sides)


def test_a_broken_shadow_is_less_sure_than_a_whole_one_and_than_a_laser():
    def u_mm(kind, share):
        budget = form_budget_of(a_line(kind, share), WELD_MM, shift_mm=0.9)
        return combined_standard_uncertainty(budget)

    assert u_mm(LightKind.EDGE_RISING, 0.5) > 0.2
    assert u_mm(LightKind.EDGE_RISING, 1.0) < 0.1
    assert u_mm(LightKind.RED, 0.5) < 0.02


def test_a_shadow_of_which_little_is_left_over_the_weld_is_refused():
    calm = a_section(0.0)
    require_sure(a_line(LightKind.EDGE_FALLING, 0.8), calm, WELD_MM)
    require_sure(a_line(LightKind.GREEN, 0.3), calm, WELD_MM)
    with pytest.raises(LineUnsureError, match=r"0\.\d mm only"):
        require_sure(a_line(LightKind.EDGE_FALLING, 0.3), calm, WELD_MM)


def test_wander_over_the_weld_counts_though_the_metal_beside_it_is_calm():
    over = slice(120, 160)
    calm, wild = a_section(0.0), a_section(0.4)
    assert np.median(calm.u_height_mm[over]) < 0.03
    # 0.4 mm about the mean is 0.28 rms, of which the window about it leaves most.
    assert np.median(wild.u_height_mm[over]) > 0.15
