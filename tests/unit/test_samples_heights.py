"""The truth of photos for heights holds against ray casting and triangulation written out anew.

The scenes are small ones made here; nothing is rendered.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from samples.making.height_sets import draw_height_scenes
from samples.making.light_line import light_line
from samples.making.limb import limb
from samples.making.relief import Relief, make_relief
from samples.making.sections import section_values
from samples.making.stage import Stage, set_stage
from samples.making.top import Top
from samples.making.weld import Ground, Undercut

Floats = NDArray[np.float64]
TARGETS = Path(__file__).parents[2] / "calibration"
MESH_MM = 0.1  # coarser than rendered: the truth holds for any grid


@cache
def made(kind: str, form: str) -> tuple[Stage, Relief]:
    """The first scene of a form in a kind's set."""
    scenes = draw_height_scenes(kind=kind, first_seed=100, count=11, refusals=0, targets=TARGETS)
    stage = set_stage(next(scene for scene in scenes if form in scene.tags))
    return stage, make_relief(stage, mesh_mm=MESH_MM)


def rays_of(stage: Stage, px: Floats) -> Floats:
    """Directions in space of pixels, by OpenCV's own inversion of the lens."""
    camera = stage.camera
    cx, cy = camera.centre_px
    matrix = np.array([[camera.focal_px, 0, cx], [0, camera.focal_px, cy], [0, 0, 1.0]])
    lens = np.array([camera.k1, camera.k2, 0.0, 0.0, 0.0])
    stop = (cv2.TERM_CRITERIA_COUNT + cv2.TERM_CRITERIA_EPS, 60, 1e-12)
    ideal = cv2.undistortPoints(px.reshape(-1, 1, 2), matrix, lens, criteria=stop)
    rays = np.concatenate([ideal.reshape(-1, 2), np.ones((len(px), 1))], axis=1) @ camera.rotation
    return np.asarray(rays / np.linalg.norm(rays, axis=1, keepdims=True), dtype=np.float64)


def clearance_mm(top: Top, ray: Floats) -> float:
    """Least height of a sight line over the pipe with all that is on it, step by step."""
    stage = top.stage
    radius = stage.shape.radius_mm
    assert radius is not None
    reach = stage.scene.view.distance_mm + np.arange(-40.0, 40.0, 0.004)
    xyz = stage.camera.eye_mm + reach[:, None] * ray
    up = xyz[:, 2] + radius
    s = radius * np.arctan2(xyz[:, 0], up)
    z = np.hypot(xyz[:, 0], up) - radius
    return float((z - top.height_mm(s, xyz[:, 1])).min())


@pytest.mark.parametrize("form", ["convex", "undercut", "underfill", "misaligned"])
def test_sight_lines_just_outside_the_outline_pass_and_just_inside_it_strike(form: str) -> None:
    stage, heights = made("side-on", form)
    top = Top(stage=stage, heights=heights)
    truth = limb(top)
    assert truth is not None
    px, t = np.array(truth["silhouette_px"]), np.array(truth["t_mm"])
    up = np.array(truth["up_in_image"])
    up = up / np.linalg.norm(up)
    weld = np.flatnonzero(np.abs(t) < 12)[::12]
    # The axis of the picture's y may be turned against "up" by the lens: 0.15 px covers that and
    # the 0.05 mm steps of the truth's search.
    outside = [clearance_mm(top, ray) for ray in rays_of(stage, px[weld] + 0.15 * up)]
    inside = [clearance_mm(top, ray) for ray in rays_of(stage, px[weld] - 0.15 * up)]
    assert min(outside) > 0
    assert max(inside) < 0


def test_the_outline_lies_where_opencv_projects_its_points() -> None:
    stage, heights = made("side-on", "undercut")
    truth = limb(Top(stage=stage, heights=heights))
    assert truth is not None
    radius = stage.shape.radius_mm
    assert radius is not None
    s, t, z = (
        np.array(truth[key]) for key in ("silhouette_s_mm", "silhouette_t_mm", "z_at_silhouette_mm")
    )
    xyz = np.stack(
        [(radius + z) * np.sin(s / radius), t, (radius + z) * np.cos(s / radius) - radius], axis=1
    )
    # Between two lines of the search the outline may stand on either: 0.05 mm along the sight.
    assert_allclose(stage.camera.project(xyz), truth["silhouette_px"], atol=0.12)


def test_heights_of_the_outline_follow_from_the_sines_of_the_sight_lines() -> None:
    """h = R (sin b1 / sin b0 - 1) in the normal section, whatever the distance and the lens."""
    stage, heights = made("side-on", "convex")
    truth = limb(Top(stage=stage, heights=heights))
    assert truth is not None
    radius = stage.shape.radius_mm
    assert radius is not None
    axis = np.array([0.0, 1.0, 0.0])
    centre = np.array([0.0, 0.0, -radius])

    def distance(px: Floats) -> Floats:
        square = np.cross(rays_of(stage, px), axis)
        return np.abs(square @ (centre - stage.camera.eye_mm)) / np.linalg.norm(square, axis=1)

    seen = distance(np.array(truth["silhouette_px"]))
    bare = distance(np.array(truth["bare_limb_px"]))
    assert_allclose(bare, radius, atol=2e-4)  # pixels are stored to 1e-4
    assert_allclose(radius * (seen / bare - 1), truth["apparent_height_mm"], atol=3e-4)


@pytest.mark.parametrize(
    "form", ["convex", "undercut", "groove", "misaligned", "flat", "gauge", "coin"]
)
def test_triangulating_the_line_in_the_picture_gives_its_heights(form: str) -> None:
    stage, heights = made("light-line", form)
    top = Top(stage=stage, heights=heights)
    truth = light_line(top)
    assert truth is not None
    there = np.array(truth["in_view"], dtype=bool) & np.array(truth["lit"], dtype=bool)
    assert there.sum() > 100
    px = np.array([p for p, k in zip(truth["line_px"], there, strict=True) if k])
    rays = rays_of(stage, px)
    eye, normal = stage.camera.eye_mm, np.array(truth["sheet_normal"])
    reach = ((np.array(truth["sheet_point_mm"]) - eye) @ normal) / (rays @ normal)
    stz = stage.shape.stz_mm(eye + reach[:, None] * rays)
    # Stored to 1e-4 mm and px; a slanting sheet magnifies that a little.
    assert_allclose(stz[:, 1], np.array(truth["t_mm"])[there], atol=1e-3)
    stored = np.array([z for z, k in zip(truth["z_mm"], there, strict=True) if k])
    assert_allclose(stz[:, 2], stored, atol=2e-3 + truth["residual_mm"])
    on_metal = np.array(truth["on"])[there]
    steps = {block.thickness_mm for block in stage.scene.blocks if block.kind in {"step", "gauge"}}
    if steps and stage.shape.radius_mm is None:
        assert {round(z, 3) for z in stored[on_metal == "step"].tolist()} <= steps


def test_no_lit_point_of_the_line_lies_behind_the_bead_or_a_block() -> None:
    stage, heights = made("light-line", "convex")
    top = Top(stage=stage, heights=heights)
    truth = light_line(top)
    assert truth is not None
    source = np.array(truth["projector_mm"])
    for s, t, z, lit in zip(
        truth["s_mm"][::9], truth["t_mm"][::9], truth["z_mm"][::9], truth["lit"][::9], strict=True
    ):
        if not lit:
            continue
        at = stage.shape.xyz_mm(np.array([s, t, z]))
        way = at + np.linspace(0.002, 0.2, 3000)[:, None] * (source - at)
        stz = stage.shape.stz_mm(way)
        assert (stz[:, 2] - top.height_mm(stz[:, 0], stz[:, 1])).min() > -0.02


def formed(ground: Ground, **changes: Any) -> tuple[Stage, Relief]:
    """A pair's convex coupon on another ground, without roughness."""
    stage, _ = made("pair", "convex")
    scene = stage.scene
    assert scene.passes is not None
    passes = replace(scene.passes, rough_mm=0.0, fillet_mm=0.02, **changes)
    scene = replace(scene, metal=replace(scene.metal, ground=ground), passes=passes, blocks=())
    stage = set_stage(scene)
    return stage, make_relief(stage, mesh_mm=0.05)


def test_reinforcement_of_stepped_parts_counts_from_the_line_that_joins_the_toes() -> None:
    flat, flat_heights = formed(Ground())
    stepped, heights = formed(Ground(step_mm=1.3))
    assert flat.weld is not None
    assert stepped.weld is not None
    even = section_values(flat.weld, flat_heights, 3.0)
    uneven = section_values(stepped.weld, heights, 3.0)
    assert uneven["toe_z_mm"] == [0.0, 1.3]
    # Same cap on a slanting line; the grids of the two differ by less than a cell.
    assert_allclose(uneven["reinforcement_mm"], even["reinforcement_mm"], atol=0.01)
    assert_allclose(uneven["area_mm2"], even["area_mm2"], rtol=0.01)


def test_the_depth_of_an_undercut_is_that_asked_for() -> None:
    cut = Undercut(side="hi", start_mm=-20.0, end_mm=26.0, depth_mm=0.6, width_mm=1.4)
    stage, heights = formed(Ground(), undercuts=(cut,))
    assert stage.weld is not None
    values = section_values(stage.weld, heights, 3.0)
    assert_allclose(values["undercut_hi_mm"], 0.6, atol=0.02)  # a 0.02 mm fillet rounds it
    assert values["undercut_lo_mm"] == 0.0


def test_a_pass_in_a_groove_lies_below_the_surface_between_its_walls() -> None:
    stage, heights = made("pair", "groove")
    weld, ground = stage.weld, stage.scene.metal.ground
    assert weld is not None
    values = section_values(weld, heights, 0.0)
    slope = np.tan(np.radians(ground.bevel_deg))
    expected = (np.array([-values["lo_t"], values["hi_t"]]) - ground.groove_half_mm) / slope
    assert_allclose(values["toe_z_mm"], expected, atol=1e-3)
    assert max(values["toe_z_mm"]) < -0.5
    assert values["least_mm"] < -0.1


def test_a_set_draws_the_same_scenes_again_and_others_from_another_seed() -> None:
    def names(seed: int) -> list[str]:
        scenes = draw_height_scenes(
            kind="light-line", first_seed=seed, count=4, refusals=2, targets=TARGETS
        )
        return [f"{scene.name} {scene.description} {scene.light}" for scene in scenes]

    assert names(7) == names(7)
    assert names(7) != names(8)


@pytest.mark.parametrize(("kind", "forms"), [
    ("side-on", {"hidden"}), ("light-line", {"upright", "soft"}), ("pair", {"same", "two"}),
])  # fmt: skip
def test_what_must_be_refused_comes_last_and_says_so(kind: str, forms: set[str]) -> None:
    scenes = draw_height_scenes(kind=kind, first_seed=3, count=2, refusals=2, targets=TARGETS)
    assert {scene.tags[-1] for scene in scenes if int(scene.name[:3]) >= 2} == forms
