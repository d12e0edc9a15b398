"""The truth of a side-on photo: the outline of pipe and bead against what stands behind them.

Every sight line of the outline grazes the surface. So the outline is, at each place along the bare
pipe's own outline, the highest point in the picture that any part of the surface reaches there.
"""

from typing import Any

import numpy as np

from samples.making.camera import Camera
from samples.making.noise import Floats
from samples.making.rounding import rounded
from samples.making.sections import section_values
from samples.making.stage import Stage
from samples.making.top import On, Top

STEP_T_MM = 0.1
FINE_MM = 0.05
LEAST_POINTS = 20
HIGHEST_MM = 5.0  # nothing on the pipe stands higher


def limb(top: Top) -> dict[str, Any] | None:
    """The outline every 0.1 mm across the weld, and the section at its clock position.

    None where the outline lies outside the picture.
    """
    stage = top.stage
    camera, shape = stage.camera, stage.shape
    radius = shape.radius_mm
    assert radius is not None  # noqa: S101  (only pipes are taken side-on)
    s0 = stage.scene.view.at_st_mm[0]
    t = _grid(stage, s0)
    if len(t) < LEAST_POINTS:
        return None
    bare = shape.xyz_mm(np.stack([np.full_like(t, s0), t, np.zeros_like(t)], axis=-1))
    axes = _axes(camera, shape.normal(np.array(s0)), bare)
    st, ideal = outline(top, axes, t, bare)
    z, on = top.look(st[:, 0], st[:, 1])
    rays = np.concatenate([ideal, np.ones((len(t), 1))], axis=1) @ camera.rotation
    middle = 0.0 if stage.weld is None else float(np.nanmean(stage.weld.toes_mm(np.array([s0]))))
    at = shape.xyz_mm(np.array([s0, middle, 0.0]))
    sight = (at - camera.eye_mm) / np.linalg.norm(at - camera.eye_mm)
    truth: dict[str, Any] = {
        "s_limb_mm": rounded(s0),
        "psi_deg": rounded(np.degrees(np.arcsin(sight[1]))),
        "t_mm": rounded(t),
        "silhouette_px": rounded(_distorted(camera, ideal)),
        "bare_limb_px": rounded(camera.project(bare)),
        "silhouette_s_mm": rounded(st[:, 0]),
        "silhouette_t_mm": rounded(st[:, 1]),
        "z_at_silhouette_mm": rounded(z),
        "on": [On(k).name.lower() for k in on],
        "apparent_height_mm": rounded(_axis_distance_mm(camera.eye_mm, rays, radius) - radius),
        "up_in_image": rounded(axes[2]),
        "px_per_mm_at_limb": rounded(camera.focal_px / stage.scene.view.distance_mm),
    }
    if stage.weld is None:
        return truth
    low, high = (float(v[0]) for v in stage.weld.toes_mm(np.array([s0])))
    bead = (t > low) & (t < high)
    if not bead.any():
        return truth
    heights = np.array(truth["apparent_height_mm"], dtype=np.float64)
    join = np.interp(t, [low, high], stage.weld.ground.height_mm(np.array([low, high])))
    return truth | {
        "max_apparent_over_join_mm": rounded((heights - join)[bead].max()),
        "max_apparent_height_mm": rounded(heights[bead].max()),
        "max_z_at_silhouette_mm": rounded(z[bead].max()),
        "toe_lo_t_mm": rounded(low),
        "toe_hi_t_mm": rounded(high),
        "width_at_limb_mm": rounded(high - low),
        "section": section_values(stage.weld, top.heights, s0),
    }


def outline(
    top: Top, axes: tuple[Floats, Floats, Floats], t_mm: Floats, bare: Floats
) -> tuple[Floats, Floats]:
    """Points of the outline: s, t (N, 2), and where a camera without distortion sees them (N, 2).

    Parameters
    ----------
    axes
        Origin, direction along the bare outline and direction outwards, in the ideal picture.
    t_mm, bare
        (N,) places along the bare outline and their points in space (N, 3).
    """
    stage = top.stage
    origin, along, up = axes
    radius = stage.shape.radius_mm
    assert radius is not None  # noqa: S101  (only pipes are taken side-on)
    reach = radius * np.arccos(radius / (radius + HIGHEST_MM)) + 1.0
    rows = stage.scene.view.at_st_mm[0] + np.arange(-reach, reach, FINE_MM)
    columns = np.arange(t_mm[0] - 3, t_mm[-1] + 3, FINE_MM)
    at = _ideal(stage.camera, bare)
    places = (at - origin) @ along
    turn = float(np.sign(places[-1] - places[0]))
    best = np.full(len(t_mm), -np.inf)
    st = np.zeros((len(t_mm), 2))
    for s in rows:
        z = top.height_mm(np.full_like(columns, s), columns)
        xyz = stage.shape.xyz_mm(np.stack([np.full_like(columns, s), columns, z], axis=-1))
        off = _ideal(stage.camera, xyz) - origin
        u, v = turn * (off @ along), off @ up
        height = np.interp(turn * places, u, v)
        higher = height > best
        best[higher] = height[higher]
        st[higher, 0] = s
        st[higher, 1] = np.interp(turn * places, u, columns)[higher]
    return st, origin + places[:, None] * along + best[:, None] * up


def _grid(stage: Stage, s0: float) -> Floats:
    span = stage.scene.metal.span_mm
    t = np.arange(np.ceil(span[2] / STEP_T_MM), np.floor(span[3] / STEP_T_MM)) * STEP_T_MM
    points = np.stack([np.full_like(t, s0), t, np.zeros_like(t)], axis=-1)
    px = stage.camera.project(stage.shape.xyz_mm(points))
    return t[stage.camera.inside(px)]


def _axes(camera: Camera, normal: Floats, bare: Floats) -> tuple[Floats, Floats, Floats]:
    at = _ideal(camera, bare)
    along = (at[-1] - at[0]) / np.linalg.norm(at[-1] - at[0])
    up = np.array([-along[1], along[0]])
    middle = bare[len(bare) // 2]
    out = _ideal(camera, middle + 1e-3 * normal) - _ideal(camera, middle)
    return at[0], along, up * np.sign(up @ out)


def _ideal(camera: Camera, xyz: Floats) -> Floats:
    seen = np.asarray(xyz) @ camera.rotation.T + camera.translation_mm
    return np.asarray(seen[..., :2] / seen[..., 2:3])


def _distorted(camera: Camera, ideal: Floats) -> Floats:
    """Pixels (N, 2) of places (N, 2) in the ideal picture."""
    local = np.concatenate([ideal, np.ones((len(ideal), 1))], axis=1)
    return camera.project((local - camera.translation_mm) @ camera.rotation)


def _axis_distance_mm(eye: Floats, rays: Floats, radius_mm: float) -> Floats:
    """Distance of sight lines (N, 3) from the pipe's axis."""
    across = np.cross(rays, np.array([0.0, 1.0, 0.0]))
    across /= np.linalg.norm(across, axis=-1, keepdims=True)
    return np.asarray(np.abs(across @ (eye - np.array([0.0, 0.0, -radius_mm]))))
