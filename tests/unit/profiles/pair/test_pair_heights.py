"""Heights from two photos of a plate whose shape is known."""

import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors.profile_pair import (
    DifferentCouponsError,
    DifferentTargetsError,
    InGrooveError,
    SameViewpointError,
    StepNotSeenError,
    StepOffError,
    ViewsTooFarApartError,
)
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair import pair_heights, section, sections
from beadcheck.quantity import combined_standard_uncertainty

HALF_LENGTH_MM = 24.0


def heights(views, plate, **known):
    return pair_heights(views, coupon=Coupon(), weld=plate.weld, **known)


def true_heights(plate, height_map):
    s_mm, across_mm = np.meshgrid(height_map.s_mm - HALF_LENGTH_MM, height_map.across_mm)
    return plate.height(s_mm, across_mm)


def expanded(height_map, truth):
    """Expanded uncertainty of every height, all effects in."""
    gain = combined_standard_uncertainty(height_map.gain_budget)
    form = combined_standard_uncertainty(height_map.form_budget)
    return 2.0 * np.sqrt(height_map.u_height_mm**2 + form**2 + (gain * truth) ** 2)


@pytest.fixture(scope="module")
def across_map(moved_across, plate):
    return heights(moved_across, plate)


@pytest.mark.parametrize("move", ["moved_across", "moved_along"])
def test_crown_is_found_within_a_tenth_of_a_millimetre_whichever_way_the_phone_moved(
    move, plate, request
):
    found = heights(request.getfixturevalue(move), plate)
    truth = true_heights(plate, found)
    crown = (truth > 0.9 * truth.max(axis=0)) & np.isfinite(found.height_mm)
    assert crown.sum() > 200
    # This grain mirrors nothing: the share taken for mirrored light, 0.08 mm, shows as an error.
    assert abs(np.median((found.height_mm - truth)[crown])) < 0.1


def test_nineteen_heights_in_twenty_lie_within_their_uncertainty(across_map, plate):
    truth = true_heights(plate, across_map)
    known = np.isfinite(across_map.height_mm)
    off = np.abs(across_map.height_mm - truth)[known]
    assert known.mean() > 0.5
    assert (off <= expanded(across_map, truth)[known]).mean() > 0.95


def test_bare_metal_measures_flat(make_plate, shapes):
    plate = make_plate(height=shapes["flat"], seed=8)
    views = plate.seen(9.0, 30.0), plate.seen(8.0, 215.0, name="b.jpg")
    bare = dataclasses.replace(plate.weld, width_mm=0.0)
    found = pair_heights(views, coupon=Coupon(), weld=bare)
    known = np.isfinite(found.height_mm)
    u_mm = expanded(found, np.zeros_like(found.height_mm))
    assert known.mean() > 0.5
    assert (np.abs(found.height_mm) <= u_mm)[known].mean() > 0.95
    assert len(found.toes_mm) == 0


def test_a_known_step_corrects_a_misprinted_target(make_plate, shapes):
    plate = make_plate(height=shapes["ridge and block"], seed=21, print_ratio=1.05)
    views = plate.seen(9.0, 70.0), plate.seen(8.0, 250.0, name="b.jpg")
    along, across = plate.directions
    top = plate.middle_mm + 4.0 * along + 14.0 * across
    surface = views[0].surface
    # The print is longer than its nominal length, so its mm are too: 4 mm look 4 / 1.05 of them.
    space = surface.in_space((top / 1.05)[None], 4.0 / 1.05)
    place = tuple(float(value) for value in surface.seen_at_px(space)[0])
    found = heights(views, plate, step=KnownStep(thickness_mm=4.0, place_px=place))
    # A height field matched to a third of a pixel is good to 1 % of the step.
    assert_allclose(found.gain, 1.05, atol=0.012)
    with pytest.raises(StepOffError):
        heights(views, plate, step=KnownStep(thickness_mm=5.3, place_px=place))


def test_step_without_a_mark_or_a_tap_is_asked_for(moved_across, plate):
    with pytest.raises(StepNotSeenError):
        heights(moved_across, plate, step=KnownStep(thickness_mm=4.0))


def test_a_step_that_is_not_seen_is_told_of_and_scales_nothing(moved_across, plate):
    along, across = plate.directions
    bare = plate.middle_mm + 4.0 * along + 14.0 * across
    place = tuple(float(value) for value in moved_across[0].surface.to_px(bare[None])[0])
    found = heights(moved_across, plate, step=KnownStep(thickness_mm=4.0, place_px=place))
    assert found.notice.code == "pair_step_unused"
    assert found.gain == 1.0
    # Nothing is read where it may lie.
    row = int(np.abs(found.across_mm - 10.5).argmin())
    column = int(np.abs(found.s_mm - HALF_LENGTH_MM - 4.0).argmin())
    assert np.isnan(found.height_mm[row, column])


def test_photos_from_one_place_are_refused(plate):
    views = plate.seen(9.0, 95.0), plate.seen(6.0, 95.0, name="b.jpg")
    with pytest.raises(SameViewpointError, match="3") as refusal:
        heights(views, plate)
    assert "10 to 25" in refusal.value.how_to


def test_photos_from_opposite_sides_are_refused(plate):
    views = plate.seen(22.0, 95.0), plate.seen(22.0, 275.0, name="b.jpg")
    with pytest.raises(ViewsTooFarApartError, match="44"):
        heights(views, plate)


def test_photos_of_two_coupons_are_refused(plate, make_plate, moved_across):
    other = make_plate(seed=99).seen(7.0, -80.0, name="b.jpg")
    with pytest.raises(DifferentCouponsError, match="two different coupons"):
        heights((moved_across[0], other), plate)


def test_two_shiny_coupons_are_named_as_such(make_plate):
    first = make_plate(sheen=1.6).seen(9.0, 95.0)
    second = make_plate(seed=99, sheen=1.6).seen(7.0, -80.0, light=0.8, name="b.jpg")
    with pytest.raises(DifferentCouponsError):
        heights((first, second), make_plate())


def test_photos_of_two_targets_are_refused(plate, moved_across):
    found = dataclasses.replace(
        moved_across[1].found,
        design=dataclasses.replace(moved_across[1].found.design, name="another"),
    )
    other = dataclasses.replace(moved_across[1], found=found)
    with pytest.raises(DifferentTargetsError, match="another"):
        heights((moved_across[0], other), plate)


def test_a_photo_from_the_same_place_does_not_spoil_a_good_pair(plate, moved_across):
    near = plate.seen(8.0, 95.0, name="c.jpg")
    found = heights((*moved_across, near), plate)
    assert_allclose(found.convergence_deg, 16.0, atol=0.5)


def test_a_pass_inside_a_groove_is_refused(moved_across, plate):
    root = Coupon(weld_pass=WeldPass.ROOT)
    with pytest.raises(InGrooveError, match="groove"):
        pair_heights(moved_across, coupon=root, weld=plate.weld)


def test_one_photo_is_a_mistake_of_the_caller(plate, moved_across):
    with pytest.raises(ValueError, match="two photos"):
        heights(moved_across[:1], plate)


def test_sections_lie_two_millimetres_apart_where_the_weld_is(across_map, plate):
    profiles = sections(across_map)
    assert_allclose(np.diff([profile.s_mm for profile in profiles]).min(), 2.0)
    assert profiles[0].s_mm >= 0.0
    assert profiles[-1].s_mm <= 2.0 * HALF_LENGTH_MM
    left, right = profiles[5].near_toes_mm
    assert_allclose(right - left, plate.weld.width_mm)


def test_a_section_takes_the_middle_of_its_columns_without_strays(across_map):
    heights = np.tile([[1.0], [2.0], [np.nan]], (1, across_map.s_mm.size))
    near = np.flatnonzero(np.abs(across_map.s_mm - 20.0) <= 0.6)
    heights[0, near[-1]] = 1.6
    heights[1, near[0]] = np.nan
    across_mm = across_map.across_mm[:3].copy()
    few = dataclasses.replace(
        across_map,
        across_mm=across_mm,
        height_mm=heights,
        u_height_mm=np.where(np.isnan(heights), np.nan, 0.05),
        offset_mm=np.zeros(heights.shape),
    )
    found = section(few, 20.0)
    assert near.size == 3
    assert_allclose(found.height_mm, [1.0, 2.0, np.nan])
    assert_allclose(found.u_height_mm, [0.05, 0.05, np.nan])


def test_a_section_points_at_its_places_in_the_first_photo(across_map, moved_across, plate):
    profile = section(across_map, 20.0)
    known = np.isfinite(profile.height_mm)
    places = plate.weld.axis.to_surface(np.array([20.0]), profile.across_mm[known])
    surface = moved_across[0].surface
    expected = surface.seen_at_px(surface.in_space(places, profile.height_mm[known]))
    # The joint solve and the levelling move the base by some hundredths of a millimetre.
    assert_allclose(profile.points_px[known], expected, atol=1.0)


def test_without_a_step_the_print_limits_every_height(across_map):
    sources = {component.source for component in across_map.gain_budget}
    assert "print scale of the target" in sources
