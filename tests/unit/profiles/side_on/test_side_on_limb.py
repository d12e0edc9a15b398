"""The outline's geometry: places, heights and angles of lines of sight that graze a pipe."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.profiles.side_on.bare_limb import BareLimb, posed_by_limb
from beadcheck.profiles.side_on.budget import height_over, side_on_budget
from beadcheck.profiles.side_on.limb import LimbView


@pytest.fixture(name="view", params=[1, -1], ids=["growing arc", "falling arc"])
def _view(request, make_side_on):
    return LimbView(surface=make_side_on(side=request.param).surface(), side=request.param)


def seen_bare_limb(view, along_mm):
    """The bare limb as the photo shows it, seen by a view whose pose may be wrong."""

    def through(other, step_mm=0.0):
        levels = np.where(along_mm > -7.0, 0.5 * step_mm, -0.5 * step_mm)
        seen_px = view.pixels(along_mm, levels)
        raw_mm = other.heights_mm(seen_px)
        places_mm = other.touching_mm(seen_px)[:, 1]
        right = along_mm > -7.0
        slope, level = np.polyfit(places_mm + 7.0, raw_mm, 1)
        return BareLimb(
            middle_mm=-7.0, levels_mm=(float(level) - 0.5 * step_mm, float(level) + 0.5 * step_mm),
            slope=float(slope), places_mm=places_mm, seen_mm=raw_mm, right=right,
            scatter_mm=0.01, u_px=0.1, drift_mm=0.01,
        )  # fmt: skip

    return through


def test_pixels_of_a_limb_lead_back_to_its_height_and_place(view):
    along_mm, height_mm = np.array([-22.0, -7.0, 3.0, 14.0]), np.array([0.0, 2.3, -1.1, 4.0])
    seen_px = view.pixels(along_mm, height_mm)
    # Both ways are closed formulas but for the lens, which is inverted to 1e-6.
    assert_allclose(view.heights_mm(seen_px), height_mm, atol=1e-6)
    assert_allclose(view.touching_mm(seen_px)[:, 1], along_mm, atol=1e-6)


def test_sight_through_a_limb_pixel_passes_the_solid_at_no_distance(make_side_on):
    scene = make_side_on(height_mm=lambda across: np.full_like(across, 1.7), paper_mm=None)
    view = LimbView(surface=scene.surface(), side=1)
    seen_px = view.pixels(np.array([-20.0, -3.0, 11.0]), np.full(3, 1.7))
    over_mm, _ = scene.clearance_mm(seen_px)
    # The scene walks along the sight in steps of 0.3 mm: 0.15²/2R is 0.0002 mm.
    assert_allclose(over_mm, 0.0, atol=5e-4)


def test_limb_lies_on_the_surface_where_the_sight_is_flat(view):
    seen_px = view.pixels(np.array([-9.0, 6.0]), np.zeros(2))
    places_mm = view.touching_mm(seen_px)
    # A grazing sight: to_px of that place, a hair nearer to the lens, is the same pixel.
    nearer_mm = places_mm - [view.side * 0.01, 0.0]
    assert_allclose(view.surface.to_px(nearer_mm), seen_px, atol=0.05)


@settings(max_examples=25, deadline=None)
@given(height_mm=st.floats(-3.0, 6.0), raw_mm=st.floats(-1.0, 1.0))
def test_common_factor_of_both_distances_changes_no_height(height_mm, raw_mm):
    radius_mm = 57.0
    scaled = (radius_mm + raw_mm) / radius_mm
    top_mm = (radius_mm + height_mm) * scaled - radius_mm
    seen_mm = height_over(radius_mm, np.array([top_mm]), np.array([raw_mm]))
    assert_allclose(seen_mm, height_mm, atol=1e-9)


@pytest.mark.parametrize("seed", [3, 5, 8, 13])
def test_bare_limb_betters_pose_and_states_so(make_side_on, seed):
    scene = make_side_on()
    true = LimbView(surface=scene.surface(), side=1)
    rough = LimbView(surface=scene.surface(np.random.default_rng(seed)), side=1)
    limb = seen_bare_limb(true, np.linspace(-33.0, 19.0, 7))(rough)
    better = posed_by_limb(rough, limb)
    crest_px = true.pixels(np.array([-7.0]), np.array([2.0]))
    foot_px = true.pixels(np.array([-7.0]), np.zeros(1))
    budget = side_on_budget(better, along_mm=-7.0, px_per_mm=16.0)
    rough_budget = side_on_budget(rough, along_mm=-7.0, px_per_mm=16.0)
    # What was seen is 0.02 to 0.03 mm doubtful, so nothing better comes out.
    assert np.abs(better.heights_mm(true.pixels(limb.places_mm, np.zeros(7)))).max() < 0.03
    off_rad = (better.oblique_rad(crest_px) - true.oblique_rad(crest_px))[0]
    # Three standard uncertainties: one case in 400 may lie beyond.
    assert abs(off_rad) < 3.0 * budget.u_oblique_rad
    assert budget.u_oblique_rad <= rough_budget.u_oblique_rad
    height_mm = height_over(
        better.radius_mm, better.heights_mm(crest_px), better.heights_mm(foot_px)
    )
    u_gain = np.hypot(*(part.standard_uncertainty for part in budget.gain))
    assert abs(height_mm[0] - 2.0) < 3.0 * 2.0 * u_gain


def test_sides_that_step_better_the_pose_less(make_side_on):
    scene = make_side_on()
    true = LimbView(surface=scene.surface(), side=1)
    rough = LimbView(surface=scene.surface(np.random.default_rng(21)), side=1)
    seen = seen_bare_limb(true, np.linspace(-33.0, 19.0, 7))
    level, stepped = (posed_by_limb(rough, seen(rough, step_mm)) for step_mm in (0.0, 1.2))
    u_level, u_stepped = (np.sqrt(np.diag(view.surface.covariance)) for view in (level, stepped))
    about_optical_axis = 2
    assert u_level[about_optical_axis] < 0.7 * u_stepped[about_optical_axis]


def test_uncertainty_of_the_diameter_goes_into_heights_in_full(make_side_on):
    surface = make_side_on().surface()
    sure = np.zeros_like(surface.covariance)
    place = 13  # of the radius
    sure[place, place] = 0.01**2
    view = LimbView(surface=replace(surface, covariance=sure), side=1)
    budget = side_on_budget(view, along_mm=-7.0, px_per_mm=16.0)
    base, top = (
        view.seen_with(_with(surface.parameters, place, 0.01)).heights_mm(
            view.pixels(np.array([-7.0]), np.array([height_mm]))
        )
        for height_mm in (0.0, 2.0)
    )
    radius_mm = view.radius_mm * np.exp(0.01)
    change = height_over(radius_mm, top, base)[0] / 2.0 - 1.0
    assert_allclose(budget.gain[0].standard_uncertainty, abs(change), rtol=0.02)


def _with(parameters, place, value):
    changed = parameters.copy()
    changed[place] = value
    return changed
