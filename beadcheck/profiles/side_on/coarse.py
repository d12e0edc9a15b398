"""Where the outline runs, roughly: what a person sees at a glance."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.side_on.band import LimbBand
from beadcheck.profiles.side_on.cheapest_path import cheapest_path
from beadcheck.profiles.side_on.colours import colours_along, planes_of
from beadcheck.profiles.side_on.evidence import edge_gain, step_squares

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Image = NDArray[np.float32]

BACKGROUND_FROM_MM: Final = 4.0
"""Over the pipe: background mostly, to begin with."""
CLOSE_BACKGROUND_MM: Final = (0.3, 3.0)
CLOSE_NEAR_MM: Final = 40.0
"""The same where something lies close behind the pipe: over the bare limb, in windows much wider
than a weld."""
FIRST_METAL_SHARE: Final = 0.5
"""Between what sharp edges far above the pipe show and what they do under the bare limb: metal in
focus shows more."""
BACKGROUND_MM: Final = (0.3, 4.0)
METAL_MM: Final = (0.3, 2.0)
"""Over and under the outline, once it is known roughly: what is compared."""
FIRST_METAL_MM: Final = (0.3, 3.0)
"""Under the bare limb."""
SOFT_PX: Final = 1.0
"""Blur of the picture whose colours are compared."""
BACKGROUND_NEAR_MM, METAL_NEAR_MM, WIDE_MM = 1.5, 3.0, 10.0
"""Windows along the limb: a background far behind changes along it, but little across."""
REGION_WEIGHT: Final = 0.15
"""Of a pixel's log likelihood: neighbours share blur and texture (by trial)."""
EDGE_WEIGHT, MOST_EDGE = 0.3, 8.0
"""Of an edge's, and its limit: metal holds edges too (by trial)."""
SHORT_MM, LONG_MM = 0.7, 2.8
"""Runs that edges are averaged over: on the weld, and near the line of the bare limb."""
NEITHER: Final = -18.0
"""Log density of what is neither metal nor the background seen so far: any colour at all, once in
fifty pixels, in the unit of `log_density`. What is unlike both tells nothing."""
NEAR_LINE_MM: Final = 0.4
LINE_GAIN: Final = 1.5
"""Of lying on that line."""
BELOW_COST_PER_MM, ABOVE_COST_PER_MM = 0.8, 0.1
"""Of leaving it where nothing else tells; a weld stands out, it seldom dips."""
OUTSIDE_COST: Final = 10.0
TURN_COST: Final = 1.0
STEEPEST: Final = 6
"""Rows per pair of columns: 72 degrees."""
ROUNDS: Final = 2
LEAST_ON_LINE: Final = 0.4
"""Share of the outline that lies on the line of the bare limb: welds are narrow. Something close
behind the pipe has an edge farther out."""
TELLING_EDGE: Final = 40.0
"""Limit of an edge's gain where several ways are compared: ripples have clear edges too."""
OUTER_SHARE: Final = 0.5
OVER_MM: Final = 0.4
"""So much of the clearest edge that lies farther over a way counts against it: an outline is the
outermost edge."""
SURE_EDGE: Final = 30.0
"""What is left of the gain, in the mean, from which no other way need be sought."""
SLOPES: Final = np.linspace(-0.03, 0.03, 31)
"""Of the bare limb against where the pose puts it: 1.7 degrees either way."""
EVERY_PX: Final = 4
"""Columns that are taken together to find it."""


def coarse_heights_mm(band: LimbBand, covered: Flags, farthest_mm: Floats) -> Floats:
    """(W,) heights over the pipe of the border between two kinds of colours.

    Over it lie the colours that the background shows farther up, under it those of the metal, and
    an edge may lie on it. Both kinds are learnt along the limb, and again once the border is known.

    Parameters
    ----------
    covered
        (W,) columns in which the target's paper lies on the pipe.
    farthest_mm
        (W,) how far over or under the solved pipe the bare limb may lie.
    """
    rows = np.arange(len(band.seen), dtype=np.float64)
    centre_mm = band.height_mm(rows).astype(np.float32)[:, None]
    border_mm = band.height_mm(rows - 0.5).astype(np.float32)[:, None]
    calm = (centre_mm > BACKGROUND_FROM_MM) & band.seen
    squares, longer_squares = (
        step_squares(band.bgr, _run_px(band, run_mm), calm, px_per_mm=band.px_per_mm)
        for run_mm in (SHORT_MM, LONG_MM)
    )
    short, longer = edge_gain(squares, MOST_EDGE), edge_gain(longer_squares, MOST_EDGE)
    line_mm = _straight_line_mm(band, longer, covered, farthest_mm).astype(np.float32)[None]
    off_mm = border_mm - line_mm
    edges = np.maximum(short, np.where(np.abs(off_mm) <= NEAR_LINE_MM, longer, np.float32(0.0)))
    fixed: Image = np.maximum(-BELOW_COST_PER_MM * off_mm, ABOVE_COST_PER_MM * off_mm)
    fixed -= EDGE_WEIGHT * edges
    fixed -= LINE_GAIN * np.clip(1.5 - np.abs(off_mm) * band.px_per_mm, 0.0, 1.0)
    fixed[~band.seen] += OUTSIDE_COST
    soft = planes_of(np.asarray(cv2.GaussianBlur(band.bgr, (0, 0), SOFT_PX), dtype=np.float32))
    over_mm = centre_mm - line_mm
    telling = edge_gain(squares, TELLING_EDGE)
    best, best_mm = (False, -np.inf), np.zeros(0)
    for start in _starts(band, short, fixed, over_mm, calm):
        height_mm = _learnt(band, soft, fixed, start)
        on_line = (np.abs(height_mm - line_mm[0]) <= NEAR_LINE_MM)[~covered]
        outermost = _outermost(band, telling, height_mm)[~covered]
        count = max(1, outermost.size)
        found = bool(on_line.sum() >= LEAST_ON_LINE * count), float(outermost.sum()) / count
        if found > best:
            best, best_mm = found, height_mm
        if best >= (True, SURE_EDGE):
            break
    return best_mm


def _outermost(band: LimbBand, edges: Image, height_mm: Floats) -> Floats:
    """(W,) how clear an edge lies on a way, less a share of the clearest one farther over it."""
    column = np.arange(height_mm.size)
    row = np.rint(band.row(height_mm) + 0.5).astype(np.intp).clip(0, len(edges) - 1)
    near = np.asarray(cv2.dilate(edges, np.ones((3, 1), np.uint8)))
    over = np.maximum.accumulate(edges, axis=0)
    higher = row - round(OVER_MM * band.px_per_mm)
    above = np.where(higher > 0, over[higher.clip(0), column], 0.0)
    return np.asarray(near[row, column] - OUTER_SHARE * above, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Start:
    """Where background and metal are taken to be, to begin with: (H, W) each.

    `near_mm` is the window along the limb in which the background's mean is taken.
    """

    background: Flags
    metal: Flags
    near_mm: float


def _starts(
    band: LimbBand, sharp: Image, fixed: Image, over_mm: Image, calm: Flags
) -> Iterator[_Start]:
    """What is taken for background to begin with.

    It is what lies far above the pipe; where that shows no outline, such as behind a bench's edge,
    what lies just over most of the bare limb; or else what shows no sharp edges, where the
    background is far off and of the metal's colours.
    """
    metal = _between(-over_mm, FIRST_METAL_MM)
    yield _Start(background=calm, metal=metal, near_mm=BACKGROUND_NEAR_MM)
    close = _between(over_mm, CLOSE_BACKGROUND_MM)
    yield _Start(background=close, metal=metal, near_mm=CLOSE_NEAR_MM)
    parts = [sharp[part & band.seen] for part in (calm, metal)]
    if all(part.size for part in parts):
        far, under = (float(part.mean()) for part in parts)
        middle = np.float32(far + FIRST_METAL_SHARE * (under - far))
        height_mm = _bordered(band, np.where(band.seen, sharp - middle, np.float32(0.0)), fixed)
        yield _start_about(band, height_mm)


def _start_about(band: LimbBand, height_mm: Floats) -> _Start:
    """What lies over and under a border, (W,) heights, that is known roughly."""
    centre_mm = band.height_mm(np.arange(len(band.seen), dtype=np.float64))
    over_mm = (centre_mm[:, None] - height_mm).astype(np.float32)
    return _Start(
        background=_between(over_mm, BACKGROUND_MM),
        metal=_between(-over_mm, METAL_MM),
        near_mm=BACKGROUND_NEAR_MM,
    )


def _learnt(band: LimbBand, soft: Image, fixed: Image, start: _Start) -> Floats:
    """(W,) heights of the border, from one start: colours and border are learnt in turn."""
    for _ in range(ROUNDS):
        background, metal = start.background & band.seen, start.metal & band.seen
        height_mm = _bordered(
            band, _metal_gain(band, soft, background, metal, start.near_mm), fixed
        )
        start = _start_about(band, height_mm)
    return height_mm


def _bordered(band: LimbBand, metal_gain: Image, fixed: Image) -> Floats:
    """(W,) heights of the border that parts what is likely metal from what is not."""
    wrong = np.cumsum(metal_gain, axis=0) - metal_gain
    return np.asarray(band.height_mm(_path(REGION_WEIGHT * wrong + fixed) - 0.5))


def _path(cost: Image) -> Floats:
    """(W,) row of the cheapest path, followed in pairs of columns."""
    columns = cost.shape[1]
    pairs = cost[:, : columns // 2 * 2].reshape(len(cost), -1, 2).sum(axis=2)
    path = cheapest_path(pairs, turn_cost=TURN_COST, steepest=STEEPEST)
    return np.interp(np.arange(columns), 2.0 * np.arange(path.size) + 0.5, path)


def _run_px(band: LimbBand, run_mm: float) -> int:
    return 2 * int(0.5 * run_mm * band.px_per_mm) + 1


def _between(value: Image, limits: tuple[float, float]) -> Flags:
    return np.asarray((value > limits[0]) & (value < limits[1]))


def _metal_gain(
    band: LimbBand, soft: Image, background: Flags, metal: Flags, near_mm: float
) -> Image:
    """(H, W) log likelihood of metal over that of background."""
    wide_px = max(WIDE_MM, near_mm) * band.px_per_mm
    ground = colours_along(soft, background, near_px=near_mm * band.px_per_mm, wide_px=wide_px)
    pipe = colours_along(soft, metal, near_px=METAL_NEAR_MM * band.px_per_mm, wide_px=wide_px)
    neither = np.float32(NEITHER)
    gain = np.maximum(pipe.log_density(soft), neither)
    gain -= np.maximum(ground.log_density(soft), neither)
    return np.asarray(np.where(band.seen, gain, np.float32(0.0)))


def _straight_line_mm(band: LimbBand, edges: Image, covered: Flags, farthest_mm: Floats) -> Floats:
    """(W,) the straight line, about where the pose puts the bare limb, that most edges lie on."""
    from_middle_mm = band.along_mm - band.along_mm.mean()
    bare = np.flatnonzero(~covered)[::EVERY_PX]
    edges = np.asarray(cv2.blur(edges, (EVERY_PX, 1)))
    height_mm = band.height_mm(np.arange(len(edges), dtype=np.float64) - 0.5)
    near = np.flatnonzero(np.abs(height_mm) <= farthest_mm.max())
    best_mm, most = np.zeros_like(from_middle_mm), -1.0
    for slope in SLOPES if bare.size else ():
        rise_px = np.rint(slope * from_middle_mm[bare] * band.px_per_mm).astype(np.intp)
        rows = (near[:, None] - rise_px[None]).clip(0, len(edges) - 1)
        low_mm = (-farthest_mm - slope * from_middle_mm).max()
        high_mm = (farthest_mm - slope * from_middle_mm).min()
        allowed = (height_mm[near] >= low_mm) & (height_mm[near] <= high_mm)
        gain = np.where(allowed, edges[rows, bare[None]].sum(axis=1), -1.0)
        if gain.max() > most:
            most = float(gain.max())
            best_mm = height_mm[near[gain.argmax()]] + slope * from_middle_mm
    return np.asarray(best_mm)
