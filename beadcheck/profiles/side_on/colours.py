"""The colours of background and of metal, each as they change along the limb."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

Image = NDArray[np.float32]
Flags = NDArray[np.bool_]

FREEDOM: Final = 4.0
"""Of Student's distribution: stains and stripes lie farther out than a normal one allows."""
FEWEST_PX: Final = 20
"""Where a window holds fewer pixels, the mean of one `WIDER` times as wide stands in."""
WIDER: Final = 8
SHRINKAGE_PX: Final = 200.0
"""Covariances of windows are drawn to the whole run's as if it brought so many pixels."""
LEAST_SPREAD: Final = 1.0
"""Code values: what rounding and compression do to every pixel."""
PAIRS: Final = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ColoursAlong:
    """Mean (3, W) and covariance (W, 3, 3) of colours about each of W columns."""

    mean: Image
    covariance: Image

    def log_density(self, planes: Image) -> Image:
        """(H, W) logarithms of Student's density of (3, H, W) pixels, but for a constant."""
        whitening = whitening_of(self.covariance)
        far = whitened_squares(planes - self.mean[:, None], whitening)
        scale = np.log(np.einsum("wii->wi", whitening)).sum(axis=1)
        tail = np.float32(-0.5 * (FREEDOM + 3.0))
        return np.asarray(tail * np.log1p(far / np.float32(FREEDOM)) + scale)


def colours_along(planes: Image, inside: Flags, *, near_px: float, wide_px: float) -> ColoursAlong:
    """Colours of the pixels inside a part of a picture, window by window along it.

    Parameters
    ----------
    planes
        (3, H, W) code values.
    inside
        (H, W) which pixels count.
    near_px, wide_px
        Widths of the windows over which the mean and the covariance are taken.
    """
    share = inside.astype(np.float32)
    count = share.sum(axis=0)[None]
    summed = (planes * share).sum(axis=1)
    near = windowed(count, near_px)
    mean = np.asarray(windowed(summed, near_px) / np.maximum(near, 1.0), dtype=np.float32)
    few = near[0] < FEWEST_PX
    if few.any():
        wider = windowed(count, WIDER * near_px)
        mean[:, few] = (windowed(summed, WIDER * near_px) / np.maximum(wider, 1.0))[:, few]
    off = np.asarray(planes - mean[:, None], dtype=np.float32)
    covariance = covariance_along(off, inside, wide_px=wide_px, least=LEAST_SPREAD)
    return ColoursAlong(mean=mean, covariance=covariance)


def covariance_along(off: Image, inside: Flags, *, wide_px: float, least: float) -> Image:
    """(W, 3, 3) mean squares and products of (3, H, W) values, window by window.

    Parameters
    ----------
    least
        Standard deviation that each value has at least.
    """
    share = inside.astype(np.float32)
    count = share.sum(axis=0)[None]
    own = off * share
    products = np.stack([(own[one] * off[other]).sum(axis=0) for one, other in PAIRS])
    whole = products.sum(axis=1, keepdims=True) / max(float(count.sum()), 1.0)
    mean = (windowed(products, wide_px) + SHRINKAGE_PX * whole) / (
        windowed(count, wide_px) + SHRINKAGE_PX
    )
    covariance = np.empty((off.shape[2], 3, 3), dtype=np.float32)
    for place, (one, other) in enumerate(PAIRS):
        covariance[:, one, other] = covariance[:, other, one] = mean[place]
    return covariance + np.float32(least**2) * np.eye(3, dtype=np.float32)


def whitening_of(covariance: Image) -> Image:
    """(W, 3, 3) lower triangles by which rows of colours are multiplied to unit variances."""
    return np.asarray(np.linalg.cholesky(np.linalg.inv(covariance)), dtype=np.float32)


def whitened_squares(planes: Image, whitening: Image) -> Image:
    """(H, W) sums of the squares of (3, H, W) values, once they have unit variances."""
    blue, green, red = planes
    total = (whitening[:, 0, 0] * blue + whitening[:, 1, 0] * green + whitening[:, 2, 0] * red) ** 2
    total += (whitening[:, 1, 1] * green + whitening[:, 2, 1] * red) ** 2
    total += (whitening[:, 2, 2] * red) ** 2
    return np.asarray(total, dtype=np.float32)


def planes_of(bgr: Image) -> Image:
    """(3, H, W) planes of an (H, W, 3) picture."""
    return np.stack(cv2.split(bgr))


def windowed(values: Image, width_px: float) -> Image:
    """(K, W) sums of (K, W) values over windows along the second axis."""
    size = 2 * int(0.5 * width_px) + 1
    summed = cv2.boxFilter(
        np.ascontiguousarray(values), cv2.CV_32F, (size, 1), normalize=False,
        borderType=cv2.BORDER_CONSTANT,
    )  # fmt: skip
    return np.asarray(summed, dtype=np.float32)
