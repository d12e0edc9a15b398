"""What a photo might have looked like otherwise: blur, tone, colour, dirt, noise and compression.

Pictures are (H, W, 3) uint8, B G R.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
Codes = NDArray[np.float32]


def changed_crop(picture: Picture, rng: np.random.Generator) -> Picture:
    """Change a crop that the finder sees."""
    codes = picture.astype(np.float32)
    if rng.random() < 0.4:
        codes = _blurred(codes, rng, 1.8)
    codes = _toned(codes, rng, gamma_sd=0.25, pivot=110.0, contrast_sd=0.2, offset_sd=18.0)
    if rng.random() < 0.12:
        codes[:] = codes.mean(axis=2, keepdims=True)
    elif rng.random() < 0.3:
        grey = codes.mean(axis=2, keepdims=True)
        codes = grey + (codes - grey) * rng.uniform(0.2, 1.8)
    return _stored(codes, rng, least_noise=0.3, most_noise=8.0)


def changed_strip(picture: Picture, rng: np.random.Generator) -> Picture:
    """Change a strip that the placer sees: more than a crop, dirt and chalk included."""
    codes = picture.astype(np.float32)
    if rng.random() < 0.5:
        codes = _blurred(codes, rng, 2.2)
    codes = _toned(codes, rng, gamma_sd=0.22, pivot=128.0, contrast_sd=0.25, offset_sd=22.0)
    if rng.random() < 0.2:
        codes[:] = codes.mean(axis=2, keepdims=True)
    if rng.random() < 0.3:
        codes = codes[..., rng.permutation(3)]
    if rng.random() < 0.4:
        down, right = (np.linspace(-1, 1, side) for side in codes.shape[:2])
        light = rng.normal(0, 25) * down[:, None] + rng.normal(0, 25) * right[None, :]
        codes += light[..., None].astype(np.float32)
    if rng.random() < 0.15:
        codes = _blotted(codes, rng)
    return _stored(codes, rng, least_noise=0.5, most_noise=9.0)


def _log_uniform(rng: np.random.Generator, low: float, high: float) -> float:
    return math.exp(rng.uniform(math.log(low), math.log(high)))


def _blurred(codes: Codes, rng: np.random.Generator, most_px: float) -> Codes:
    blurred = cv2.GaussianBlur(codes, (0, 0), _log_uniform(rng, 0.3, most_px))
    return np.asarray(blurred, dtype=np.float32)


def _toned(
    codes: Codes,
    rng: np.random.Generator,
    *,
    gamma_sd: float,
    pivot: float,
    contrast_sd: float,
    offset_sd: float,
) -> Codes:
    """Draw gamma, contrast about a pivot, brightness and white balance."""
    codes = 255 * np.clip(codes / 255, 0, 1) ** math.exp(rng.normal(0, gamma_sd))
    codes = (codes - pivot) * math.exp(rng.normal(0, contrast_sd)) + pivot
    codes += rng.normal(0, offset_sd)
    codes *= np.exp(rng.normal(0, 0.08, 3)).astype(np.float32)
    return codes


def _blotted(codes: Codes, rng: np.random.Generator) -> Codes:
    """Lay one ellipse of an even colour over the picture, as dirt or chalk would."""
    height, width = codes.shape[:2]
    x, y = rng.uniform(0, width), rng.uniform(0, height)
    rows, columns = np.mgrid[:height, :width]
    reach = np.hypot((columns - x) / rng.uniform(2, 10), (rows - y) / rng.uniform(2, 10))
    colour = rng.uniform(0, 255, 3)
    return np.where((reach < 1)[..., None], colour, codes).astype(np.float32)


def _stored(
    codes: Codes, rng: np.random.Generator, *, least_noise: float, most_noise: float
) -> Picture:
    """Add noise, round to bytes, and compress some."""
    codes = codes + rng.normal(0, _log_uniform(rng, least_noise, most_noise), codes.shape)
    picture = np.clip(codes, 0, 255).astype(np.uint8)
    if rng.random() < 0.3:
        quality = int(rng.uniform(40, 95))
        _, file = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
        picture = np.asarray(cv2.imdecode(file, cv2.IMREAD_COLOR), dtype=np.uint8)
    return picture
