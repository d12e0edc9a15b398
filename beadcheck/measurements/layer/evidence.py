"""How much each place of a weld face looks like a valley between two beads.

A valley is a crease: light steps there, from the flank that faces the lamp to the one that does
not, and the ripples of two beads, each an arc of its own, meet in a chevron. Each sign alone
deceives on one photo or another; together, weighed as a logistic regression found it on rendered
caps (`calibration/finder/valleys.py`), and followed along the weld, they seldom do.
"""

from typing import Final

import cv2
import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.measurements.layer.strip import FaceStrip, Floats
from beadcheck.measurements.layer.weights import BIAS, WEIGHTS

ALONG_MM: Final = (1.0, 3.0)
ACROSS_MM: Final = (0.15, 0.3, 0.6)
"""Standard deviations of the smoothing before steps and dents of light are taken."""
EVEN_COLUMNS: Final = 10.0
"""Contrast is compared with the usual over so many columns (standard deviation)."""
MOST: Final = 4.0
"""Steps and dents count up to so many times the usual."""
SLOW_MM: Final = 1.2
"""Light that varies over more than this along the weld is no ripple (standard deviation)."""
GRAIN_MM: Final = 0.15
RIPPLES_ALONG_MM: Final = 2.0
RIPPLES_ACROSS_MM: Final = 0.2
CLIP: Final = 3.0
CHEVRON_MM: Final = (0.25, 0.5)
CREASE_MM: Final = 0.3
EDGE_ROWS: Final = 6
"""Rows at either toe that tell nothing of what is usual on the face."""
TINY: Final = 1.0e-9
REACH: Final = 4.0
"""Standard deviations after which a Gaussian's tails are cut."""
NO_KERNEL: Final = np.ones(1, dtype=np.float32)

Fine = NDArray[np.float32]
"""Values at every fine column."""


def signs(strip: FaceStrip) -> Floats:
    """(K, R, C) signs of a valley: steps and dents of light, and how the ripples lie."""
    return np.concatenate([_signs_of_light(strip), _signs_of_ripples(strip)])


def valley_evidence(strip: FaceStrip) -> Floats:
    """(R, C) log odds of a valley against none, were both as likely."""
    return np.asarray(np.tensordot(WEIGHTS, signs(strip), 1) + BIAS)


def _signs_of_light(strip: FaceStrip) -> Floats:
    found = []
    for along_mm in ALONG_MM:
        smooth = _thinned(strip.log_light, along_mm * strip.px_per_mm, strip.every)
        for across_mm in ACROSS_MM:
            spread = max(0.8, across_mm / strip.row_mm)
            step, dent = (
                _compared(gaussian_filter1d(smooth, spread, axis=0, order=order))
                for order in (1, 2)
            )
            found += [np.abs(step), dent]
    return np.stack(found)


def _compared(contrast: Floats) -> Floats:
    """Contrast over what is usual between the toes there."""
    inner = contrast[EDGE_ROWS:-EDGE_ROWS]
    usual = gaussian_filter1d(np.sqrt(np.mean(inner**2, axis=0)), EVEN_COLUMNS, mode="nearest")
    floor = 0.02 * float(np.median(np.abs(inner)))
    return np.asarray(np.clip(contrast / (usual + floor + TINY), -MOST, MOST))


def _signs_of_ripples(strip: FaceStrip) -> Floats:
    """Of the structure tensor of the ripples: how it turns and fades across the weld."""
    px_per_mm, row_mm = strip.px_per_mm, strip.row_mm
    fast = strip.log_light - _smooth_along(strip.log_light, SLOW_MM * px_per_mm)
    usual = 1.4826 * np.median(np.abs(fast), axis=1, keepdims=True)
    fast = np.clip(fast / (usual + 1.0e-6), -CLIP, CLIP)
    fast = _smooth_along(fast, GRAIN_MM * px_per_mm)
    fast = gaussian_filter1d(fast, max(0.5, GRAIN_MM / row_mm), axis=0)
    along, across = np.gradient(fast, axis=1) * px_per_mm, np.gradient(fast, axis=0) / row_mm

    def spread(product: Fine) -> Floats:
        smooth = _thinned(product, RIPPLES_ALONG_MM * px_per_mm, strip.every)
        return np.asarray(gaussian_filter1d(smooth, max(0.5, RIPPLES_ACROSS_MM / row_mm), axis=0))

    xx, yy, xy = spread(along**2), spread(across**2), spread(along * across)
    slant, upright = 2.0 * xy / (xx + yy + TINY), (xx - yy) / (xx + yy + TINY)
    crease = max(1.0, CREASE_MM / row_mm)
    found = [upright, _bent(upright, crease), _bent(np.log(xx + yy + TINY), crease)]
    for chevron_mm in CHEVRON_MM:
        rows = max(0.5, chevron_mm / row_mm)
        found.append(np.abs(gaussian_filter1d(slant, rows, axis=0, order=1)) * rows)
    return np.stack(found)


def _smooth_along(values: Fine, spread: float) -> Fine:
    """Smooth along the weld as SciPy's `gaussian_filter1d` does, by OpenCV, six times as fast."""
    mirrored = cv2.sepFilter2D(
        values, -1, _gaussian(spread), NO_KERNEL, borderType=cv2.BORDER_REFLECT
    )
    return np.asarray(mirrored, dtype=np.float32)


def _thinned(values: Fine, spread: float, every: int) -> Floats:
    """Smooth along the weld likewise, but for every so-many-th column alone."""
    kernel = _gaussian(spread)
    reach = kernel.size // 2
    mirrored = np.pad(values, ((0, 0), (reach, reach)), mode="symmetric")
    windows = sliding_window_view(mirrored, kernel.size, axis=1)[:, ::every]
    return np.asarray(np.einsum("rct,t->rc", windows, kernel), dtype=np.float64)


def _gaussian(spread: float) -> Fine:
    """(T,) weights of a Gaussian."""
    taps = 2 * int(REACH * spread + 0.5) + 1
    return np.asarray(cv2.getGaussianKernel(taps, spread, cv2.CV_32F)[:, 0], dtype=np.float32)


def _bent(values: Floats, spread: float) -> Floats:
    """Second derivative across the weld, free of the scale of the rows."""
    return np.asarray(gaussian_filter1d(values, spread, axis=0, order=2) * spread**2)
