"""Centre of the light in each row, to a small part of a pixel, with its standard uncertainty."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter
from scipy.special import ndtr

from beadcheck.profiles.light_line.evidence import DARKEST, LightKind, colour_excess

Floats = NDArray[np.float64]

BURNT_OUT: Final = 0.93
"""Linear light from which a channel counts as clipped; JPEG rings a little below white."""
LINE_ROUNDS: Final = 5
EDGE_ROUNDS: Final = 7
"""Texture makes edges settle later."""
BESIDE_SHARE: Final = 0.7
"""Of the reach: what is seen beyond tells the colour of metal and lamps."""
ALIKE_ROWS: Final = 15
"""Neighbouring rows have one colour of metal and lamps."""
FIRST_SHARE: Final = 0.4
"""Of a row's most coloured sample: the middle of all that reaches it is a first guess."""
FLANK_SHARE: Final = 0.15
"""The same for the weaker flank of a line whose core is burnt out."""
DIMMEST_SHARE: Final = 0.1
"""Of the light beside a shadow: noise, not texture, rules what is dimmer."""
STRAY: Final = 3.0
"""Residuals beyond this many of their row's spread pull less and less."""
WIDTH_SPREAD: Final = 0.35
"""Relative: how far the width of one row's light strays from the usual, on slopes mostly."""
LEAST_SPREAD: Final = 1e-3
"""Linear light: a quarter of a code value in the middle greys."""
TEXTURE_SAMPLES: Final = 3.0
"""Neighbouring samples share blur and texture: so many count as one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Centres:
    """Light in N rows.

    Attributes
    ----------
    at, u_at
        (N,) centre along the row and its standard uncertainty, in the unit of the places.
    sigma
        (N,) standard deviation of line or edge.
    contrast
        (N,) height of the line, or of the step from dark to bright, over what is left unexplained.
    """

    at: Floats
    u_at: Floats
    sigma: Floats
    contrast: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """(N, T) linear light at places `at`, (T,), of N rows, and how much each sample counts."""

    at: Floats
    light: Floats
    weight: Floats


def line_centres(at: Floats, channels: Floats, kind: LightKind, sigma: float) -> Centres:
    """Centre of a coloured line from (N, T, 3) linear light.

    What the line's channel has more than the others, were the metal beside it grey, knows nothing
    of white light, its texture and its glints. Where the channel is clipped nothing is known of the
    difference either; the flanks tell the middle.
    """
    beside = np.abs(at) > BESIDE_SHARE * at[-1]
    usual = np.maximum(np.median(channels[:, beside], axis=1), DARKEST)
    usual = median_filter(usual, size=(ALIKE_ROWS, 1), mode="nearest")[:, None]
    grey = channels * (usual.mean(axis=2, keepdims=True) / usual)
    excess = np.asarray(colour_excess(grey, kind), dtype=np.float64)
    weight = np.where(channels[..., kind.value] < BURNT_OUT, 1.0, 0.0)
    rows = Rows(at=at, light=excess, weight=weight)
    coloured = excess > FIRST_SHARE * excess.max(axis=1, keepdims=True)
    high = (coloured | _burnt_core(excess, weight == 0.0)).astype(np.float64)
    start = (high * at).sum(axis=1) / np.maximum(high.sum(axis=1), 1.0)
    return _fit(rows, _bell, start, sigma, sign=1.0, rounds=LINE_ROUNDS)


def _burnt_core(excess: Floats, clipped: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Clipped samples of (N, T) with colour on both sides: a line's white core, and no glint.

    Where dirt darkens one flank of such a line, the other flank alone is not the line.
    """
    beside = excess > FLANK_SHARE * excess.max(axis=1, keepdims=True)
    first, last = clipped.copy(), clipped.copy()
    first[:, 1:] &= ~clipped[:, :-1]
    last[:, :-1] &= ~clipped[:, 1:]
    held = np.zeros(clipped.shape)
    held[:, 1:] += first[:, 1:] & beside[:, :-1]
    held[:, :-1] += last[:, :-1] & beside[:, 1:]
    rows, samples = clipped.shape
    run = np.cumsum(first, axis=1) + (samples + 1) * np.arange(rows)[:, None]
    counts = np.bincount(run[clipped], held[clipped], minlength=rows * (samples + 1))
    return np.asarray(clipped & (counts[run] == 2.0))


def edge_centres(at: Floats, grey: Floats, sign: float, sigma: float) -> Centres:
    """Where (N, T) linear light changes from shadow to light; `sign` is +1 where it rises.

    Texture and glints scale with the light that falls on them, so both levels count by their share.
    """
    first = at.size // 4
    before, beyond = np.median(grey[:, :first], axis=1), np.median(grey[:, -first:], axis=1)
    level = np.where(at < 0.0, before[:, None], beyond[:, None])
    dimmest = DIMMEST_SHARE * np.maximum(before, beyond)[:, None] + DARKEST
    weight = (dimmest / np.maximum(level, dimmest)) ** 2
    rows = Rows(at=at, light=grey, weight=weight)
    return _fit(rows, _rise, np.zeros(grey.shape[0]), sigma, sign=sign, rounds=EDGE_ROUNDS)


def _bell(z: Floats) -> tuple[Floats, Floats]:
    """A line's shape, and its derivative."""
    shape = np.exp(-0.5 * z * z)
    return shape, -z * shape


def _rise(z: Floats) -> tuple[Floats, Floats]:
    """An edge's shape, and its derivative."""
    return ndtr(z) - 0.5, np.exp(-0.5 * z * z) / np.sqrt(2.0 * np.pi)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Levels:
    """Height of a shape and level under it, as weighted least squares in each of N rows."""

    shape: Floats
    weight: Floats
    total: Floats
    mean: Floats
    square: Floats

    @classmethod
    def of(cls, shape: Floats, weight: Floats) -> "_Levels":
        """Prepare for (N, T) shapes and weights."""
        total = np.maximum(weight.sum(axis=1), 1e-9)
        mean = (weight * shape).sum(axis=1) / total
        square = (weight * (shape - mean[:, None]) ** 2).sum(axis=1)
        return cls(
            shape=shape, weight=weight, total=total, mean=mean, square=np.maximum(square, 1e-9)
        )

    def parted(self, values: Floats) -> tuple[Floats, Floats]:
        """(N,) height of the shape in (N, T) values, and what shape and level leave of them."""
        level = (self.weight * values).sum(axis=1) / self.total
        values = values - level[:, None]
        centred = self.shape - self.mean[:, None]
        height = (self.weight * centred * values).sum(axis=1) / self.square
        return height, values - height[:, None] * centred


def _fit(
    rows: Rows,
    shape_of: Callable[[Floats], tuple[Floats, Floats]],
    start: Floats,
    sigma: float,
    *,
    sign: float,
    rounds: int,
) -> Centres:
    """Gauss-Newton on centre and width; level and height are eliminated in each round."""
    at, log_width = start.copy(), np.zeros(start.size)
    weight = rows.weight
    for turn in range(rounds):
        width = sigma * np.exp(log_width)
        z = (rows.at - at[:, None]) / width[:, None]
        shape, slope = shape_of(z)
        levels = _Levels.of(shape, weight)
        height, rest = levels.parted(rows.light)
        pull = levels.parted(-slope)[1] * (height / width)[:, None]
        widen = levels.parted(-slope * z)[1] * height[:, None]
        spread = _spread(rest, rows.weight)
        # What is known of the width beforehand keeps it where a clipped core does not tell.
        known = (spread / WIDTH_SPREAD) ** 2
        pulls, mixed = (weight * pull * pull).sum(axis=1) + 1e-12, (weight * pull * widen).sum(1)
        widens = (weight * widen * widen).sum(axis=1) + known
        to_pull = (weight * pull * rest).sum(axis=1)
        to_widen = (weight * widen * rest).sum(axis=1) - known * log_width
        free = np.maximum(pulls * widens - mixed * mixed, 1e-18)
        move = (widens * to_pull - mixed * to_widen) / free
        at = np.clip(at + np.clip(move, -0.7 * width, 0.7 * width), rows.at[0], rows.at[-1])
        move = (pulls * to_widen - mixed * to_pull) / free
        log_width = np.clip(log_width + np.clip(move, -0.4, 0.4), -1.2, 1.2)
        if turn >= 1:
            stray = np.abs(rest) * np.sqrt(rows.weight) / (STRAY * spread)[:, None]
            weight = rows.weight / np.maximum(stray, 1.0) ** 2
    return Centres(
        at=at,
        u_at=np.sqrt(TEXTURE_SAMPLES * widens / free) * spread,
        sigma=sigma * np.exp(log_width),
        contrast=sign * height / spread,
    )


def _spread(rest: Floats, weight: Floats) -> Floats:
    """(N,) robust standard deviation of what is left in each row, as weight counts it."""
    size = np.abs(rest) * np.sqrt(weight)
    counted = weight > 0.0
    # The median of the counted ones, by a sort that puts the others last.
    ordered = np.sort(np.where(counted, size, np.inf), axis=1)
    middle = np.minimum(counted.sum(axis=1) // 2, size.shape[1] - 1)
    found = ordered[np.arange(len(ordered)), middle]
    return np.maximum(1.4826 * np.where(np.isfinite(found), found, 1.0), LEAST_SPREAD)
