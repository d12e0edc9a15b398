"""Where the ripples' bow turns over: two runs welded towards each other, or away, meet there."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import fft

from beadcheck.measurements.ripple_strip import (
    Complexes,
    Floats,
    Strip,
    power_of_all,
    power_together,
    smoothed,
)

SPACINGS: Final = (0.1, 0.7)
"""Spacings that the bow is read from, in half widths (common practice, no published source)."""
SOFT_EDGE: Final = 0.25
"""How fast the pass band falls off beyond them: standard deviation of the logarithm."""
BAND_ROWS: Final = 6
"""Neighbouring rows that are laid over each other, of half as many as the strip has."""
OVER_WIDTHS: Final = 0.25
"""Length over which rows are compared (standard deviation, in weld widths)."""
READ_BOWS: Final = np.linspace(-1.8, 1.8, 37)
"""Bows at which rows are laid over each other, in half widths."""
BOWS: Final = np.arange(0.15, 1.25, 0.1)
CROWNS: Final = np.arange(0.0, 0.9, 0.15)
"""Bows and crowns that are tried, in half widths."""
LEAST_GAIN: Final = 0.3
"""What a turn must gain over a bow that stays, in weld widths of rows that agree wholly: on 74
renders of pipes it gained at most 0.16 where there was none, and more than this in 27 of 30 where
there was one a weld width or more inside the picture."""
FINEST_PX: Final = 36.0
"""Columns per half width that these spacings need: finer ones are averaged."""
AWAKE: Final = 1.0e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A place at which the ripples' bow turns over.

    Attributes
    ----------
    column
        First column of the strip behind it.
    bow_mm
        Lead of the crests at the toes before it, as in `CrestShape`; behind it the opposite.
    crown_mm
        Crown that explains best how the bow drifts with the lean.
    gain
        By how much the rows agree better than under a bow that stays, in weld widths.
    """

    column: int
    bow_mm: float
    crown_mm: float
    gain: float


def bow_turn(strip: Strip, lean: Floats) -> Turn | None:
    """Find the place at which the bow turns over, or None where it stays.

    A pool trails its front, so every ripple bows the way its run was welded. Perspective on the
    crown bends all of them as the lean goes, and is tried with the bow.

    Parameters
    ----------
    lean
        (C,) how far a point raised by 1 mm seems shifted along the weld, in mm per mm.
    """
    fold = max(1, int(strip.half_width_mm * strip.px_per_mm / FINEST_PX))
    half_px = strip.half_width_mm * strip.px_per_mm / fold
    agreement = _agreement(_folded(strip.contrast, fold), strip.row, half_px)
    lean = _folded(lean[None, :], fold)[0]
    widths = 0.5 / half_px
    bows = np.concatenate([BOWS, -BOWS])
    stays, turns = -np.inf, Turn(column=0, bow_mm=0.0, crown_mm=0.0, gain=-np.inf)
    for crown in CROWNS:
        read = _read(agreement, bows[:, None] - crown * lean)
        before = widths * np.cumsum(read, axis=1)
        behind = np.roll(before, BOWS.size, axis=0)  # the same bows, the other way round
        stays = max(stays, float(before[:, -1].max()))
        split = before + behind[:, -1:] - behind
        which, at = np.unravel_index(np.argmax(split), split.shape)
        if split[which, at] > turns.gain:
            turns = Turn(
                column=(int(at) + 1) * fold,
                bow_mm=float(bows[which]) * strip.half_width_mm,
                crown_mm=float(crown) * strip.half_width_mm,
                gain=float(split[which, at]),
            )
    gain = turns.gain - stays
    if gain < LEAST_GAIN:
        return None
    return Turn(column=turns.column, bow_mm=turns.bow_mm, crown_mm=turns.crown_mm, gain=gain)


def _read(agreement: Floats, bow: Floats) -> Floats:
    """(N, C) agreement under (N, C) bows, each of which changes along the weld, in half widths."""
    step = READ_BOWS[1] - READ_BOWS[0]
    place = np.clip((bow - READ_BOWS[0]) / step, 0.0, READ_BOWS.size - 1.001)
    low = place.astype(np.intp)
    part, columns = place - low, np.arange(bow.shape[1])
    return np.asarray((1.0 - part) * agreement[low, columns] + part * agreement[low + 1, columns])


def _folded(values: Floats, fold: int) -> Floats:
    """(R, C) means of so many neighbouring columns; the last few are left out."""
    count = values.shape[1] // fold
    folded = values[:, : count * fold].reshape(values.shape[0], count, fold)
    return np.asarray(folded.mean(axis=2))


def _agreement(contrast: Floats, row: Floats, half_px: float) -> Floats:
    """(B, C) how far neighbouring rows agree under each of `READ_BOWS` around every column.

    1 where rows are one, 0 where each is noise of its own.
    """
    row = 0.5 * (row[::2] + row[1::2])
    spectra, per_half, inside = _spectra(0.5 * (contrast[::2] + contrast[1::2]), half_px)
    turn = 2j * np.pi * per_half * (row**2)[:, None]
    # Bows are compared only: single precision is enough, and twice as fast.
    bent = (spectra * np.exp(READ_BOWS[0] * turn)).astype(np.complex64)
    further = np.exp((READ_BOWS[1] - READ_BOWS[0]) * turn).astype(np.complex64)
    found = []
    for _ in READ_BOWS:
        rows = fft.ifft(bent, axis=1)[:, inside]
        bent = bent * further
        together = power_together(rows, BAND_ROWS)
        alone = BAND_ROWS * power_of_all(rows)
        over_px = OVER_WIDTHS * 2.0 * half_px
        found.append(smoothed(together - alone, over_px) / (smoothed(alone, over_px) + AWAKE))
    return np.stack(found)


def _spectra(rows: Floats, half_px: float) -> tuple[Complexes, Floats, slice]:
    """Spectra within the ripples' band, their frequencies per half width, and columns' place."""
    pad = min(rows.shape[1] - 1, round(1.6 * half_px))
    padded = np.pad(rows, ((0, 0), (pad, pad)), mode="reflect")
    length = fft.next_fast_len(padded.shape[1])
    per_half = fft.fftfreq(length, 1.0 / half_px)
    up = per_half > 0.0
    logs = np.log(per_half[up])
    off = np.maximum(np.log(1.0 / SPACINGS[1]) - logs, logs - np.log(1.0 / SPACINGS[0]))
    weight = np.zeros(length)
    weight[up] = 2.0 * np.exp(-0.5 * (np.maximum(off, 0.0) / SOFT_EDGE) ** 2)
    return (
        fft.fft(padded, length, axis=1) * weight,
        per_half,
        slice(pad, pad + rows.shape[1]),
    )
