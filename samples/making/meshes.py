"""Triangle meshes of the metal, spatter, magnets and the pipe's far side."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats
from samples.making.recipe import Magnet
from samples.making.shape import Shape


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mesh:
    """Vertices (N, 3) in space, normals (N, 3) or None where faces are flat, uv (N, 2), faces."""

    vertices: Floats
    faces: NDArray[np.uint32]
    uv: Floats
    normals: Floats | None = None


def grid_faces(
    rows: int, columns: int, keep: NDArray[np.bool_] | None = None
) -> NDArray[np.uint32]:
    """Faces of a grid of rows by columns vertices, counter-clockwise seen from +z."""
    index = np.arange(rows * columns, dtype=np.uint32).reshape(rows, columns)
    a, b = index[:-1, :-1], index[:-1, 1:]
    c, d = index[1:, 1:], index[1:, :-1]
    if keep is not None:
        a, b, c, d = a[keep], b[keep], c[keep], d[keep]
    first = np.stack([a.ravel(), b.ravel(), c.ravel()], axis=1)
    second = np.stack([a.ravel(), c.ravel(), d.ravel()], axis=1)
    return np.concatenate([first, second])


def join(meshes: list[Mesh]) -> Mesh:
    """One mesh of many; all have normals, or none has."""
    offsets = np.cumsum([0] + [len(m.vertices) for m in meshes[:-1]])
    normals = [m.normals for m in meshes if m.normals is not None]
    return Mesh(
        vertices=np.concatenate([m.vertices for m in meshes]),
        faces=np.concatenate(
            [m.faces + np.uint32(o) for m, o in zip(meshes, offsets, strict=True)]
        ),
        uv=np.concatenate([m.uv for m in meshes]),
        normals=np.concatenate(normals) if len(normals) == len(meshes) else None,
    )


def relief(shape: Shape, *, s_mm: Floats, t_mm: Floats, z_mm: Floats, span_mm: Floats) -> Mesh:
    """Surface z (M, N) over t (M,) and s (N,), smooth-shaded; uv run over span (s0, s1, t0, t1)."""
    s, t = np.meshgrid(s_mm, t_mm)
    slope_t, slope_s = np.gradient(z_mm, t_mm, s_mm)
    normal = np.stack([-slope_s, -slope_t, np.ones_like(z_mm)], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    uv = np.stack(
        [
            (s - span_mm[0]) / (span_mm[1] - span_mm[0]),
            (t - span_mm[2]) / (span_mm[3] - span_mm[2]),
        ],
        axis=-1,
    )
    return Mesh(
        vertices=shape.xyz_mm(np.stack([s, t, z_mm], axis=-1)).reshape(-1, 3),
        faces=grid_faces(*z_mm.shape),
        uv=uv.reshape(-1, 2),
        normals=shape.turn(s, normal).reshape(-1, 3),
    )


def flat_rest(
    shape: Shape,
    *,
    span_mm: Floats,
    patch_mm: Floats,
    step_mm: float,
    height_of: Callable[[Floats], Floats],
) -> list[Mesh]:
    """The bare metal of span (s0, s1, t0, t1) around a patch; its height depends on t alone."""
    s0, s1, t0, t1 = span_mm
    p0, p1, q0, q1 = patch_mm
    boxes = [(s0, s1, t0, q0), (s0, s1, q1, t1), (s0, p0, q0, q1), (p1, s1, q0, q1)]
    meshes = []
    for a, b, c, d in boxes:
        if b - a < 1e-6 or d - c < 1e-6:
            continue
        s = np.linspace(a, b, max(2, int((b - a) / step_mm) + 2))
        t = np.array([c, d])
        z = np.repeat(height_of(t)[:, None], len(s), axis=1)
        meshes.append(relief(shape, s_mm=s, t_mm=t, z_mm=z, span_mm=span_mm))
    return meshes


def slab_sides(span_mm: Floats, *, thickness_mm: float, bevel_mm: float) -> Mesh:
    """Bevel and sides of a plate whose top face is span."""
    s0, s1, t0, t1 = span_mm
    b = bevel_mm
    rings = []
    for out, z in ((0.0, 0.0), (b, -b), (b, -thickness_mm + b), (0.0, -thickness_mm)):
        rings.append(
            [
                [s0 - out, t0 - out, z],
                [s1 + out, t0 - out, z],
                [s1 + out, t1 + out, z],
                [s0 - out, t1 + out, z],
            ]
        )
    parts = []
    for upper, lower in pairwise(rings):
        for k in range(4):
            n = (k + 1) % 4
            corners = np.array([lower[k], lower[n], upper[n], upper[k]], dtype=np.float64)
            parts.append(quad(corners))
    return join(parts)


def skirt(line_mm: Floats, floor_mm: float) -> Mesh:
    """Wall from a line (N, 3) of a flat plate's rim down to a floor; outside is on its left."""
    foot = line_mm * np.array([1.0, 1.0, 0.0]) + np.array([0.0, 0.0, floor_mm])
    parts = [
        quad(np.stack([foot[k], foot[k + 1], line_mm[k + 1], line_mm[k]]))
        for k in range(len(line_mm) - 1)
        if np.linalg.norm(line_mm[k + 1] - line_mm[k]) > 1e-9
    ]
    return join(parts)


def quad(corners: Floats) -> Mesh:
    """A flat quadrilateral, counter-clockwise seen from outside."""
    normal = np.cross(corners[1] - corners[0], corners[3] - corners[0])
    normal /= np.linalg.norm(normal)
    return Mesh(
        vertices=corners,
        faces=np.array([[0, 1, 2], [0, 2, 3]], dtype=np.uint32),
        uv=np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float64),
        normals=np.repeat(normal[None], 4, axis=0),
    )


def balls(shape: Shape, stz_mm: Floats, radii_mm: Floats) -> Mesh:
    """Spatter: balls of these radii with their middles at (N, 3)."""
    rows, columns = 9, 15
    v, u = np.meshgrid(
        np.linspace(0, np.pi, rows), np.linspace(0, 2 * np.pi, columns), indexing="ij"
    )
    ball = np.stack([np.sin(v) * np.cos(u), np.sin(v) * np.sin(u), -np.cos(v)], axis=-1)
    ball = ball.reshape(-1, 3)
    faces = grid_faces(rows, columns)
    middles = shape.xyz_mm(stz_mm)
    vertices = middles[:, None] + radii_mm[:, None, None] * ball[None]
    offsets = (np.arange(len(middles), dtype=np.uint32) * np.uint32(len(ball)))[:, None, None]
    return Mesh(
        vertices=vertices.reshape(-1, 3),
        faces=(faces[None] + offsets).reshape(-1, 3),
        uv=np.zeros((len(middles) * len(ball), 2)),
        normals=np.tile(ball, (len(middles), 1)),
    )


def disc(shape: Shape, magnet: Magnet) -> Mesh:
    """A round magnet with a small bevel, standing on the sheet."""
    angle = np.linspace(0, 2 * np.pi, 49)
    r, h, b = magnet.radius_mm, magnet.height_mm, 0.3
    rings = []
    for first, second in (
        ((r, 0.0), (r, h - b)),
        ((r, h - b), (r - b, h)),
        ((r - b, h), (1e-3, h)),
    ):
        stz = np.array(
            [
                [
                    [
                        magnet.s_mm + radius * np.cos(a),
                        magnet.t_mm + radius * np.sin(a),
                        magnet.z_mm + z,
                    ]
                    for a in angle
                ]
                for radius, z in (first, second)
            ]
        )
        lean = np.array([second[1] - first[1], first[0] - second[0]])
        lean = lean / np.linalg.norm(lean)
        out = np.stack(
            [lean[0] * np.cos(angle), lean[0] * np.sin(angle), np.full(49, lean[1])], axis=-1
        )
        normals = shape.turn(np.full(49, magnet.s_mm), out)
        rings.append(
            Mesh(
                vertices=shape.xyz_mm(stz).reshape(-1, 3),
                faces=grid_faces(2, 49),
                uv=np.zeros((98, 2)),
                normals=np.concatenate([normals, normals]),
            )
        )
    return join(rings)


def pipe_ends(
    radius_mm: float, *, t_mm: tuple[float, float], z_mm: tuple[float, float], wall_mm: float
) -> Mesh:
    """The pipe's two cut faces and its bore; z is the height of its outside at either end."""
    angle = np.linspace(-np.pi, np.pi, 181)
    parts = []
    inner = radius_mm - wall_mm
    for ring in (
        ((radius_mm + z_mm[0], t_mm[0]), (inner, t_mm[0])),
        ((inner, t_mm[1]), (radius_mm + z_mm[1], t_mm[1])),
        ((inner, t_mm[0]), (inner, t_mm[1])),
    ):
        (r0, y0), (r1, y1) = ring
        rings = [
            np.stack(
                [r * np.sin(angle), np.full_like(angle, y), r * np.cos(angle) - radius_mm], axis=-1
            )
            for r, y in ((r0, y0), (r1, y1))
        ]
        vertices = np.stack(rings).reshape(-1, 3)
        parts.append(
            Mesh(
                vertices=vertices, faces=grid_faces(2, len(angle)), uv=np.zeros((len(vertices), 2))
            )
        )
    return join(parts)
