"""Finding a target: the right design, corners to sub-pixel, and refusals that say what to do."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.errors.target import (
    GlareOnTargetError,
    MirroredTargetError,
    NoMarkerError,
    OtherTargetError,
    TargetBlurredError,
    TargetCutOffError,
    TooFewMarkersError,
)
from beadcheck.photo import Photo
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.catalogue import pipe_strip, plate_card
from beadcheck.target.find import find_target

SMALL = {"size_px": (1240, 830), "px_per_mm": 9.0, "edge_shift_mm": 0.0}


def shown(photo, pixels):
    return Photo(file=photo.file, pixels_bgr=np.ascontiguousarray(pixels), lens=photo.lens)


@pytest.fixture(scope="module", name="generator")
def _generator():
    return np.random.default_rng(20240611)


@pytest.fixture(scope="module", name="row_photo")
def _row_photo(make_scene, five_in_a_row, generator):
    scene = make_scene(design=five_in_a_row(), **SMALL)
    return scene, scene.rendered(generator)


@pytest.mark.parametrize(
    ("view", "blur_px", "noise"),
    [
        ({"roll_deg": 23.0, "tilt_deg": 20.0}, 1.0, 0.02),
        ({"roll_deg": -131.0, "tilt_deg": 33.0, "tilt_towards_deg": 200.0}, 1.6, 0.01),
    ],
)
def test_corners_lie_within_a_twentieth_of_a_pixel_and_without_bias(
    make_scene, five_in_a_row, generator, view, blur_px, noise
):
    scene = make_scene(design=five_in_a_row(), **{**SMALL, **view})
    found = find_target(scene.rendered(generator, blur_px=blur_px, noise=noise), [scene.design])
    assert {marker.marker.id for marker in found.markers} == {0, 1, 2, 3, 4}
    error_px, outward_px = [], []
    for marker in found.markers:
        true_px = scene.corners_px(marker.marker)
        radial = true_px - true_px.mean(axis=0)
        radial /= np.linalg.norm(radial, axis=1, keepdims=True)
        error_px.append(marker.corners_px - true_px)
        outward_px.append((error_px[-1] * radial).sum(axis=1))
    assert np.sqrt(np.mean(np.square(error_px))) <= 0.05
    assert abs(np.mean(outward_px)) <= 0.03
    assert_allclose(found.blur_px, np.hypot(blur_px, 0.45), rtol=0.12)


def test_the_design_in_the_photo_is_told_from_others_of_the_same_dictionary(
    make_scene, five_in_a_row, generator
):
    here = five_in_a_row()
    there = replace(
        here, name="other", markers=tuple(replace(m, id=m.id + 20) for m in here.markers)
    )
    photo = make_scene(design=there, **SMALL).rendered(generator)
    assert find_target(photo, [here, plate_card(), there]).design is there
    with pytest.raises(OtherTargetError, match=r"ids 20, 21, 22, 23, 24\) do not belong to “five"):
        find_target(photo, [here, plate_card()])


def test_a_hidden_marker_does_not_matter(row_photo):
    scene, photo = row_photo
    pixels = photo.pixels_bgr.copy()
    left, top = scene.corners_px(scene.design.markers[2]).min(axis=0).astype(int)
    pixels[top : top + 115, left : left + 110] = 90
    found = find_target(shown(photo, pixels), [scene.design])
    assert {marker.marker.id for marker in found.markers} == {0, 1, 3, 4}


def test_a_second_copy_of_one_marker_elsewhere_is_not_believed(row_photo):
    scene, photo = row_photo
    pixels = photo.pixels_bgr.copy()
    low, high = (
        f(scene.corners_px(scene.design.markers[1]), axis=0).astype(int) for f in (np.min, np.max)
    )
    copy = pixels[low[1] - 12 : high[1] + 12, low[0] - 12 : high[0] + 12].copy()
    pixels[40 : 40 + copy.shape[0], 60 : 60 + copy.shape[1]] = copy
    found = find_target(shown(photo, pixels), [scene.design])
    for marker in found.markers:
        assert_allclose(marker.corners_px, scene.corners_px(marker.marker), atol=0.3)


def test_light_that_clips_the_paper_here_and_there_costs_only_those_samples(
    make_scene, five_in_a_row, generator
):
    scene = make_scene(design=five_in_a_row(), **SMALL)

    def spot(light):
        y, x = np.mgrid[: light.shape[0], : light.shape[1]]
        middle = scene.corners_px(scene.design.markers[3]).mean(axis=0)
        return light * (1.0 + 1.5 * np.exp(-((x - middle[0]) ** 2 + (y - middle[1]) ** 2) / 80**2))

    photo = scene.rendered(generator, light=spot)
    found = find_target(photo, [scene.design])
    surface = solve_surface(found, photo, scene.coupon, print_scale(scene.design, None))
    ends_mm = np.array([[10.0, 25.0], [90.0, 25.0]])
    seen = surface.to_mm(scene.metal_px(ends_mm))
    assert_allclose(np.hypot(*(seen[1] - seen[0])), 80.0, atol=0.06)


def test_markers_on_both_sides_of_a_strip_s_seam_are_read_as_neighbours(make_scene, generator):
    design = pipe_strip(60.3)
    turn_mm = np.pi * (60.3 + design.thickness_mm)
    scene = make_scene(
        design=design, radius_mm=30.15, look_at_mm=(-4.0, 12.0), **{**SMALL, "px_per_mm": 11.0}
    )
    # The render shows one length of strip; beyond its start stands the end, one turn back.
    last = [replace(m, corners_mm=m.corners_mm - (turn_mm, 0.0)) for m in design.markers[-3:]]
    around = replace(scene, design=replace(design, markers=(*last, *design.markers[:4])))
    photo = around.rendered(generator)
    found = find_target(photo, [design])
    ids = {marker.marker.id for marker in found.markers}
    assert {design.markers[-1].id, 0} <= ids
    assert np.ptp([m.marker.corners_mm[0, 0] for m in found.markers]) < 90.0
    surface = solve_surface(found, photo, scene.coupon, print_scale(design, None))
    ends_mm = np.array([[-16.0, 20.0], [8.0, 20.0]])
    seen_mm = surface.to_mm(scene.metal_px(ends_mm))
    assert_allclose(np.hypot(*(seen_mm[1] - seen_mm[0])), 24.0, atol=0.05)
    clocks = np.diff(surface.clock_deg(seen_mm)) % 360.0
    assert_allclose(clocks, np.degrees(24.0 / 30.15), atol=0.3)


def test_mirrored_markers_are_refused(row_photo):
    scene, photo = row_photo
    with pytest.raises(MirroredTargetError, match="mirrored"):
        find_target(shown(photo, photo.pixels_bgr[:, ::-1]), [scene.design])


def test_a_photo_without_markers_is_refused(row_photo):
    scene, photo = row_photo
    with pytest.raises(NoMarkerError, match="No marker"):
        find_target(shown(photo, np.full((700, 900, 3), 120, np.uint8)), [scene.design])


@pytest.mark.parametrize("shape", [(1, 1), (3000, 20), (47, 4000)])
def test_a_photo_too_small_for_markers_is_refused(five_in_a_row, row_photo, shape):
    _, photo = row_photo
    with pytest.raises(NoMarkerError):
        find_target(shown(photo, np.zeros((*shape, 3), np.uint8)), [five_in_a_row()])


def test_a_target_half_out_of_view_is_refused(row_photo):
    scene, photo = row_photo
    edge = int(scene.corners_px(scene.design.markers[1])[:, 0].min()) - 8
    with pytest.raises(TargetCutOffError, match="Only 1 of the target's 5 markers"):
        find_target(shown(photo, photo.pixels_bgr[:, :edge]), [scene.design])


def test_one_marker_among_covered_ones_is_too_few(row_photo):
    scene, photo = row_photo
    pixels = photo.pixels_bgr.copy()
    for marker in scene.design.markers[1:]:
        left, top = scene.corners_px(marker).min(axis=0).astype(int)
        pixels[top : top + 130, left : left + 125] = 60
    with pytest.raises(TooFewMarkersError, match="Only 1 of"):
        find_target(shown(photo, pixels), [scene.design])


def test_glare_over_the_target_is_named(row_photo):
    scene, photo = row_photo
    pixels = photo.pixels_bgr.copy()
    left, top = scene.corners_px(scene.design.markers[1]).min(axis=0).astype(int) - 40
    pixels[max(top - 60, 0) : top + 240, left:] = 255
    with pytest.raises(GlareOnTargetError, match="Glare"):
        find_target(shown(photo, pixels), [scene.design])


def test_a_blurred_target_is_refused(make_scene, five_in_a_row, generator):
    scene = make_scene(design=five_in_a_row(), **SMALL)
    with pytest.raises((TargetBlurredError, NoMarkerError)):
        find_target(scene.rendered(generator, blur_px=8.0), [scene.design])
    photo = scene.rendered(generator, blur_px=3.0)
    assert find_target(photo, [scene.design]).blur_px == pytest.approx(3.0, rel=0.1)


def test_a_large_photo_is_searched_small_and_measured_at_full_size(make_scene, generator):
    scene = make_scene(design=plate_card(), size_px=(2560, 1920), px_per_mm=14.0, edge_shift_mm=0.0)
    found = find_target(scene.rendered(generator), [scene.design])
    error = [m.corners_px - scene.corners_px(m.marker) for m in found.markers]
    assert len(error) == 8
    assert np.sqrt(np.mean(np.square(error))) <= 0.05
