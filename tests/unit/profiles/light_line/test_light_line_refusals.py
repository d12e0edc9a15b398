"""What a line of light cannot give is refused, each with its own sentence."""

import math
from dataclasses import replace

import numpy as np
import pytest

from beadcheck.beadmap import Axis
from beadcheck.errors.profile_light import (
    LightAngleError,
    LightContradictedError,
    LightSideUnknownError,
    LightUprightError,
    LineBlurredError,
    LineMissesStepError,
    LineMissesWeldError,
    MetalUnsureError,
    NoLightLineError,
    NoSlantError,
    StepTooThickError,
    StepTooThinError,
    StepUncertaintyError,
    StepUnclearError,
    TooLittleMetalError,
)
from beadcheck.profiles.light_line import KnownStep, LightAngle, light_line_profiles
from beadcheck.toes import LocatedWeld

ANGLE = LightAngle(angle_deg=45.0, u_angle_deg=0.5)
STEP = KnownStep(thickness_mm=5.0)


def weld_at(scene, *, across_mm=0.0, width_mm=9.0):
    along, across = scene.turn
    x, y = scene.surface_points([[0.0, across_mm]])[0]
    return LocatedWeld(
        axis=Axis(origin_mm=(float(x), float(y)), direction=tuple(along), across=tuple(across)),
        s_range_mm=(-40.0, 40.0),
        width_mm=width_mm,
        reach_mm=(-40.0, 40.0),
    )


def profiles(shot, light, **weld):
    return light_line_profiles(shot.photo, shot.surface, light, weld=weld_at(shot.scene, **weld))


def test_the_edge_of_a_card_is_too_thin_a_step():
    with pytest.raises(StepTooThinError, match="edge of a card cannot serve"):
        KnownStep(thickness_mm=0.3)


def test_a_block_is_too_thick_a_step():
    with pytest.raises(StepTooThickError, match="12 mm is too thick"):
        KnownStep(thickness_mm=12.0)


@pytest.mark.parametrize("u_mm", [0.0, -0.1, 0.6, math.nan])
def test_an_uncertainty_of_the_step_that_makes_no_sense_is_refused(u_mm):
    with pytest.raises(StepUncertaintyError):
        KnownStep(thickness_mm=4.0, u_thickness_mm=u_mm)


@pytest.mark.parametrize(("angle", "u"), [(-5.0, 1.0), (88.0, 1.0), (45.0, 0.0), (math.nan, 1.0)])
def test_an_angle_at_which_no_light_falls_is_refused(angle, u):
    with pytest.raises(LightAngleError):
        LightAngle(angle_deg=angle, u_angle_deg=u)


def test_no_line_at_all_is_refused(take_shot):
    with pytest.raises(NoLightLineError):
        profiles(take_shot(power=0.0), ANGLE)


def test_a_blurred_line_is_refused_with_its_width(take_shot):
    with pytest.raises(LineBlurredError, match=r"0\.[89]\d mm"):
        profiles(take_shot(sigma_mm=0.9, power=1.5), ANGLE)


def test_light_along_the_line_of_sight_has_no_slant(take_shot):
    shot = take_shot(light_deg=2.0, tilt_deg=2.0, step_at_mm=(4.0, -14.0))
    with pytest.raises(NoSlantError):
        profiles(shot, STEP)
    with pytest.raises(LightUprightError, match="2° to the metal's normal"):
        profiles(shot, LightAngle(angle_deg=2.0, u_angle_deg=0.5))


def test_too_little_slant_is_refused_with_its_amount(take_shot):
    shot = take_shot(light_deg=20.0, tilt_deg=2.0, step_at_mm=(4.0, -14.0))
    with pytest.raises(NoSlantError, match=r"moves it by 0\.[34]\d mm"):
        profiles(shot, STEP)


def test_a_block_that_hides_all_metal_of_a_side_is_not_taken_for_the_part(take_shot):
    shot = take_shot(step_at_mm=(4.0, -25.5), step_size_mm=(16.0, 40.0))
    with pytest.raises(MetalUnsureError, match="left of the weld it is not sure"):
        profiles(shot, ANGLE)


def test_a_line_beside_the_step_is_refused(take_shot):
    with pytest.raises(LineMissesStepError):
        profiles(take_shot(), STEP)


def test_a_tap_beside_the_step_is_refused(take_shot):
    shot = take_shot(step_at_mm=(4.0, -14.0))
    far = shot.surface.to_px(shot.scene.surface_points([[2.0, 20.0]]))[0]
    with pytest.raises(LineMissesStepError):
        profiles(shot, replace(STEP, place_px=tuple(far)))


def test_two_blocks_on_the_line_leave_the_step_unclear_until_one_is_tapped(take_shot):
    shot = take_shot(step_at_mm=(4.0, -11.0), other_step_at_mm=(4.0, -21.0))
    with pytest.raises(StepUnclearError, match="2 flat raised pieces"):
        profiles(shot, STEP)
    top = shot.scene.space(shot.scene.surface_points(np.array([[6.0, -21.0]])), 5.0)
    assert profiles(shot, replace(STEP, place_px=tuple(shot.pixels(top)[0])))


def test_a_slot_is_not_taken_for_the_step(take_shot):
    # A slot displaces the line as a step does, but to the side away from the paper.
    shot = take_shot(step_mm=-4.0, step_at_mm=(-3.0, -15.0), step_size_mm=(20.0, 9.0))
    with pytest.raises(LightContradictedError, match="paper under the metal"):
        profiles(shot, replace(STEP, thickness_mm=4.0))


def test_light_whose_side_nothing_tells_is_refused(take_shot):
    # The paper ends where the light does: metal alone does not tell a cap from a groove.
    shot = take_shot(light_at_mm=-63.0, weld_turn_deg=0.0, light_turn_deg=0.0)
    with pytest.raises(LightSideUnknownError, match="raised weld and a hollow one"):
        profiles(shot, ANGLE)


def test_a_line_that_stops_before_the_weld_is_refused(take_shot):
    with pytest.raises(LineMissesWeldError, match=r"\d+ % of the weld"):
        profiles(take_shot(), ANGLE, across_mm=75.0)


def test_too_little_bare_metal_beside_the_weld_is_refused(take_shot):
    # The card's edge lies 21 mm right of this weld's middle.
    with pytest.raises(TooLittleMetalError, match="right of the weld"):
        profiles(take_shot(), ANGLE, width_mm=40.0)


def test_a_refusal_crosses_from_a_worker_process_whole():
    refusal = TooLittleMetalError("left", 0.4, 2.0)
    assert str(type(refusal)(*refusal.args)) == str(refusal)
