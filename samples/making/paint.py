"""Painting a coupon's skin."""

import numpy as np

from samples.making import finish
from samples.making.canvas import Canvas, blank
from samples.making.heat import bead_mask, heat, off_toe_mm, residues, weld_skin
from samples.making.noise import Floats, cloud, step
from samples.making.recipe import Scene
from samples.making.weld import Weld

MOST_TEXELS = 9_000_000


def paint_metal(
    scene: Scene,
    weld: Weld | None,
    span: Floats,
    texel_mm: float,
    *,
    most_texels: float = MOST_TEXELS,
) -> Canvas:
    """Paint the coupon's skin: base finish, cleaned band, heat, bead, marks."""
    metal, rng = scene.metal, np.random.default_rng([scene.seed, 6])
    texel = max(texel_mm, float(np.sqrt((span[1] - span[0]) * (span[3] - span[2]) / most_texels)))
    canvas = blank(span, texel_mm=texel)
    _paint_base(canvas, scene, rng)
    if metal.seam:
        _paint_seam(canvas)
    finish.scratches(canvas, rng, count=metal.scratches)
    if metal.rust > 0:
        finish.rust(canvas, rng, amount=metal.rust)
    if weld is not None:
        mask = bead_mask(canvas, weld)
        off = off_toe_mm(canvas, mask)
        heat(canvas, rng, off=off, skin=scene.skin)
        weld_skin(canvas, rng, weld=weld, mask=mask, skin=scene.skin)
        residues(canvas, rng, mask=mask, off=off, skin=scene.skin)
    elif metal.stripe_tint:
        off = np.abs(np.broadcast_to(canvas.t_mm[:, None], canvas.shape)).astype(np.float32)
        heat(canvas, rng, off=off, skin=scene.skin)
    for text, s, t, angle, chalky in metal.writing:
        white = np.array([0.78, 0.77, 0.72]) if rng.random() < 0.7 else np.array([0.75, 0.6, 0.12])
        finish.write(
            canvas,
            rng,
            text=text,
            at_mm=(s, t),
            height_mm=rng.uniform(5, 9),
            angle_deg=angle,
            paint=white,
            chalky=chalky,
        )
    _finger_marks(canvas, rng)
    return canvas


def _paint_base(canvas: Canvas, scene: Scene, rng: np.random.Generator) -> None:
    metal = scene.metal
    colour = finish.STAINLESS if metal.stainless else finish.CARBON
    everywhere = np.ones(canvas.shape, dtype=np.float32)
    if metal.base == "mill_scale":
        finish.mill_scale(canvas, rng)
    elif metal.base == "aluminium":
        finish.bare(canvas, rng, colour=finish.ALUMINIUM, rough=0.3)
    else:
        finish.bare(canvas, rng, colour=colour, rough=0.26 if metal.stainless else 0.36)
    if metal.base == "brushed":
        finish.brush(canvas, rng, strength=rng.uniform(0.6, 1.3))
    elif metal.base == "ground_all":
        finish.sweep_grinder(canvas, rng, mask=everywhere, sweeps=int(rng.integers(25, 50)))
    elif metal.base == "blasted":
        canvas.rough[:] = 0.62
        canvas.stain(0.75 + 0.06 * cloud(rng, canvas.shape, cell=canvas.grain(1.5), octaves=4))
    if metal.band_mm > 0:
        band = finish.band_mask(canvas, rng, half_mm=metal.band_mm, teeth_mm=rng.uniform(0.4, 1.4))
        canvas.blend(band, colour=finish.GROUND, rough=0.3, metal=1, calm=0.8)
        if metal.band_brushed:
            finish.brush(canvas, rng, mask=band, strength=0.9)
        else:
            finish.sweep_grinder(canvas, rng, mask=band, sweeps=int(rng.integers(14, 30)))


def _paint_seam(canvas: Canvas) -> None:
    gap = np.exp(-((canvas.t_mm / 0.12) ** 2)).astype(np.float32)[:, None]
    canvas.blend(
        np.broadcast_to(0.95 * gap, canvas.shape),
        colour=np.array([0.01, 0.01, 0.01]),
        rough=0.9,
        metal=0,
    )


def _finger_marks(canvas: Canvas, rng: np.random.Generator) -> None:
    grease = step(cloud(rng, canvas.shape, cell=canvas.grain(22), octaves=3), at=1.2, soft=1.5)
    canvas.rough[:] += 0.06 * grease
