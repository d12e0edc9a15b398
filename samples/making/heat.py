"""What the arc does to the metal's look: tint, soot, the bead's own skin, slag and silica."""

from dataclasses import dataclass

import cv2
import numpy as np

from samples.making.canvas import Canvas
from samples.making.noise import Image, cloud, field, step, wander
from samples.making.weld import Weld

WAVELENGTHS_NM = np.array([[585, 610, 640], [515, 545, 575], [440, 460, 480]], dtype=np.float64)
BEAD_EDGE_MM = 0.2  # of the dark line where a bead's edge lies on another bead
OXIDE_INDEX = 2.4  # chromium and iron oxides, 2.2 to 2.7


@dataclass(frozen=True, slots=True, kw_only=True)
class Skin:
    """Look of weld metal and heat.

    Attributes
    ----------
    tint_nm
        Oxide film at the toe; 0 leaves no tint.
    tint_mm
        Distance over which the film thins.
    bead_nm
        Oxide film on the bead itself.
    soot, slag, silica
        0 to 1.
    etched_mm
        Width of the frosted zone that an alternating arc cleans on aluminium.
    """

    colour: tuple[float, float, float]
    rough: float
    tint_nm: float = 90.0
    tint_mm: float = 6.0
    bead_nm: float = 20.0
    soot: float = 0.0
    slag: float = 0.0
    silica: float = 0.0
    etched_mm: float = 0.0


def film_colour(thickness_nm: Image) -> Image:
    """Colour factor (..., 3) of metal under an oxide film, by two-beam interference."""
    table_nm = np.arange(0, 401, 1.0)
    phase = 4 * np.pi * OXIDE_INDEX * table_nm[:, None, None] / WAVELENGTHS_NM
    bright = (0.5 + 0.5 * np.cos(phase)).mean(axis=-1)
    # The power keeps the first, straw-coloured order light, as it is on real oxide.
    table = (1 - 0.78 * (1 - bright) ** 1.8) * (1 - 0.25 * np.clip(table_nm / 400, 0, 1))[:, None]
    index = np.clip(thickness_nm, 0, 399).astype(np.intp)
    return table[index].astype(np.float32)


def bead_mask(canvas: Canvas, weld: Weld) -> Image:
    """1 between the toes, 0 outside, blended over a texel."""
    low, high = weld.toes_mm(canvas.s_mm)
    t = canvas.t_mm[:, None]
    depth = np.minimum(t - low[None, :], high[None, :] - t)
    return np.clip(np.nan_to_num(depth, nan=-1) / canvas.texel_mm + 0.5, 0, 1).astype(np.float32)


def off_toe_mm(canvas: Canvas, mask: Image) -> Image:
    """Distance of each texel from the bead, on the metal."""
    away = (mask < 0.5).astype(np.uint8)
    distance = cv2.distanceTransform(away, cv2.DIST_L2, 5)
    return np.asarray(distance * canvas.texel_mm, dtype=np.float32)


def heat(canvas: Canvas, rng: np.random.Generator, *, off: Image, skin: Skin) -> None:
    """Tint the base metal beside the bead, and blow soot over it."""
    uneven = wander(rng, canvas.s_mm, length=14) * 0.10 + wander(rng, canvas.s_mm, length=3) * 0.03
    reach = np.float32(skin.tint_mm) * (1 + uneven).astype(np.float32)[None, :]
    fine = 1 + 0.05 * cloud(rng, canvas.shape, cell=canvas.grain(3), octaves=3)
    if skin.tint_nm > 0:
        film = skin.tint_nm * np.exp(-((off / reach) ** 1.25)) * fine
        canvas.stain(1 + canvas.metal[..., None] * (film_colour(film) - 1))
    if skin.etched_mm > 0:
        frost = step(-off, at=-skin.etched_mm, soft=0.5) * (0.8 + 0.2 * fine)
        canvas.blend(0.7 * frost, colour=np.array([0.8, 0.8, 0.8]), rough=0.55, calm=0.7)
    if skin.soot > 0:
        puff = np.exp(-off / (1.2 * reach)) * np.clip(
            0.7 + 0.5 * cloud(rng, canvas.shape, cell=canvas.grain(12)), 0, 1.6
        )
        dust = np.clip(skin.soot * puff, 0, 0.92)
        tone = (
            np.array([0.07, 0.06, 0.052]) if rng.random() < 0.6 else np.array([0.13, 0.09, 0.055])
        )
        canvas.blend(dust, colour=tone, rough=0.75, metal=0.2, calm=0.5)


def weld_skin(
    canvas: Canvas, rng: np.random.Generator, *, weld: Weld, mask: Image, skin: Skin
) -> None:
    """Give the bead its metal: dark grooves between ripples, oxide colours, fine ripple lines."""
    colour = np.array(skin.colour, dtype=np.float32)
    along = (0.3 * wander(rng, canvas.s_mm, length=18) + 0.12 * wander(rng, canvas.s_mm, length=5))[
        None, :
    ]
    film = np.clip(skin.bead_nm * (1 + along), 0, 300).astype(np.float32)
    film = np.broadcast_to(film, canvas.shape) * (
        1 + 0.1 * cloud(rng, canvas.shape, cell=canvas.grain(4))
    )
    fraction = np.full(canvas.shape, 0.5, dtype=np.float32)
    edges = np.zeros(canvas.shape, dtype=np.float32)
    rows = np.flatnonzero(mask.max(axis=1) > 0)
    laid = np.zeros((len(rows), canvas.shape[1]), dtype=np.bool_)
    t = canvas.t_mm[rows][:, None]
    for bead in weld.beads:
        s = bead.near(canvas.s_mm)[None, :]
        mid = np.interp(s, bead.s_mm, bead.mid_mm)
        half = np.where(
            t < mid, np.interp(s, bead.s_mm, bead.low_mm), np.interp(s, bead.s_mm, bead.high_mm)
        )
        x = (t - mid) / (half * np.maximum(bead.edge(canvas.s_mm), 1e-6))
        phase = bead.phase(s, np.clip(x, -1, 1)) % 1
        inside = np.abs(x) <= 1
        fraction[rows] = np.where(inside, phase, fraction[rows])
        if weld.turn_mm is not None:
            beside = np.exp(-(((1 - np.abs(x)) * half / BEAD_EDGE_MM) ** 2)) * laid
            edges[rows] = np.where(inside, beside, edges[rows])
            laid |= inside
    groove = np.exp(-((np.minimum(fraction, 1 - fraction) / 0.09) ** 2))
    groove = np.maximum(groove, edges)
    tone = film_colour(film) * (1 - 0.35 * groove)[..., None]
    canvas.blend(mask, colour=colour * tone, rough=skin.rough * (1 + 0.35 * groove), metal=1.0)
    lines = np.sin(fraction * 2 * np.pi * 4) * 0.02 + 0.05 * field(rng, canvas.shape, cell=(3, 3))
    canvas.slope[:] *= (1 - mask)[..., None]
    canvas.slope[..., 0] += mask * lines
    canvas.slope[..., 1] += mask * 0.05 * field(rng, canvas.shape, cell=(3, 3))


def residues(
    canvas: Canvas, rng: np.random.Generator, *, mask: Image, off: Image, skin: Skin
) -> None:
    """Slag caught at the toes and in grooves; glassy silica islands on the crown."""
    inside = cv2.distanceTransform((mask > 0.5).astype(np.uint8), cv2.DIST_L2, 5) * canvas.texel_mm
    blobs = cloud(rng, canvas.shape, cell=canvas.grain(2.2), octaves=4)
    if skin.slag > 0:
        near = np.exp(-((inside / 0.6) ** 2)) * mask + np.exp(-((off / 0.5) ** 2)) * (1 - mask)
        crust = step(blobs + 1.6 * near, at=3.4 - 1.9 * skin.slag, soft=0.3)
        canvas.blend(
            0.92 * crust, colour=np.array([0.045, 0.04, 0.036]), rough=0.55, metal=0, calm=0.5
        )
    if skin.silica > 0:
        middle = step(inside.astype(np.float32), at=0.8, soft=1.0)
        glass = step(blobs, at=2.9 - 1.3 * skin.silica, soft=0.25) * middle
        canvas.blend(
            0.85 * glass, colour=np.array([0.075, 0.04, 0.022]), rough=0.18, metal=0, calm=0.8
        )
