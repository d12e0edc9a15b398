"""Seeded random fields: the raw material of bead shapes and metal finishes."""

from typing import Any, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Floats: TypeAlias = NDArray[np.float64]
Image: TypeAlias = NDArray[np.floating[Any]]


def wander(rng: np.random.Generator, at: Floats, *, length: float) -> Floats:
    """Smooth random line of about unit standard deviation.

    Parameters
    ----------
    at
        Positions, any shape.
    length
        Distance between the knots of the line, in the unit of `at`.
    """
    low, high = float(np.min(at)) - 2 * length, float(np.max(at)) + 2 * length
    knots = np.arange(low, high + length, length)
    values = rng.standard_normal(len(knots))
    return np.asarray(CubicSpline(knots, values)(at), dtype=np.float64)


def field(rng: np.random.Generator, shape: tuple[int, int], *, cell: tuple[float, float]) -> Image:
    """Smooth random field of about unit deviation; `cell` is its grain in rows, columns."""
    rows = max(2, int(np.ceil(shape[0] / cell[0])) + 1)
    columns = max(2, int(np.ceil(shape[1] / cell[1])) + 1)
    coarse = rng.standard_normal((rows, columns), dtype=np.float32)
    if rows >= shape[0] and columns >= shape[1]:
        return coarse[: shape[0], : shape[1]]
    fine = cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(fine, dtype=np.float32) * np.float32(1.25)


def cloud(
    rng: np.random.Generator, shape: tuple[int, int], *, cell: float, octaves: int = 4
) -> Image:
    """Fractal field of about unit standard deviation; `cell` is its coarsest grain in texels."""
    total = np.zeros(shape, dtype=np.float32)
    weight, power = 1.0, 0.0
    for octave in range(octaves):
        grain = max(1.0, cell / 2**octave)
        total += np.float32(weight) * field(rng, shape, cell=(grain, grain))
        power += weight**2
        weight *= 0.55
    return total / np.float32(np.sqrt(power))


def step(x: Image, *, at: float, soft: float) -> Image:
    """0 below `at`, 1 above, blended over `soft` (smoothstep)."""
    u = np.clip((x - at) / soft + 0.5, 0, 1).astype(np.float32)
    return u * u * (3 - 2 * u)
