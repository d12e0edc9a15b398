"""Plate: distances true, budgets honest, bent and misread targets told."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.camera import camera_of
from beadcheck.coupon import Shape
from beadcheck.errors.surface import (
    CheckBarError,
    PoseUnclearError,
    TargetBowedError,
    TargetUnevenError,
    TooObliqueError,
)
from beadcheck.photo import Lens, Photo
from beadcheck.quantity import Scope, combined_standard_uncertainty
from beadcheck.surface import PrintScale, print_scale, solve_surface
from beadcheck.target.catalogue import plate_card, plate_strips
from beadcheck.target.find import find_target

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
PAIRS_MM = (
    ((-6.0, 1.0), (6.0, 0.0)),
    ((-2.0, -6.0), (1.0, 6.0)),
    ((-30.0, -4.0), (30.0, 3.0)),
    ((25.0, -5.0), (26.0, 7.0)),
)


def solved(scene, generator, scale=EXACT_PRINT, **options):
    found = scene.found(generator, **options)
    return solve_surface(found, scene.dark_photo, scene.coupon, scale)


def length_error_mm(scene, surface, start_mm, end_mm):
    ends_mm = scene.middle_mm + np.array([start_mm, end_mm])
    seen_mm = surface.to_mm(scene.metal_px(ends_mm))
    true_mm = np.hypot(*(ends_mm[1] - ends_mm[0]))
    return float(np.hypot(*(seen_mm[1] - seen_mm[0])) - true_mm), seen_mm


@pytest.fixture(name="generator")
def _generator():
    return np.random.default_rng(77)


def a_view(generator):
    """A scene that is never square on, upright or centred."""
    return {
        "tilt_deg": generator.uniform(2.0, 30.0),
        "tilt_towards_deg": generator.uniform(0.0, 360.0),
        "roll_deg": generator.uniform(-180.0, 180.0),
        "off_centre": tuple(generator.uniform(-0.06, 0.06, 2)),
        "focal_error": generator.normal() * 0.04,
        "centre_error_px": tuple(generator.normal(size=2) * 40.0),
        "k1": generator.normal() * 0.03,
        "k2": generator.normal() * 0.05,
        "px_per_mm": generator.uniform(9.0, 18.0),
    }


@pytest.mark.parametrize("design", [plate_card(), plate_strips()], ids=["card", "strips"])
def test_stated_uncertainty_covers_the_error(make_scene, generator, design):
    # 80 scenes of 4 distances: 95 % coverage less three binomial deviations of 80 is 88 %.
    covered, error_mm = [], []
    for _ in range(80):
        moves = ((generator.normal() * 2, 4.0 + generator.normal() * 2, generator.normal() * 0.03),)
        scene = make_scene(design=design, piece_moves=moves, **a_view(generator))
        surface = solved(scene, generator, side_px=0.05)
        for start_mm, end_mm in PAIRS_MM:
            error, seen = length_error_mm(scene, surface, start_mm, end_mm)
            budget = surface.distance_components(seen[:1], seen[1:])
            covered.append(abs(error) <= 2.0 * combined_standard_uncertainty(budget))
            error_mm.append(error / np.hypot(*(np.subtract(end_mm, start_mm))))
    assert np.mean(covered) >= 0.88
    assert np.sqrt(np.mean(np.square(error_mm))) <= 0.0005


def test_uncertainty_grows_with_the_errors_that_it_covers(make_scene, generator):
    """An honest budget is not honest by being huge: 0.1 % of a distance for a perfect print."""
    scene = make_scene(design=plate_card())
    surface = solved(scene, generator)
    _, seen = length_error_mm(scene, surface, *PAIRS_MM[2])
    budget = {c.source: c for c in surface.distance_components(seen[:1], seen[1:])}
    assert 2.0 * combined_standard_uncertainty(budget.values()) <= 0.002 * 60.2
    assert budget["print scale of the target"].scope is Scope.PRINT
    # 0.1 mm, rectangular, seen from 200 mm.
    height = budget["height of the print above the metal"]
    assert_allclose(height.standard_uncertainty, 0.1 / np.sqrt(3) / 200.0 * 60.2, rtol=0.2)


@given(
    roll_deg=st.floats(-180.0, 180.0),
    tilt_deg=st.floats(1.0, 40.0),
    towards_deg=st.floats(0.0, 360.0),
    across=st.floats(-0.1, 0.1),
    px_per_mm=st.floats(8.0, 20.0),
)
@settings(max_examples=25, deadline=None)
def test_turning_and_moving_the_scene_leaves_the_mm_unchanged(
    make_scene, roll_deg, tilt_deg, towards_deg, across, px_per_mm
):
    scene = make_scene(
        design=plate_card(),
        roll_deg=roll_deg,
        tilt_deg=tilt_deg,
        tilt_towards_deg=towards_deg,
        off_centre=(across, 0.02),
        px_per_mm=px_per_mm,
    )
    found = scene.found(np.random.default_rng(3), noise_px=0.02, side_px=0.0)
    if len(found.markers) < len(scene.design.markers):
        return
    surface = solve_surface(found, scene.dark_photo, scene.coupon, EXACT_PRINT)
    for start_mm, end_mm in PAIRS_MM:
        error, _ = length_error_mm(scene, surface, start_mm, end_mm)
        assert_allclose(error, 0.0, atol=0.0006 * 60.0)


def test_a_distance_left_out_of_the_solve_is_recovered_to_half_a_thousandth(
    make_scene, five_in_a_row
):
    """Rendered at 15 px/mm: markers 0, 2 and 4 solve; 1 and 3 give the known 40 mm."""
    whole = five_in_a_row(thickness_mm=0.0, height_mm=20.0)
    scene = make_scene(
        design=whole,
        size_px=(1760, 620),
        px_per_mm=15.5,
        roll_deg=4.0,
        k1=0.03,
        k2=0.0,
        edge_shift_mm=0.0,
    )
    photo = scene.rendered(np.random.default_rng(5))
    solving = replace(whole, markers=whole.markers[::2])
    surface = solve_surface(find_target(photo, [solving]), photo, scene.coupon, EXACT_PRINT)
    assert surface.px_per_mm >= 15.0
    everything = find_target(photo, [whole])
    places = {m.marker.id: surface.to_mm(m.corners_px).mean(axis=0) for m in everything.markers}
    assert_allclose(np.hypot(*(places[3] - places[1])), 40.0, rtol=0.0005)


@pytest.mark.parametrize("bow_mm", [0.3, -0.3])
@pytest.mark.parametrize("design", [plate_card(), plate_strips()], ids=["card", "strips"])
def test_a_card_bowed_by_a_third_of_a_millimetre_is_told(make_scene, generator, design, bow_mm):
    told = 0
    for _ in range(10):
        # 0.3 mm over 100 mm, whatever the length of the card.
        bow = bow_mm * (design.width_mm / 100.0) ** 2
        scene = make_scene(
            design=design, bow_mm=bow, piece_moves=((1.0, 3.0, 0.01),), **a_view(generator)
        )
        surface = solved(scene, generator)
        told += any(w.code == "target_bowed" and "bowed" in w.message for w in surface.warnings)
        error, seen = length_error_mm(scene, surface, *PAIRS_MM[2])
        budget = surface.distance_components(seen[:1], seen[1:])
        assert abs(error) <= 3.0 * combined_standard_uncertainty(budget)
    assert told >= 9


def test_a_flat_card_is_not_called_bowed(make_scene, generator):
    scenes = [make_scene(design=plate_card(), **a_view(generator)) for _ in range(10)]
    assert sum(bool(solved(scene, generator).warnings) for scene in scenes) == 0


def test_a_card_bowed_by_two_millimetres_is_refused(make_scene, generator):
    scene = make_scene(design=plate_card(), bow_mm=2.5)
    with pytest.raises(TargetBowedError, match=r"bowed by about 2\.\d mm"):
        solved(scene, generator)


def test_a_crumpled_card_is_refused(make_scene, generator):
    scene = make_scene(design=plate_card())
    with pytest.raises(TargetUnevenError, match="unevenly"):
        solved(scene, generator, side_px=1.5)


def test_a_marker_in_the_wrong_place_is_ignored(make_scene, generator):
    design = plate_card()
    moved = replace(design.markers[5], corners_mm=np.add(design.markers[5].corners_mm, (1.5, -0.8)))
    planted = replace(design, markers=(*design.markers[:5], moved, *design.markers[6:]))
    scene = make_scene(design=planted)
    found = replace(scene.found(generator), design=design)
    edges = found.edges
    wrong = edges.marker == 5
    shifted = edges.edge_mm - np.where(wrong[:, None], (1.5, -0.8), (0.0, 0.0))
    markers = [replace(found.markers[n], marker=design.markers[n]) for n in range(8)]
    found = replace(found, markers=tuple(markers), edges=replace(edges, edge_mm=shifted))
    surface = solve_surface(found, scene.dark_photo, scene.coupon, EXACT_PRINT)
    error, _ = length_error_mm(scene, surface, *PAIRS_MM[2])
    assert_allclose(error, 0.0, atol=0.03)


def test_two_markers_that_contradict_each_other_are_refused(make_scene, generator):
    scene = make_scene(design=plate_card())
    found = scene.found(generator, only=(230, 237))
    half = np.where(found.edges.marker[:, None] == 1, (6.0, -9.0), (0.0, 0.0))
    edges = replace(found.edges, points_px=found.edges.points_px + 12.0 * half)
    second = replace(found.markers[1], corners_px=found.markers[1].corners_px[[1, 2, 3, 0]])
    found = replace(found, edges=edges, markers=(found.markers[0], second))
    with pytest.raises((PoseUnclearError, TargetUnevenError, TooObliqueError)):
        solve_surface(found, scene.dark_photo, scene.coupon, EXACT_PRINT)


def test_two_markers_suffice_and_say_that_they_are_few(make_scene, generator):
    scene = make_scene(design=plate_card())
    _, seen = length_error_mm(scene, solved(scene, generator), *PAIRS_MM[1])
    many, few = (
        combined_standard_uncertainty(
            solved(scene, generator, only=only).distance_components(seen[:1], seen[1:])
        )
        for only in ((), (231, 232))
    )
    assert few > 2.0 * many


def test_a_plate_seen_too_obliquely_is_refused(make_scene, generator):
    scene = make_scene(design=plate_card(), tilt_deg=67.0, px_per_mm=8.0)
    with pytest.raises(TooObliqueError, match="at least 30°"):
        solved(scene, generator)


def test_pose_scale_and_shape_are_reported(make_scene, generator):
    scene = make_scene(design=plate_card(), focal_error=0.0, centre_error_px=(0.0, 0.0))
    surface = solved(scene, generator)
    assert surface.shape is Shape.PLATE
    assert surface.outside_diameter_mm is None
    assert_allclose(surface.tilt_deg, scene.tilt_deg, atol=1.5)
    assert_allclose(surface.distance_mm, np.linalg.norm(scene.translation), rtol=0.05)
    assert_allclose(surface.px_per_mm, 15.0, rtol=0.05)
    assert np.isnan(surface.clock_deg(np.zeros((2, 2)))).all()
    outline = surface.target_outline_mm()
    assert len(outline) == len(scene.design.paper_patches)
    assert_allclose(outline[0], scene.design.paper_patches[0].corners_mm, atol=1e-9)


def test_px_and_mm_are_inverse_of_each_other(make_scene, generator):
    scene = make_scene(design=plate_card(), k1=0.05, tilt_deg=28.0)
    surface = solved(scene, generator)
    places_mm = generator.uniform(-5.0, 115.0, size=(500, 2))
    assert_allclose(surface.to_mm(surface.to_px(places_mm)), places_mm, atol=1e-6)
    assert_allclose(surface.to_px(places_mm), scene.metal_px(places_mm), atol=1.0)


def test_a_line_of_sight_above_the_horizon_hits_nothing(make_scene, generator):
    scene = make_scene(design=plate_card(), tilt_deg=50.0, tilt_towards_deg=0.0, roll_deg=0.0)
    surface = solved(scene, generator)
    far_px = np.array([[2000.0, -1300.0], [2000.0, 4300.0]])
    assert np.isnan(surface.to_mm(far_px)).any(axis=1).sum() == 1
    behind_mm = np.add(surface.model.pivot_mm, [[0.0, 3000.0], [0.0, -3000.0]])
    assert np.isnan(surface.to_px(behind_mm)).any(axis=1).sum() == 1


def test_the_measured_check_bar_scales_the_mm(make_scene, generator):
    design = plate_card()
    scale = print_scale(design, 98.0)
    assert_allclose([scale.ratio, scale.u_ratio], [0.98, 0.25 / np.sqrt(3) / 100.0])
    scene = make_scene(design=design)
    surface = solved(scene, generator, scale=scale)
    _, seen = length_error_mm(scene, surface, *PAIRS_MM[2])
    true_mm = np.hypot(*(np.subtract(*PAIRS_MM[2])))
    # The metal lies 0.1 mm below the print, whose scale alone changed.
    assert_allclose(np.hypot(*(seen[1] - seen[0])), 0.98 * true_mm, rtol=0.0006)
    assert_allclose(print_scale(design, None).u_ratio, 0.01 / np.sqrt(3))


@pytest.mark.parametrize("measured_mm", [10.0, 4.0, 130.0, float("nan")])
def test_an_impossible_check_bar_is_refused(measured_mm):
    with pytest.raises(CheckBarError, match="cannot be the length"):
        print_scale(plate_card(), measured_mm)


def test_a_target_without_a_check_bar_says_so(five_in_a_row):
    with pytest.raises(CheckBarError, match="it has none"):
        print_scale(five_in_a_row(), 100.0)


@pytest.mark.parametrize(
    ("stated_mm", "used_mm", "relative_u"),
    [(26.0, 26.0, 0.05), (52.0, 52.0, 0.05), (None, 26.0, 0.15), (3.0, 26.0, 0.15)],
)
def test_the_lens_stated_in_the_file_is_used_unless_it_is_nonsense(stated_mm, used_mm, relative_u):
    photo = Photo(
        file="a.jpg",
        pixels_bgr=np.zeros((300, 400, 3), np.uint8),
        lens=Lens(focal_35mm_mm=stated_mm),
    )
    camera = camera_of(photo)
    # 24 x 36 mm film has a diagonal of 43.27 mm; the photo's is 500 px.
    assert_allclose(camera.focal_px, used_mm * 500.0 / 43.2666, rtol=1e-4)
    assert_allclose(camera.u_focal_px / camera.focal_px, relative_u)
