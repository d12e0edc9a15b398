"""Places in the target's own frame agree from photo to photo, and its joints and seam are read."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.surface import (
    PrintScale,
    diameter_alone_mm,
    in_target_frame,
    metal_per_print,
    seen_parts,
    solve_surface,
)
from beadcheck.target.catalogue import pipe_strip, plate_card

TRUE_PRINT = PrintScale(ratio=1.0, u_ratio=0.0014, bar_measured=True)


@pytest.fixture(name="generator")
def _generator():
    return np.random.default_rng(29)


def photos_of(make_scene, generator, diameter_mm, hours, **changes):
    """Photos of one strip about several hours of the clock, each held otherwise."""
    design = pipe_strip(diameter_mm)
    for hour in hours:
        looking_at = design.clock_zero_mm + np.pi * diameter_mm * hour / 12.0
        yield make_scene(
            design=design,
            radius_mm=0.5 * diameter_mm,
            look_at_mm=(looking_at, 9.0),
            tilt_deg=generator.uniform(2.0, 12.0),
            tilt_towards_deg=generator.uniform(0.0, 360.0),
            roll_deg=generator.uniform(-180.0, 180.0),
            **changes,
        )


@pytest.mark.parametrize("diameter_mm", [60.3, 219.1])
def test_two_photos_put_one_place_of_the_weld_at_one_place_of_the_strip(
    make_scene, generator, diameter_mm
):
    hours = (2.0, 2.6)
    scenes = list(photos_of(make_scene, generator, diameter_mm, hours, strip_turn_deg=0.4))
    at_mm = np.pi * diameter_mm * 2.3 / 12.0
    told = []
    for scene in scenes:
        surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, TRUE_PRINT)
        # The scene lays the strip turned about the place it looks at: straight across from a place
        # of the strip's edge lies the same place of the pipe, however far from the edge.
        across = np.array([[at_mm + scene.design.clock_zero_mm - scene.middle_mm[0], 0.0]])
        turn = np.radians(0.4)
        edge = across @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        edge += np.array([[np.sin(turn) * scene.middle_mm[1], -np.cos(turn) * scene.middle_mm[1]]])
        ratio = metal_per_print(surface)
        place = scene.middle_mm + edge * (ratio, 1.0) + (0.0, -7.0)
        seen_mm = surface.to_mm(scene.metal_px(place))
        told.append(in_target_frame(surface, seen_mm)[0])
        assert_allclose(told[-1], [at_mm * ratio, -7.0], atol=0.12)
    assert_allclose(told[0], told[1], atol=0.12)


def test_a_step_at_a_glued_joint_is_read_with_its_doubt(slipped_strip, generator):
    """The next segment is glued on 0.3 mm further along."""
    joint_mm = pipe_strip(219.1).joints_mm[0]
    scene, as_designed = slipped_strip(
        generator, (0.3, 0.0), look_at_mm=(joint_mm, 10.0), tilt_deg=7.0
    )
    surface = solve_surface(as_designed, scene.dark_photo, scene.coupon, TRUE_PRINT)
    first, second = seen_parts(surface)
    assert {first.key.segment, second.key.segment} == {0, 1}
    assert (first.shift_mm, first.u_shift_mm) == (0.0, 0.0)
    step = second.shift_mm * (1.0 if second.key.segment == 1 else -1.0)
    assert abs(step - 0.3) <= 2.0 * second.u_shift_mm + 0.02
    assert second.u_shift_mm < 0.05


def test_the_diameter_by_the_markers_alone_does_not_hang_on_what_was_entered(make_scene, generator):
    (scene,) = photos_of(make_scene, generator, 114.3, (4.0,))
    found = scene.found(generator)
    for entered_mm in (113.3, 115.3):
        coupon = replace(scene.coupon, outside_diameter_mm=entered_mm)
        alone = diameter_alone_mm(solve_surface(found, scene.dark_photo, coupon, TRUE_PRINT))
        assert alone is not None
        assert abs(alone[0] - 114.3) <= 3.0 * alone[1]
        assert alone[1] < 0.8


def test_on_plate_the_frame_is_the_card_s_own(make_scene, generator):
    scene = make_scene(design=plate_card())
    surface = solve_surface(scene.found(generator), scene.dark_photo, Coupon(), TRUE_PRINT)
    places = np.array([[31.0, 44.0], [92.5, 47.5]])
    assert_allclose(in_target_frame(surface, places), places, atol=1e-9)
    assert diameter_alone_mm(surface) is None
    assert len(seen_parts(surface)) == 1
