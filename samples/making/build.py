"""From a recipe to arrays: meshes, textures, the sky. No renderer needed."""

from dataclasses import dataclass

import cv2
import numpy as np

from samples.making.canvas import Textures, textures
from samples.making.card import draw_sheet
from samples.making.lights import Sky, make_sky
from samples.making.meshes import (
    Mesh,
    balls,
    disc,
    flat_rest,
    join,
    pipe_ends,
    relief,
    sheet_mesh,
    slab_sides,
)
from samples.making.noise import Floats, Image
from samples.making.paint import paint_metal
from samples.making.recipe import Scene
from samples.making.shape import Shape
from samples.making.stage import Stage, set_stage
from samples.making.table import table_colour
from samples.making.weld import Weld


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """A scene ready for the renderer."""

    stage: Stage
    metal: Mesh
    skin: Textures
    sides: Mesh
    spatter: Mesh | None
    magnets: Mesh | None
    sheet_meshes: tuple[Mesh, ...]
    sheet_drawings: tuple[Image, ...]
    table: Image
    table_z_mm: float
    sky: Sky


def build(scene: Scene, *, mesh_mm: float = 0.08, texel_mm: float = 0.05) -> Built:
    """Build everything of a scene."""
    stage = set_stage(scene)
    shape, weld, sheets = stage.shape, stage.weld, stage.sheets
    rng = np.random.default_rng([scene.seed, 2])
    span = np.array(scene.metal.span_mm, dtype=np.float64)
    canvas = paint_metal(scene, weld, span, texel_mm)
    eye = stage.camera.eye_mm
    radius = shape.radius_mm
    if radius is None:
        sides = slab_sides(span, thickness_mm=scene.metal.thickness_mm, bevel_mm=0.4)
        floor = -scene.metal.thickness_mm
    else:
        sides = pipe_ends(radius, t_mm=(span[2], span[3]), wall_mm=scene.metal.thickness_mm)
        floor = -2 * radius
    drawings = tuple(
        draw_sheet(sheet, ink_mm=laid.lie.ink_mm, rng=rng)
        for sheet, laid in zip(sheets, scene.laid, strict=True)
    )
    return Built(
        stage=stage,
        metal=_metal(scene, shape, weld, span, mesh_mm),
        skin=textures(canvas),
        sides=sides,
        spatter=_spatter(scene, shape, weld),
        magnets=join([disc(shape, m) for m in scene.magnets]) if scene.magnets else None,
        sheet_meshes=tuple(
            sheet_mesh(shape, s, laid.lie) for s, laid in zip(sheets, scene.laid, strict=True)
        ),
        sheet_drawings=drawings,
        table=table_colour(scene.table, np.random.default_rng([scene.seed, 3])),
        table_z_mm=floor,
        sky=make_sky(
            scene.lighting,
            np.random.default_rng([scene.seed, 4]),
            viewer_azimuth=float(np.arctan2(eye[1], eye[0])),
        ),
    )


def patch_of(weld: Weld, span: Floats) -> Floats:
    """The part of span that the weld's relief needs."""
    s0, s1 = weld.s_range_mm
    low, high = weld.toes_mm(np.arange(s0, s1, 0.2))
    patch = np.array([s0 - 2, s1 + 2, np.nanmin(low) - 2.5, np.nanmax(high) + 2.5])
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


def _metal(scene: Scene, shape: Shape, weld: Weld | None, span: Floats, mesh_mm: float) -> Mesh:
    step_mm = 1e9 if shape.radius_mm is None else shape.radius_mm * np.radians(0.5)
    if weld is None:
        middle = (span[2] + span[3]) / 2
        empty = np.array([span[0], span[1], middle, middle])
        return join(flat_rest(shape, span_mm=span, patch_mm=empty, step_mm=step_mm))
    patch = patch_of(weld, span)
    s, t = relief_grid(patch, mesh_mm)
    height = weld.height_mm(s, t, rng=np.random.default_rng([scene.seed, 5]))
    border = np.ones_like(height)
    border[[0, -1]] = 0  # the patch meets the flat rest without a crack
    border[:, [0, -1]] = 0
    part = relief(shape, s_mm=s, t_mm=t, z_mm=height * border, span_mm=span)
    return join([part, *flat_rest(shape, span_mm=span, patch_mm=patch, step_mm=step_mm)])


def _spatter(scene: Scene, shape: Shape, weld: Weld | None) -> Mesh | None:
    if weld is None or scene.metal.spatter == 0:
        return None
    rng = np.random.default_rng([scene.seed, 7])
    s0, s1 = weld.s_range_mm
    count = scene.metal.spatter
    low, high = weld.toes_mm(np.array([(s0 + s1) / 2]))
    side = rng.choice([-1.0, 1.0], count)
    away = 0.4 + rng.exponential(7.0, count)
    t = np.where(side < 0, low - away, high + away)
    s = rng.uniform(s0, s1, count)
    radius = np.clip(rng.lognormal(-1.5, 0.5, count), 0.08, 0.75)
    inside = (t > scene.metal.span_mm[2] + 1) & (t < scene.metal.span_mm[3] - 1)
    inside &= ~_under_sheet(scene, s, t)
    stz = np.stack([s, t, radius * rng.uniform(0.1, 0.7, count)], axis=-1)[inside]
    return balls(shape, stz, radius[inside]) if len(stz) else None


def _under_sheet(scene: Scene, s: Floats, t: Floats) -> np.ndarray:
    covered = np.zeros(len(s), dtype=bool)
    for laid in scene.laid:
        for x0, y0, x1, y1 in laid.sheet.paper_mm:
            box = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
            outline = laid.lie.stz_mm(laid.sheet, box)[:, :2].astype(np.float32)
            covered |= np.array(
                [
                    cv2.pointPolygonTest(outline, (float(a), float(b)), measureDist=True) > -0.8
                    for a, b in zip(s, t, strict=True)
                ]
            )
    return covered
