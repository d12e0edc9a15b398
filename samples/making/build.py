"""From a recipe to arrays: meshes, textures, the sky. No renderer needed."""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from samples.making.canvas import Textures, textures
from samples.making.card import WIDEST_DRAWING_PX, Lie, draw_sheet
from samples.making.lights import Sky, make_sky
from samples.making.meshes import Mesh, balls, disc, join, pipe_ends, slab_sides
from samples.making.noise import Floats, Image
from samples.making.paint import paint_metal
from samples.making.paper_mesh import sheet_mesh
from samples.making.recipe import Scene
from samples.making.relief import Relief, formed_sides, make_relief, metal_mesh
from samples.making.round_skin import paint_round
from samples.making.shape import Shape
from samples.making.stage import Stage, set_stage
from samples.making.table import table_colour
from samples.making.things import block_mesh
from samples.making.weld import Weld
from samples.making.wrap import Wrap

ROUND_DRAWING_PX = 20000  # of a strip that is seen all along: the renderer holds it whole


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """A scene ready for the renderer."""

    stage: Stage
    heights: Relief
    metal: Mesh
    skin: Textures
    sides: Mesh
    spatter: Mesh | None
    magnets: Mesh | None
    blocks: tuple[Mesh, ...]
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
    canvas = (
        paint_metal(scene, weld, span, texel_mm)
        if weld is None or weld.turn_mm is None
        else paint_round(scene, weld, span, texel_mm)
    )
    eye = stage.camera.eye_mm
    heights = make_relief(stage, mesh_mm=mesh_mm)
    radius = shape.radius_mm
    # A pipe that is seen from inside lies on its wall.
    floor = -2 * radius if radius is not None and radius > 0 else -scene.metal.thickness_mm
    ends_mm = (span[2], span[3])
    if radius is not None:
        z0, z1 = (float(z) for z in scene.metal.ground.height_mm(np.array(ends_mm)))
        sides = pipe_ends(radius, t_mm=ends_mm, z_mm=(z0, z1), wall_mm=scene.metal.thickness_mm)
    elif scene.metal.ground.flat:
        sides = slab_sides(span, thickness_mm=scene.metal.thickness_mm, bevel_mm=0.4)
    else:
        sides = formed_sides(heights, span, thickness_mm=scene.metal.thickness_mm)
    viewer_azimuth = scene.viewer_azimuth
    if viewer_azimuth is None:
        viewer_azimuth = float(np.arctan2(eye[1], eye[0]))
    drawings = tuple(
        draw_sheet(sheet, ink_mm=laid.lie.ink_mm, rng=rng, widest_px=_widest_px(laid.lie))
        for sheet, laid in zip(sheets, scene.laid, strict=True)
    )
    return Built(
        stage=stage,
        heights=heights,
        metal=metal_mesh(shape, heights, span),
        skin=textures(canvas),
        sides=sides,
        spatter=_spatter(scene, shape, weld),
        magnets=join([disc(shape, m) for m in scene.magnets]) if scene.magnets else None,
        blocks=tuple(block_mesh(shape, block) for block in scene.blocks),
        sheet_meshes=tuple(
            sheet_mesh(shape, s, laid.lie) for s, laid in zip(sheets, scene.laid, strict=True)
        ),
        sheet_drawings=drawings,
        table=table_colour(scene.table, np.random.default_rng([scene.seed, 3])),
        table_z_mm=floor,
        sky=make_sky(
            scene.lighting,
            np.random.default_rng([scene.seed, 4]),
            viewer_azimuth=viewer_azimuth,
            backdrop=scene.backdrop,
            ahead=stage.camera.rotation[2],
        ),
    )


def under_another_camera(built: Built, scene: Scene) -> Built:
    """The same things for another photo of the coupon: camera, light line, blocks differ."""
    stage = set_stage(scene)
    blocks = tuple(block_mesh(stage.shape, block) for block in scene.blocks)
    return replace(built, stage=stage, blocks=blocks)


def _widest_px(lie: Lie | Wrap) -> int:
    return ROUND_DRAWING_PX if isinstance(lie, Wrap) else WIDEST_DRAWING_PX


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
        if isinstance(laid.lie, Wrap):  # it goes all the way round
            covered |= np.abs(t - laid.lie.t_mm) < laid.sheet.height_mm / 2 + 2.0
            continue
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
