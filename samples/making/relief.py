"""The metal's top as a grid of heights, as it is rendered."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import map_coordinates

from samples.making.meshes import Mesh, flat_rest, join, relief, skirt
from samples.making.noise import Floats
from samples.making.shape import Shape
from samples.making.stage import Stage
from samples.making.weld import Ground, Weld

BESIDE_MM = 2.5  # the grid reaches so far beyond toes and groove


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Relief:
    """Heights z (M, N) over t (M,) and s (N,); beyond the grid lies the bare ground."""

    s_mm: Floats
    t_mm: Floats
    z_mm: Floats
    ground: Ground

    @property
    def patch_mm(self) -> Floats:
        """Bounds s0, s1, t0, t1 of the grid."""
        return np.array([self.s_mm[0], self.s_mm[-1], self.t_mm[0], self.t_mm[-1]])

    def height_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Height at points, s and t broadcast; bilinear in the grid."""
        s, t = np.broadcast_arrays(s_mm, t_mm)
        column = np.interp(s, self.s_mm, np.arange(len(self.s_mm)))
        row = np.interp(t, self.t_mm, np.arange(len(self.t_mm)))
        inside = (s >= self.s_mm[0]) & (s <= self.s_mm[-1])
        inside &= (t >= self.t_mm[0]) & (t <= self.t_mm[-1])
        inner = map_coordinates(self.z_mm, [row.ravel(), column.ravel()], order=1, mode="nearest")
        return np.where(inside, inner.reshape(s.shape), self.ground.height_mm(t))


def make_relief(stage: Stage, *, mesh_mm: float) -> Relief:
    """Heights of a scene on a grid; the weld's roughness belongs to the seed and the grid."""
    span = np.array(stage.scene.metal.span_mm, dtype=np.float64)
    ground, weld = stage.scene.metal.ground, stage.weld
    if weld is None:
        middle = 0.0 if not ground.flat else (span[2] + span[3]) / 2
        s, t = span[:2], np.array([middle, middle + 1e-3])
        if not ground.flat:
            reach = ground.groove_half_mm + BESIDE_MM
            t = np.linspace(-reach, reach, int(2 * reach / mesh_mm) + 2)
        z = np.repeat(ground.height_mm(t)[:, None], 2, axis=1)
        return Relief(s_mm=s, t_mm=t, z_mm=z, ground=ground)
    patch = patch_of(weld, span)
    s, t = relief_grid(patch, mesh_mm)
    height = weld.height_mm(s, t, rng=np.random.default_rng([stage.scene.seed, 5]))
    bare = np.repeat(ground.height_mm(t)[:, None], len(s), axis=1)
    border = np.ones_like(height, dtype=bool)
    border[[0, -1]] = False  # the patch meets the flat rest without a crack
    if weld.turn_mm is not None:
        height[:, -1] = height[:, 0]  # the same place
    elif ground.flat:
        border[:, [0, -1]] = False
    return Relief(s_mm=s, t_mm=t, z_mm=np.where(border, height, bare), ground=ground)


def patch_of(weld: Weld, span: Floats) -> Floats:
    """The part of span that the weld's relief needs; a formed ground needs all its length."""
    s0, s1 = weld.s_range_mm
    low, high = weld.toes_mm(np.arange(s0, s1, 0.2))
    patch = np.array(
        [s0 - 2, s1 + 2, np.nanmin(low) - BESIDE_MM, np.nanmax(high) + BESIDE_MM],
        dtype=np.float64,
    )
    if not weld.ground.flat:
        reach = weld.ground.groove_half_mm + BESIDE_MM
        patch = np.array([*span[:2], min(patch[2], -reach), max(patch[3], reach)])
    return np.array(
        [
            max(patch[0], span[0]),
            min(patch[1], span[1]),
            max(patch[2], span[2]),
            min(patch[3], span[3]),
        ]
    )


def relief_grid(patch: Floats, step_mm: float) -> tuple[Floats, Floats]:
    """Grid lines s and t over a patch."""
    s = np.linspace(patch[0], patch[1], int((patch[1] - patch[0]) / step_mm) + 2)
    t = np.linspace(patch[2], patch[3], int((patch[3] - patch[2]) / step_mm) + 2)
    return s, t


def metal_mesh(shape: Shape, heights: Relief, span: Floats) -> Mesh:
    """The metal's top: the relief and the bare rest around it."""
    step_mm = 1e9 if shape.radius_mm is None else shape.radius_mm * np.radians(0.5)
    rest = flat_rest(
        shape,
        span_mm=span,
        patch_mm=heights.patch_mm,
        step_mm=step_mm,
        height_of=heights.ground.height_mm,
    )
    part = relief(shape, s_mm=heights.s_mm, t_mm=heights.t_mm, z_mm=heights.z_mm, span_mm=span)
    return join([part, *rest])


def formed_sides(heights: Relief, span: Floats, *, thickness_mm: float) -> Mesh:
    """Sides of a plate whose ends show the form of its ground."""
    t = np.concatenate([[span[2]], heights.t_mm, [span[3]]])
    ground = heights.ground.height_mm(t)
    parts = []
    for s, column, turn in ((span[0], 0, 1), (span[1], -1, -1)):
        z = ground.copy()
        z[1:-1] = heights.z_mm[:, column]
        parts.append(skirt(np.stack([np.full_like(t, s), t, z], axis=-1)[::-turn], -thickness_mm))
    for at, turn in ((span[2], 1), (span[3], -1)):
        z_at = float(heights.ground.height_mm(np.array(at)))
        line = np.array([[span[0], at, z_at], [span[1], at, z_at]])
        parts.append(skirt(line[::turn], -thickness_mm))
    return join(parts)
