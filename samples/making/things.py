"""Pieces of steel of known thickness that lie on the metal: blocks, stairs, a round token."""

from itertools import pairwise

import numpy as np

from samples.making.meshes import Mesh, grid_faces, join, quad
from samples.making.noise import Floats
from samples.making.recipe import Block
from samples.making.shape import Shape

BEVEL_MM = 0.15
TOKEN_RIM_MM = 1.2
TOKEN_SINK_MM = 0.12  # the faces of a coin lie below its rim


def corners_st_mm(block: Block) -> Floats:
    """Corners (4, 2) of a block on the metal, counter-clockwise seen from outside."""
    a, b = block.length_mm / 2, block.width_mm / 2
    box = np.array([[-a, -b], [a, -b], [a, b], [-a, b]])
    turn = np.radians(block.angle_deg)
    axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return np.array([block.s_mm, block.t_mm]) + box @ axes


def top_mm(block: Block, s_mm: Floats, t_mm: Floats, *, radius_mm: float | None) -> Floats:
    """Height of a block's top at points (s, t); NaN beside it, and on its bevel.

    On a pipe a block touches along one line; to both sides of it, its flat top stands higher over
    the pipe.
    """
    off = np.stack([np.asarray(s_mm) - block.s_mm, np.asarray(t_mm) - block.t_mm], axis=-1)
    plane = np.full(off.shape[:-1], block.thickness_mm)
    if radius_mm is not None:
        angle = np.clip(off[..., 0] / radius_mm, -1.2, 1.2)
        plane = (radius_mm + block.thickness_mm) / np.cos(angle) - radius_mm
        off[..., 0] = (radius_mm + block.thickness_mm) * np.tan(angle)
    if block.kind == "token":
        r = np.hypot(off[..., 0], off[..., 1])
        rim = block.length_mm / 2 - r
        height = plane - np.where(rim > TOKEN_RIM_MM, TOKEN_SINK_MM, 0.0)
        return np.where(rim > BEVEL_MM, height, np.nan)
    turn = np.radians(block.angle_deg)
    along = np.abs(np.cos(turn) * off[..., 0] + np.sin(turn) * off[..., 1])
    across = np.abs(np.cos(turn) * off[..., 1] - np.sin(turn) * off[..., 0])
    on = (along < block.length_mm / 2 - BEVEL_MM) & (across < block.width_mm / 2 - BEVEL_MM)
    return np.where(on, plane, np.nan)


def block_mesh(shape: Shape, block: Block) -> Mesh:
    """A block with bevelled edges, or a round token with a rim; it lies flat on a pipe too."""
    if block.kind == "token":
        return _token(shape, block)
    inner = corners_st_mm(block)
    middle = np.array([block.s_mm, block.t_mm])
    size = np.array([block.length_mm, block.width_mm]).min()
    shrunk = middle + (inner - middle) * (1 - 2 * BEVEL_MM / size)
    h = block.thickness_mm
    rings = [
        _ring(inner, 0.0),
        _ring(inner, h - BEVEL_MM),
        _ring(shrunk, h),
    ]
    parts = []
    for low, high in ((rings[0], rings[1]), (rings[1], rings[2])):
        for k in range(4):
            n = (k + 1) % 4
            parts.append(quad(rigid_mm(shape, block, np.stack([low[k], low[n], high[n], high[k]]))))
    parts.append(_top(shape, block, rings[2]))
    return join(parts)


def rigid_mm(shape: Shape, block: Block, stz_mm: Floats) -> Floats:
    """Points in space of a block that keeps its form and touches the metal at its middle."""
    at = np.array([block.s_mm, block.t_mm, 0.0])
    middle = shape.xyz_mm(at)
    return middle + shape.turn(np.full(stz_mm.shape[:-1], block.s_mm), stz_mm - at)


def _ring(corners: Floats, z_mm: float) -> Floats:
    return np.concatenate([corners, np.full((4, 1), z_mm)], axis=1)


def _top(shape: Shape, block: Block, ring: Floats) -> Mesh:
    u, v = np.meshgrid(np.linspace(0, 1, 25), np.linspace(0, 1, 9))
    w = np.stack([(1 - u) * (1 - v), u * (1 - v), u * v, (1 - u) * v], axis=-1)
    stz = w @ ring
    normals = np.broadcast_to(shape.normal(np.array(block.s_mm)), stz.shape)
    return Mesh(
        vertices=rigid_mm(shape, block, stz).reshape(-1, 3),
        faces=grid_faces(9, 25),
        uv=np.stack([u, v], axis=-1).reshape(-1, 2),
        normals=normals.reshape(-1, 3),
    )


def _token(shape: Shape, block: Block) -> Mesh:
    r, h = block.length_mm / 2, block.thickness_mm
    sink = h - TOKEN_SINK_MM
    outline = [
        (r - BEVEL_MM, 0.0),
        (r, BEVEL_MM),
        (r, h - BEVEL_MM),
        (r - BEVEL_MM, h),
        (r - TOKEN_RIM_MM, h),
        (r - TOKEN_RIM_MM - 0.15, sink),
        (1e-3, sink),
    ]
    angle = np.linspace(0, 2 * np.pi, 97)
    parts = []
    for (r0, z0), (r1, z1) in pairwise(outline):
        rings = np.stack(
            [
                np.stack(
                    [
                        block.s_mm + a * np.cos(angle),
                        block.t_mm + a * np.sin(angle),
                        np.full_like(angle, z),
                    ],
                    axis=-1,
                )
                for a, z in ((r0, z0), (r1, z1))
            ]
        )
        lean = np.array([z1 - z0, r0 - r1]) / np.hypot(z1 - z0, r0 - r1)
        out = np.stack(
            [lean[0] * np.cos(angle), lean[0] * np.sin(angle), np.full_like(angle, lean[1])],
            axis=-1,
        )
        normals = shape.turn(np.full_like(angle, block.s_mm), out)
        parts.append(
            Mesh(
                vertices=rigid_mm(shape, block, rings).reshape(-1, 3),
                faces=grid_faces(2, len(angle)),
                uv=np.stack([rings[..., 0], rings[..., 1]], axis=-1).reshape(-1, 2),
                normals=np.concatenate([normals, normals]),
            )
        )
    return join(parts)
