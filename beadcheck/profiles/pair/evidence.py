"""How well two photos agree that a place of the surface has a height."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.ground import Cast, Ground, Picture

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What is compared.

    Attributes
    ----------
    grains_mm
        Standard deviations of the grain, fine and less fine; `finest_px` are the least in pixels.
    window_mm
        Standard deviations, along and across the weld, of the window in which grain is compared;
        along it the height changes slowly.
    least_likeness
        Correlation from which two places may be one.
    """

    grains_mm: tuple[float, float]
    finest_px: tuple[float, float]
    window_mm: tuple[float, float]
    least_likeness: float


FINE: Final = Look(
    grains_mm=(0.05, 0.1), finest_px=(0.5, 0.9), window_mm=(1.0, 0.35), least_likeness=0.42
)
"""For a weld: fine grain belongs to the metal; broad light and shade belong to the lamp, and slide
over a curved surface as the camera moves."""
BROAD: Final = Look(
    grains_mm=(0.2, 0.3), finest_px=(1.5, 2.0), window_mm=(1.5, 0.7), least_likeness=0.35
)
"""For flat metal that has no grain finer than the picture's noise."""
FINEST_WINDOW_PX: Final = 1.8
NEAR_SHARE: Final = 0.4
LEAST_NEAR: Final = 0.8
"""Grain in the middle of the window, over that in all of it, from which it speaks for the middle:
smooth metal beside a rough edge must not take the height of the edge."""
NOISE_QUANTILE: Final = 0.05
"""The smoothest twentieth of the ground shows what is noise."""
NOISE_COUNTS: Final = 1.0
"""How many times the noise grain must reach to count."""
SHADE_MM: Final = (0.6, 6.0)
"""Standard deviations between which shading lies that must be alike in both photos."""
SHADE_TOLERANCE: Final = 0.1
"""Difference of shading, as part of the brightness, that speaks against a place."""
GLINT_MM: Final = 0.2
GLINT_ABOVE: Final = 0.3
"""A place this much brighter than its surroundings, in natural logarithms, mirrors a lamp."""
GLINT_EDGE: Final = 0.04
GLINT_REACH_MM: Final = 0.25
SURROUNDINGS_MM: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grain:
    """What is compared of one photo on the ground.

    Attributes
    ----------
    compared
        (R, C, 4): weight, shading, and the signal of both grains.
    power
        (R, C, 2): mean square of both signals in the window about a cell, noise added.
    """

    cast: Cast
    compared: Picture
    power: Picture


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """Two photos made ready to be compared.

    Attributes
    ----------
    grains
        Of the first and the second photo.
    px_per_height
        Cells by which both photos move apart for each mm of height.
    window_px
        Standard deviations of the look's window, along and across the weld.
    """

    look: Look
    grains: tuple[Grain, Grain]
    px_per_height: float
    window_px: tuple[float, float]

    def at(self, height_mm: Picture | np.float32) -> Picture:
        """(R, C) evidence that the surface lies at these heights; 0 is none."""
        (one, one_power), (other, other_power) = (_moved(grain, height_mm) for grain in self.grains)
        shade = (one[..., 1] - other[..., 1]) / np.float32(SHADE_TOLERANCE)
        likeness = np.zeros(shade.shape, dtype=np.float32)
        for number in range(len(self.look.grains_mm)):
            common = _windowed(one[..., 2 + number] * other[..., 2 + number], self.window_px)
            common /= np.sqrt(one_power[..., number] * other_power[..., number])
            likeness += np.square(np.maximum(common - np.float32(self.look.least_likeness), 0.0))
        return np.asarray(likeness * one[..., 0] * other[..., 0] * np.exp(-shade * shade))


def evidence_of(ground: Ground, casts: tuple[Cast, Cast], look: Look) -> Evidence:
    """Make two photos on one ground ready to be compared."""
    px_per_mm = ground.px_per_mm
    apart = casts[1].first - casts[0].first
    middle = apart[:, apart.shape[1] // 2, apart.shape[2] // 2].astype(np.float64)
    px_per_height = float(np.hypot(*middle))
    along = middle / px_per_height
    sigmas_px = [
        max(grain * px_per_mm, least)
        for grain, least in zip(look.grains_mm, look.finest_px, strict=True)
    ]
    along_px, across_px = (max(width * px_per_mm, FINEST_WINDOW_PX) for width in look.window_mm)
    window_px = (along_px, across_px)
    one, other = (_grain(cast, px_per_mm, along, sigmas_px, window_px) for cast in casts)
    return Evidence(
        look=look, grains=(one, other), px_per_height=px_per_height, window_px=window_px
    )


def _windowed(values: Picture, window_px: tuple[float, float]) -> Picture:
    return np.asarray(cv2.GaussianBlur(values, (0, 0), window_px[0], sigmaY=window_px[1]))


def _moved(grain: Grain, height_mm: Picture | np.float32) -> tuple[Picture, Picture]:
    columns, rows = grain.cast.places(height_mm)
    compared, power = (
        cv2.remap(picture, columns, rows, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        for picture in (grain.compared, grain.power)
    )
    return np.asarray(compared, dtype=np.float32), np.asarray(power, dtype=np.float32)


def _grain(
    cast: Cast,
    px_per_mm: float,
    along: Floats,
    sigmas_px: Sequence[float],
    window_px: tuple[float, float],
) -> Grain:
    tone = cast.tone
    signals = [_curvature_along(tone, along, sigma_px) for sigma_px in sigmas_px]
    powers, here = [], np.ones(tone.shape, dtype=np.float32)
    for signal in signals:
        power = _windowed(signal * signal, window_px)
        near = _windowed(signal * signal, (window_px[0], NEAR_SHARE * window_px[1]))
        noise2 = float(np.quantile(power[::4, ::4], NOISE_QUANTILE))
        powers.append(power + np.float32(NOISE_COUNTS**2 * noise2))
        here = np.minimum(here, near / np.maximum(np.float32(LEAST_NEAR) * power, 1e-12))
    shade = _blurred(tone, SHADE_MM[0] * px_per_mm) - _blurred(tone, SHADE_MM[1] * px_per_mm)
    weight = _away_from_glints(tone, px_per_mm) * here * cast.inside
    return Grain(
        cast=cast,
        compared=np.stack([weight, shade, *signals], axis=2).astype(np.float32),
        power=np.maximum(np.stack(powers, axis=2), 1e-12).astype(np.float32),
    )


def _curvature_along(tone: Picture, along: Floats, sigma_px: float) -> Picture:
    """Second derivative of the smoothed picture along a direction (x, y).

    Only what changes along the direction in which height moves the picture tells the height; a
    ridge that runs that way would tell where its light and shade lie instead.
    """
    smooth = cv2.GaussianBlur(tone, (0, 0), sigma_px)
    second = np.array([[1.0, -2.0, 1.0]], dtype=np.float32)
    half = np.array([[0.5, 0.0, -0.5]], dtype=np.float32)
    x, y = float(along[0]), float(along[1])
    mixed = cv2.filter2D(cv2.filter2D(smooth, -1, half), -1, half.T)
    return np.asarray(
        x * x * cv2.filter2D(smooth, -1, second)
        + 2.0 * x * y * mixed
        + y * y * cv2.filter2D(smooth, -1, second.T),
        dtype=np.float32,
    )


def _blurred(tone: Picture, sigma_px: float) -> Picture:
    """Gaussian blur; a wide one by way of a smaller picture."""
    shrink = max(1, math.floor(sigma_px / 4.0))
    if shrink == 1:
        return np.asarray(cv2.GaussianBlur(tone, (0, 0), sigma_px))
    small = cv2.resize(tone, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA)
    blurred = cv2.GaussianBlur(small, (0, 0), sigma_px / shrink)
    return np.asarray(cv2.resize(blurred, _size(tone)), dtype=np.float32)


def _away_from_glints(tone: Picture, px_per_mm: float) -> Picture:
    """1 on plain metal, 0 where it mirrors a lamp, and near it."""
    shrink = max(1, round(px_per_mm / 4.0))
    fine = cv2.GaussianBlur(tone, (0, 0), GLINT_MM * px_per_mm)
    small = cv2.resize(tone, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA)
    low, high = float(small.min()), float(small.max()) + 1e-3
    codes = ((small - low) * (255.0 / (high - low))).astype(np.uint8)
    reach = min(2 * int(SURROUNDINGS_MM * px_per_mm / shrink / 2.0) + 1, 255)
    usual = cv2.medianBlur(codes, reach).astype(np.float32) * ((high - low) / 255.0) + low
    size = 2 * round(GLINT_REACH_MM * px_per_mm) + 1
    brighter = fine - cv2.resize(usual, _size(tone))
    above = cv2.dilate(brighter, np.ones((size, size), np.uint8))
    return np.asarray(1.0 / (1.0 + np.exp((above - GLINT_ABOVE) / GLINT_EDGE)), dtype=np.float32)


def _size(picture: Picture) -> tuple[int, int]:
    """Width and height, as OpenCV wants them."""
    return int(picture.shape[1]), int(picture.shape[0])
