"""Pipe: arcs and axial widths true, diameter and turn of the strip solved, budgets honest."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Shape
from beadcheck.quantity import combined_standard_uncertainty
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.catalogue import pipe_strip
from beadcheck.target.design import WrapAxis

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
UNVERIFIED_PRINT = PrintScale(ratio=1.0, u_ratio=0.01 / np.sqrt(3.0))


@pytest.fixture(name="generator")
def _generator():
    return np.random.default_rng(118)


def a_strip(make_scene, diameter_mm, **changes):
    """Looking at clock 2 of a strip, the weld below its edge."""
    look_at = (14.0 + np.pi * diameter_mm / 6.0, 12.0)
    view = {"tilt_deg": 9.0, "roll_deg": 12.0, "look_at_mm": look_at}
    return make_scene(
        design=pipe_strip(diameter_mm), radius_mm=0.5 * diameter_mm, **(view | changes)
    )


def solved(scene, generator, *, entered=1.0, scale=EXACT_PRINT, **options):
    coupon = Coupon(shape=Shape.PIPE, outside_diameter_mm=2.0 * scene.radius_mm * entered)
    return solve_surface(scene.found(generator, **options), scene.dark_photo, coupon, scale)


def errors_mm(scene, surface):
    """Errors of an axial width and of an arc beside the strip, and their expanded uncertainties."""
    arc = 0.25 * scene.radius_mm
    pairs = np.array([[[2.0, 10.0], [1.0, 22.0]], [[-arc, 14.0], [arc, 14.0]]]) + scene.middle_mm
    errors, limits = [], []
    for ends in pairs:
        seen = surface.to_mm(scene.metal_px(ends))
        errors.append(np.hypot(*(seen[1] - seen[0])) - np.hypot(*(ends[1] - ends[0])))
        budget = surface.distance_components(seen[:1], seen[1:])
        limits.append(2.0 * combined_standard_uncertainty(budget))
    return np.array(errors), np.array(limits)


@pytest.mark.parametrize("diameter_mm", [60.3, 219.1])
@pytest.mark.parametrize("case", ["straight", "turned by 0.5°", "diameter entered 1 % wrong"])
def test_widths_and_arcs_beside_the_strip_are_true(make_scene, generator, diameter_mm, case):
    turn_deg = 0.5 if case.startswith("turned") else 0.0
    entered = 1.01 if case.startswith("diameter") else 1.0
    widths, arcs = [], []
    for _ in range(4):
        scene = a_strip(
            make_scene,
            diameter_mm,
            strip_turn_deg=turn_deg,
            tilt_towards_deg=generator.uniform(0.0, 360.0),
            focal_error=generator.normal() * 0.03,
        )
        surface = solved(scene, generator, entered=entered)
        (width, arc), limits = errors_mm(scene, surface)
        assert (np.abs([width, arc]) <= 1.5 * limits).all()
        widths.append(width)
        arcs.append(arc / (0.5 * scene.radius_mm))
        assert_allclose(surface.outside_diameter_mm, diameter_mm, rtol=0.01)
    assert np.sqrt(np.mean(np.square(widths))) <= 0.06
    assert np.sqrt(np.mean(np.square(arcs))) <= 0.003


def test_stated_uncertainty_covers_the_error(make_scene, generator):
    # 60 scenes: 95 % coverage less three binomial deviations is 87 %.
    covered = []
    for _ in range(60):
        diameter_mm = generator.choice([48.3, 60.3, 88.9, 114.3, 168.3, 219.1])
        scene = a_strip(
            make_scene,
            diameter_mm,
            tilt_deg=generator.uniform(2.0, 25.0),
            tilt_towards_deg=generator.uniform(0.0, 360.0),
            roll_deg=generator.uniform(-180.0, 180.0),
            strip_turn_deg=generator.normal() * 0.7,
            focal_error=generator.normal() * 0.04,
            centre_error_px=tuple(generator.normal(size=2) * 40.0),
            k1=generator.normal() * 0.03,
            px_per_mm=generator.uniform(9.0, 17.0),
        )
        entered = 1.0 + generator.uniform(-0.01, 0.01)
        errors, limits = errors_mm(scene, solved(scene, generator, entered=entered, side_px=0.05))
        covered.extend(np.abs(errors) <= limits)
    assert np.mean(covered) >= 0.87


def test_clock_positions_run_round_the_pipe_from_the_strip_s_mark(make_scene, generator):
    scene = a_strip(make_scene, 114.3)
    surface = solved(scene, generator)
    quarter_mm = np.pi * 114.3 / 4.0
    zero_mm = scene.design.clock_zero_mm
    places = surface.to_mm(
        scene.metal_px([[zero_mm + 0.5 * quarter_mm, 10.0], [zero_mm + 0.75 * quarter_mm, 30.0]])
    )
    assert_allclose(surface.clock_deg(places), [45.0, 67.5], atol=0.3)
    other_way = replace(scene, design=replace(scene.design, clock_sense=-1))
    assert_allclose(solved(other_way, generator).clock_deg(places), [315.0, 292.5], atol=0.3)


def test_a_wrong_pipe_size_is_told(make_scene, generator):
    scene = a_strip(make_scene, 114.3)
    surface = solved(scene, generator, entered=101.6 / 114.3, scale=UNVERIFIED_PRINT)
    assert "diameter_or_print_scale" in {warning.code for warning in surface.warnings}
    right = solved(scene, generator, entered=1.004, scale=UNVERIFIED_PRINT)
    assert right.warnings == ()


def test_the_hidden_side_of_the_pipe_is_nan(make_scene, generator):
    scene = a_strip(make_scene, 60.3)
    surface = solved(scene, generator)
    around = scene.middle_mm + np.array([[0.0, 8.0], [0.5 * np.pi * 60.3, 8.0]])
    px = surface.to_px(around)
    assert np.isfinite(px[0]).all()
    assert np.isnan(px[1]).all()
    angles = surface.seen_at_deg(around)
    assert angles[0] > 70.0
    assert angles[1] < 0.0
    beside_px = np.add(scene.metal_px(np.add(scene.middle_mm, [[0.0, 8.0]])), (9000.0, 0.0))
    assert np.isnan(surface.to_mm(beside_px)).all()
    seen = scene.middle_mm + generator.uniform(-15.0, 15.0, size=(200, 2))
    assert_allclose(surface.to_mm(surface.to_px(seen)), seen, atol=1e-6)


def test_a_target_that_wraps_along_y_gives_the_same_pipe(make_scene, generator):
    """Its y runs round: surface x is its y, and surface y its x the other way."""
    scene = a_strip(make_scene, 114.3)
    found = scene.found(generator)

    def quarter(points):
        return np.stack([-points[..., 1], points[..., 0]], axis=-1)

    design = replace(
        scene.design,
        wraps=WrapAxis.Y,
        markers=tuple(replace(m, corners_mm=quarter(m.corners_mm)) for m in scene.design.markers),
    )
    turned = replace(
        found,
        design=design,
        markers=tuple(
            replace(m, marker=replace(m.marker, corners_mm=quarter(m.marker.corners_mm)))
            for m in found.markers
        ),
        edges=replace(
            found.edges,
            edge_mm=quarter(found.edges.edge_mm),
            outward_mm=quarter(found.edges.outward_mm),
        ),
    )
    surfaces = [
        solve_surface(target, scene.dark_photo, scene.coupon, EXACT_PRINT)
        for target in (found, turned)
    ]
    px = scene.metal_px(np.add(scene.middle_mm, [[0.0, 5.0], [12.0, 20.0]]))
    assert_allclose(surfaces[0].to_mm(px), surfaces[1].to_mm(px), atol=1e-3)


def test_an_oblique_view_of_a_pipe_is_told_but_used(make_scene, generator):
    scene = a_strip(make_scene, 168.3, tilt_deg=66.0, tilt_towards_deg=0.0, px_per_mm=9.0)
    surface = solved(scene, generator)
    assert "too_oblique" in {warning.code for warning in surface.warnings}


def test_a_glued_joint_may_be_off_by_a_little(slipped_strip, generator):
    """Half the markers in view stand on the next segment, 0.25 mm out of place."""
    joint_mm = pipe_strip(219.1).joints_mm[0]
    scene, as_designed = slipped_strip(
        generator, (0.25, 0.1), look_at_mm=(joint_mm - 12.0, 12.0), tilt_deg=8.0
    )
    surface = solve_surface(as_designed, scene.dark_photo, scene.coupon, EXACT_PRINT)
    errors, limits = errors_mm(scene, surface)
    assert (np.abs(errors) <= limits).all()
