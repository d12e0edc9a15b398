"""From evidence for every height to the likeliest one."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cells import Volume

Floats = NDArray[np.float64]

WORTH: Final = 1000.0
"""What evidence of 1 over 1 mm² is worth: the natural logarithm of a likelihood. It was set so
that stated uncertainties hold on renders."""
SHARP_MM: Final = 0.15


def most_likely(summed: Volume, levels_mm: Floats) -> tuple[Floats, Floats]:
    """(R, C) height and its standard deviation.

    All levels are equally likely beforehand.

    Parameters
    ----------
    summed
        (H, R, C) evidence, in mm².
    """
    logarithms = summed * np.float32(WORTH)
    highest = logarithms.max(axis=0)
    likely = np.exp(logarithms - highest)
    likely /= likely.sum(axis=0)
    mean = np.einsum("h,hrc->rc", levels_mm, likely)
    variance = np.einsum("h,hrc->rc", levels_mm**2, likely) - mean * mean
    spread_mm = np.sqrt(np.maximum(variance, 0.0))
    best, _ = refined_level(logarithms, levels_mm)
    return np.where(spread_mm < SHARP_MM, best, mean), spread_mm


def beats(summed: Volume) -> Floats:
    """(R, C) logarithm by which the likeliest of (H, R, C) heights beats a usual one."""
    logarithms = summed * np.float32(WORTH)
    most = logarithms.max(axis=0) - np.median(logarithms, axis=0)
    return np.asarray(most, dtype=np.float64)


def refined_level(
    score: Volume, heights_mm: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(R, C) height of the greatest score between evenly spaced levels, and that score."""
    best = np.clip(score.argmax(axis=0), 1, len(heights_mm) - 2)[None]
    below, here, above = (
        np.take_along_axis(score, best + shift, axis=0)[0].astype(np.float64)
        for shift in (-1, 0, 1)
    )
    bend = np.minimum(below - 2.0 * here + above, -1e-12)
    share = np.clip(0.5 * (below - above) / bend, -0.5, 0.5)
    return heights_mm[best[0]] + (heights_mm[1] - heights_mm[0]) * share, here
