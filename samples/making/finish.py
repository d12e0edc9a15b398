"""Finishes of the base metal: mill scale, brushing, grinding, rust, scratches, chalk."""

import cv2
import numpy as np

from samples.making.canvas import Canvas
from samples.making.noise import Floats, Image, cloud, field, step, wander

STAINLESS = np.array([0.60, 0.575, 0.545])
CARBON = np.array([0.47, 0.455, 0.44])
GROUND = np.array([0.54, 0.53, 0.515])
ALUMINIUM = np.array([0.77, 0.77, 0.775])
SCALE = np.array([0.115, 0.120, 0.132])
RUST = np.array([0.20, 0.085, 0.035])
BASES = ("mill_scale", "brushed", "ground_all", "cold_rolled", "blasted")


def bare(canvas: Canvas, rng: np.random.Generator, *, colour: Floats, rough: float) -> None:
    """Rolled metal with faint clouds and rolling lines along s."""
    clouds = 1 + 0.05 * cloud(rng, canvas.shape, cell=canvas.grain(18))
    canvas.colour[:] = colour.astype(np.float32) * clouds[..., None]
    canvas.rough[:] = rough * (1 + 0.10 * cloud(rng, canvas.shape, cell=canvas.grain(9)))
    for length_mm, size in ((30, 0.03), (4, 0.03)):
        lines = field(rng, canvas.shape, cell=(1.0, canvas.grain(length_mm)))
        canvas.slope[..., 1] += np.float32(size) * lines
    grit = field(rng, (*canvas.shape,), cell=(1.6, 1.6))
    canvas.slope[..., 0] += 0.03 * grit
    canvas.rough[:] += 0.02 * grit


def mill_scale(canvas: Canvas, rng: np.random.Generator) -> None:
    """Blue-grey scale, patchy, flaked off here and there, with a little rust."""
    shape = canvas.shape
    clouds = cloud(rng, shape, cell=canvas.grain(25), octaves=5)
    hue = (
        SCALE
        * rng.uniform(0.75, 1.5)
        * np.array([rng.uniform(0.9, 1.15), 1, rng.uniform(0.9, 1.15)])
    )
    canvas.colour[:] = hue.astype(np.float32) * np.clip(1 + 0.22 * clouds, 0.4, 2)[..., None]
    canvas.rough[:] = np.clip(0.44 + 0.07 * cloud(rng, shape, cell=canvas.grain(6)), 0.25, 0.8)
    canvas.metal[:] = 0.75
    canvas.slope[..., 0] += 0.06 * field(rng, shape, cell=(3, 3))
    canvas.slope[..., 1] += 0.06 * field(rng, shape, cell=(3, 3))
    flakes = cloud(rng, shape, cell=canvas.grain(3.0), octaves=4)
    canvas.blend(
        step(flakes, at=rng.uniform(2.0, 2.8), soft=0.2), colour=GROUND * 0.55, rough=0.5, metal=1
    )
    rust(canvas, rng, amount=rng.uniform(0.0, 0.5))


def rust(canvas: Canvas, rng: np.random.Generator, *, amount: float, grain_mm: float = 9.0) -> None:
    """Brown patches with ragged edges; amount 0 to 1."""
    patches = cloud(rng, canvas.shape, cell=canvas.grain(grain_mm), octaves=5)
    mask = step(patches, at=2.9 - 2.2 * amount, soft=0.5)
    tone = 1 + 0.3 * cloud(rng, canvas.shape, cell=canvas.grain(1.2), octaves=3)
    canvas.blend(
        mask, colour=RUST.astype(np.float32) * tone[..., None], rough=0.85, metal=0, calm=0.5
    )


def brush(
    canvas: Canvas, rng: np.random.Generator, *, mask: Image | None = None, strength: float = 1.0
) -> None:
    """Long lines along s (a belt or a brush), with bundles of lines brighter than others."""
    shape = canvas.shape
    over = 1.0 if mask is None else mask
    lines = 0.6 * field(rng, shape, cell=(1.0, canvas.grain(45)))
    lines += 0.6 * field(rng, shape, cell=(1.6, canvas.grain(14)))
    bundles = field(rng, shape, cell=(canvas.grain(0.6), canvas.grain(60)))
    canvas.slope[..., 1] += np.float32(0.13 * strength) * lines * over
    canvas.slope[..., 1] += np.float32(0.03 * strength) * bundles * over
    canvas.stain(1 + (0.05 * bundles + 0.06 * lines) * over)


def sweep_grinder(
    canvas: Canvas,
    rng: np.random.Generator,
    *,
    mask: Image,
    sweeps: int = 14,
    strength: float = 1.0,
) -> None:
    """Arcs that the rim of a grinding disc leaves, sweep over sweep, within mask."""
    s0, s1 = canvas.span_mm[:2]
    rows = np.flatnonzero(mask.max(axis=1) > 0.01)
    if len(rows) == 0:
        return
    low, high = canvas.t_mm[rows[0]], canvas.t_mm[rows[-1]]
    above = rng.choice([-1.0, 1.0])
    for _ in range(sweeps):
        radius = rng.uniform(45, 62)
        middle = np.array([rng.uniform(s0, s1), rng.uniform(low, high) + above * radius])
        reach = rng.uniform(14, 34)
        a, b = np.searchsorted(canvas.s_mm, [middle[0] - 1.5 * reach, middle[0] + 1.5 * reach])
        if b - a < 4:
            continue
        ds = (canvas.s_mm[a:b] - middle[0]).astype(np.float32)[None, :]
        dt = (canvas.t_mm[rows[0] : rows[-1] + 1] - middle[1]).astype(np.float32)[:, None]
        r = np.sqrt(ds * ds + dt * dt)
        _sweep(canvas, rng, mask, r, (ds, dt), (rows[0], a), (radius, reach, strength))


def _sweep(
    canvas: Canvas,
    rng: np.random.Generator,
    mask: Image,
    r: Image,
    off: tuple[Image, Image],
    corner: tuple[int, int],
    size: tuple[float, float, float],
) -> None:
    radius, reach, strength = size
    ds, dt = off
    box = np.s_[corner[0] : corner[0] + r.shape[0], corner[1] : corner[1] + r.shape[1]]
    pitch = canvas.texel_mm
    grooves = rng.standard_normal(int((r.max() + 1) / pitch) + 4).astype(np.float32)
    grooves += 0.7 * np.convolve(grooves, np.ones(9) / 3, mode="same").astype(np.float32)
    cut = grooves[(r / pitch).astype(np.int32)]
    broken = np.clip(1 + 0.6 * field(rng, r.shape, cell=(canvas.grain(6), canvas.grain(10))), 0, 2)
    fade = np.exp(-((ds / reach) ** 4)) * np.exp(-(((r - radius) / rng.uniform(9, 22)) ** 4))
    weight = fade * mask[box] * broken
    keep = 1 - 0.75 * fade * mask[box]
    slope = np.float32(0.12 * strength) * cut * weight
    lean = np.float32(rng.normal(0, 0.03)) * fade * mask[box]
    for axis, part in enumerate((ds / r, dt / r)):
        canvas.slope[box][..., axis] *= keep
        canvas.slope[box][..., axis] += slope * part + lean * part
    canvas.colour[box] *= (1 + 0.05 * cut * weight)[..., None]


def band_mask(
    canvas: Canvas, rng: np.random.Generator, *, half_mm: float, teeth_mm: float
) -> Image:
    """Where a band along the weld has been cleaned: ragged, streaky edges on both sides."""
    t = canvas.t_mm.astype(np.float32)[:, None]
    sides = []
    for _ in range(2):
        edge = (
            half_mm
            + 1.8 * wander(rng, canvas.s_mm, length=20)
            + 0.7 * wander(rng, canvas.s_mm, length=4)
        )
        sides.append(edge.astype(np.float32)[None, :])
    streaks = field(rng, canvas.shape, cell=(canvas.grain(0.25), canvas.grain(8)))
    streaks += 0.7 * field(rng, canvas.shape, cell=(canvas.grain(1.0), canvas.grain(14)))
    depth = np.minimum(t + sides[0], sides[1] - t) + np.float32(teeth_mm) * streaks
    return step(depth, at=0.0, soft=0.9)


def scratches(canvas: Canvas, rng: np.random.Generator, *, count: int) -> None:
    """Bright hairlines and a few gouges at any angle."""
    layer = np.zeros(canvas.shape, dtype=np.uint8)
    rows, columns = canvas.shape
    for _ in range(count):
        start = rng.uniform([0, 0], [columns, rows])
        turn, length = rng.uniform(0, np.pi), canvas.grain(rng.exponential(14) + 2)
        bend = rng.normal(0, 0.05) * length
        u = np.linspace(0, 1, 12)[:, None]
        along, side = (
            np.array([np.cos(turn), np.sin(turn)]),
            np.array([-np.sin(turn), np.cos(turn)]),
        )
        points = start + u * length * along + bend * 4 * u * (1 - u) * side
        cv2.polylines(
            layer,
            [np.round(points * 8).astype(np.int32)],
            isClosed=False,
            color=int(rng.integers(60, 256)),
            thickness=1,
            lineType=cv2.LINE_AA,
            shift=3,
        )
    depth = layer.astype(np.float32) / 255
    canvas.slope[..., 1] += np.gradient(depth, axis=0) * 0.5
    canvas.slope[..., 0] += np.gradient(depth, axis=1) * 0.5
    canvas.blend(0.5 * depth, colour=GROUND, rough=0.3)


def write(
    canvas: Canvas,
    rng: np.random.Generator,
    *,
    text: str,
    at_mm: tuple[float, float],
    height_mm: float,
    angle_deg: float,
    paint: Floats,
    chalky: bool,
) -> None:
    """Write on the metal by hand with chalk (crumbly) or a paint stick; read with t upwards."""
    layer = np.zeros(canvas.shape, dtype=np.uint8)
    scale = canvas.grain(height_mm) / 22
    face = cv2.FONT_HERSHEY_SCRIPT_SIMPLEX if chalky else cv2.FONT_HERSHEY_PLAIN
    thick = max(1, round(canvas.grain(1.1 if chalky else 1.5)))
    board = np.zeros(
        (round(canvas.grain(3 * height_mm)), round(canvas.grain(16 * height_mm))), np.uint8
    )
    size = scale if chalky else scale * 2
    cv2.putText(
        board, text, (thick, round(board.shape[0] * 0.66)), face, size, 255, thick, cv2.LINE_AA
    )
    sway = [
        field(rng, board.shape, cell=(canvas.grain(6), canvas.grain(6))) * canvas.grain(0.35)
        for _ in "xy"
    ]
    y, x = np.mgrid[: board.shape[0], : board.shape[1]].astype(np.float32)
    board = cv2.remap(board, x + sway[0], y + sway[1], cv2.INTER_LINEAR)
    column = (at_mm[0] - canvas.span_mm[0]) / canvas.texel_mm
    row = (at_mm[1] - canvas.span_mm[2]) / canvas.texel_mm
    turn = np.radians(angle_deg)
    # Rows grow along +t, so the board is mirrored to read with t upwards.
    place = np.array(
        [
            [np.cos(turn), np.sin(turn), column],
            [np.sin(turn), -np.cos(turn), row + canvas.grain(1.5 * height_mm)],
        ]
    )
    layer = cv2.warpAffine(board, place, (canvas.shape[1], canvas.shape[0]))
    mask = layer.astype(np.float32) / 255
    crumbs = field(rng, canvas.shape, cell=(canvas.grain(0.25), canvas.grain(0.25)))
    mask *= step(crumbs, at=-0.2 if chalky else -1.6, soft=0.8) * (0.8 if chalky else 0.97)
    canvas.blend(mask, colour=paint, rough=0.9 if chalky else 0.5, metal=0, calm=0.7)
