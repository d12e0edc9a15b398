"""The steps between two photos and a height map, each on its own."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.errors.profile_pair import TooCoarseForHeightsError
from beadcheck.profiles.pair.likely import beats, most_likely, refined_level
from beadcheck.profiles.pair.too_coarse import require_fine
from beadcheck.profiles.pair.triangulate import convergence_deg, meeting_points
from beadcheck.surface.joint import solve_together
from beadcheck.surface.joint_problem import JointProblem, JointSide
from beadcheck.surface.model import FOCAL
from beadcheck.surface.prior import Tie, prior_of

LEVELS_MM = np.linspace(-1.0, 2.0, 31)


def bumps(heights_mm, width_mm=0.2):
    """Evidence that peaks at (R, C) heights."""
    off = (LEVELS_MM[:, None, None] - heights_mm) / width_mm
    return np.exp(-0.5 * off * off).astype(np.float32)


def test_refined_level_reads_between_levels():
    heights_mm = np.array([[0.13, 0.48], [1.07, -0.31]])
    # A parabola through a bell two levels wide is off by a hundredth of a level or so.
    assert_allclose(refined_level(bumps(heights_mm), LEVELS_MM)[0], heights_mm, atol=0.004)


@pytest.mark.parametrize("strength", [0.05, 0.002])
def test_doubt_grows_as_evidence_fades(strength):
    evidence = strength * bumps(np.array([[0.4]]))
    height_mm, spread_mm = most_likely(evidence, LEVELS_MM)
    assert_allclose(height_mm, 0.4, atol=0.15 if strength < 0.01 else 0.01)
    assert (spread_mm[0, 0] < 0.1) == (strength > 0.01)
    assert beats(evidence)[0, 0] > 0.0


def test_joint_solve_brings_sight_lines_together(plate, moved_across):
    joint = solve_together(moved_across, Coupon())
    middle = plate.weld.axis.to_surface(np.array([24.0]), np.array([0.0]))
    assert_allclose(convergence_deg(*joint.surfaces, middle), 16.0, atol=0.3)
    # Both photos' edges err by 0.05 px, so points of the target's plane come out flat.
    places = np.array([[20.0, 10.0], [80.0, 15.0], [30.0, 66.0], [70.0, 60.0]])
    pixels = [view.surface.to_px(places) for view in moved_across]
    _, heights_mm = joint.surfaces[0].over_surface(meeting_points(joint.surfaces, pixels))
    assert_allclose(heights_mm, 0.0, atol=0.05)


def test_the_joint_derivatives_are_those_of_small_moves(moved_across):
    sides = [
        JointSide(
            model=view.surface.model,
            edges=view.found.edges,
            part=np.zeros(len(view.found.edges.u_px), dtype=np.intp),
            start=view.surface.parameters,
        )
        for view in moved_across
    ]
    count = sides[0].model.parameter_count
    shared = prior_of(sides[0].model, seen={0}, ties=[Tie.SAME], u_ratio=0.0)
    problem = JointProblem.of(sides, shared, apart=(FOCAL,))
    generator = np.random.default_rng(31)
    value = 1e-3 * generator.normal(size=problem.prior.u.size)
    value[:count] += sides[0].start
    places = problem.prior.free
    # The focal length is each view's own, and poses are.
    assert FOCAL not in places
    assert {count + FOCAL, 2 * count + FOCAL} <= set(places)
    rest, quick = problem.derivatives(value, places)
    assert_allclose(rest, problem(value), atol=1e-12)
    moves = 1e-5 * np.eye(value.size)[places]
    slow = np.stack([problem(value + move) - problem(value - move) for move in moves], axis=1)
    slow /= 2e-5
    greatest = np.abs(slow).max(axis=0)
    assert greatest.min() > 0.0
    # Bows have a kink where paper is flat, and the quick ones are forward differences.
    assert_allclose(quick / greatest, slow / greatest, atol=2e-4)


def test_one_sigma_surfaces_spread_as_the_covariance_says(moved_across):
    joint = solve_together(moved_across, Coupon())
    first = joint.surfaces[0]
    moved = np.array([each[0].parameters - first.parameters for each in joint.one_sigma()])
    assert_allclose((moved**2).sum(axis=0), np.diag(first.covariance), rtol=1e-6, atol=1e-18)


@pytest.mark.parametrize(("apart_deg", "needed"), [(10.0, 7.6), (16.0, 4.7), (25.0, 3.0)])
def test_photos_are_too_coarse_where_a_fifth_of_a_pixel_hides_what_a_height_may_be_unsure_by(
    apart_deg, needed
):
    """0.2 px over 2 tan(angle / 2) and the scale is 0.15 mm: by hand, for three angles."""
    require_fine(needed + 0.1, apart_deg)
    with pytest.raises(TooCoarseForHeightsError, match=f"{apart_deg:.0f}° apart"):
        require_fine(needed - 0.1, apart_deg)
