"""Triangle meshes of printed targets as they lie."""

import numpy as np
from numpy.typing import NDArray

from samples.making.card import Lie, Sheet
from samples.making.meshes import Mesh, grid_faces, join
from samples.making.noise import Floats
from samples.making.shape import Shape
from samples.making.wrap import CUT_MM, Wrap

FIRST_HALF, SECOND_HALF = np.array([[0, 1, 2], [0, 2, 3]], dtype=np.uint32)


def sheet_mesh(shape: Shape, sheet: Sheet, lie: Lie | Wrap) -> Mesh:
    """The printed face and the cut edges of a target as it lies."""
    if isinstance(lie, Wrap):
        return join([_paper(shape, sheet, *grid, on_metal=False) for grid in lie.grids(sheet)])
    x0, y0, x1, y1 = sheet.box_mm
    edges = np.array(sheet.paper_mm)
    x_cuts, y_cuts = _cuts(x0, x1, edges[:, ::2]), _cuts(y0, y1, edges[:, 1::2])
    x, y = np.meshgrid(x_cuts, y_cuts[::-1])
    middle_x = (x[:-1, :-1] + x[:-1, 1:]) / 2
    middle_y = (y[:-1, :-1] + y[1:, :-1]) / 2
    keep = sheet.covers(middle_x, middle_y)
    xy = np.stack([x, y], axis=-1)
    return _paper(shape, sheet, xy, lie.stz_mm(sheet, xy), keep=keep)


def _paper(
    shape: Shape,
    sheet: Sheet,
    xy: Floats,
    stz: Floats,
    *,
    keep: NDArray[np.bool_] | None = None,
    on_metal: bool = True,
) -> Mesh:
    """Paper on a grid; its edges reach down to the metal, or are as thick as the paper."""
    if keep is None:
        keep = np.ones((xy.shape[0] - 1, xy.shape[1] - 1), dtype=np.bool_)
    uv = xy / np.array([sheet.width_mm, sheet.height_mm])
    face = Mesh(
        vertices=shape.xyz_mm(stz).reshape(-1, 3),
        faces=grid_faces(*xy.shape[:2], keep),
        uv=uv.reshape(-1, 2),
    )
    foot = stz - np.array([0.0, 0.0, sheet.thickness_mm])
    if on_metal:
        foot[..., 2] = 0.0
    return join([face, _skirt(shape, stz, foot, uv, keep)])


def _cuts(low: float, high: float, edges: Floats) -> Floats:
    cuts = np.linspace(low, high, max(2, int((high - low) / CUT_MM) + 1))
    within = edges[(edges >= low) & (edges <= high)]
    return np.unique(np.concatenate([cuts, within]))


def _skirt(shape: Shape, stz: Floats, foot: Floats, uv: Floats, keep: NDArray[np.bool_]) -> Mesh:
    padded = np.pad(keep, 1)
    parts = []
    sides = (
        ((0, 0), (0, 1), padded[:-2, 1:-1]),
        ((0, 1), (1, 1), padded[1:-1, 2:]),
        ((1, 1), (1, 0), padded[2:, 1:-1]),
        ((1, 0), (0, 0), padded[1:-1, :-2]),
    )
    for first, second, neighbour in sides:
        rows, columns = np.nonzero(keep & ~neighbour)
        a = stz[rows + first[0], columns + first[1]]
        b = stz[rows + second[0], columns + second[1]]
        ua = uv[rows + first[0], columns + first[1]]
        ub = uv[rows + second[0], columns + second[1]]
        under_a = foot[rows + first[0], columns + first[1]]
        under_b = foot[rows + second[0], columns + second[1]]
        corners = np.stack([under_a, under_b, b, a], axis=1).reshape(-1, 3)
        base = 4 * np.arange(len(a), dtype=np.uint32)[:, None]
        faces = np.concatenate([base + FIRST_HALF, base + SECOND_HALF])
        parts.append(
            Mesh(
                vertices=shape.xyz_mm(corners),
                faces=faces,
                uv=np.stack([ua, ub, ub, ua], axis=1).reshape(-1, 2),
            )
        )
    return join(parts)
