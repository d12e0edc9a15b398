"""What in a level picture of the limb may be the edge of pipe and weld."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.side_on.colours import (
    covariance_along,
    planes_of,
    whitened_squares,
    whitening_of,
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Image = NDArray[np.float32]

REACH: Final = 4
"""Half length of the step filter, in px of the band: wider than a sharp edge, narrower than the
blurred ones of a background far behind."""
LEAST_NOISE: Final = 0.1
"""Code values, of a step's mean: a background without any noise is a drawn one."""
CALM_MM: Final = 12.0
"""Along the limb, over which the background's own steps are judged."""
COLOURS: Final = 3.0
"""What the squares of chance steps add up to: 1 for each colour."""
CHANCE: Final = 1.5
"""Gain in log likelihood that chance gives the best of some neighbours."""


def step_squares(bgr: Image, run_px: int, calm: Flags, *, px_per_mm: float) -> Image:
    """(H, W) squares of level steps, between each row and the one before, of all colours.

    Each colour, and each mixture, is measured by what the background shows of it by chance: where
    brightness is noisy or mottled, a hue may still tell.

    Parameters
    ----------
    run_px
        Along which steps are averaged.
    calm
        (H, W) where nothing but background is.
    """
    step = planes_of(steps_down(bgr, run_px))
    wide_px = CALM_MM * px_per_mm
    covariance = covariance_along(step, calm, wide_px=wide_px, least=LEAST_NOISE)
    return whitened_squares(step, whitening_of(covariance))


def edge_gain(squares: Image, most: float) -> Image:
    """(H, W) gains in log likelihood if an edge is there, up to some limit."""
    return np.asarray(np.clip(0.5 * (squares - COLOURS) - CHANCE, 0.0, most))


def steps_down(picture: Image, run_px: int, kernel: Image | None = None) -> Image:
    """(H, W, …) by how much more lies under than over, between each row and the one before.

    Parameters
    ----------
    kernel
        What is looked for across; `sharp_step()` if not given.
    """
    along = np.full(run_px, 1.0 / run_px, dtype=np.float32)
    across = sharp_step() if kernel is None else kernel
    return np.asarray(
        cv2.sepFilter2D(
            picture, cv2.CV_32F, along, across, anchor=(run_px // 2, len(across) // 2),
            borderType=cv2.BORDER_REPLICATE,
        ),
        dtype=np.float32,
    )  # fmt: skip


def sharp_step() -> Image:
    """A step's shape, tapered, less the part of it that a mere slope of light would answer to."""
    place = np.arange(-REACH, REACH) + 0.5
    taper = np.cos(np.pi * place / (2 * REACH + 1))
    step = np.sign(place)
    slope = ((taper * step) @ place) / ((taper * place) @ place)
    kernel = taper * (step - slope * place)
    return np.asarray(kernel / np.abs(kernel).sum(), dtype=np.float32)


def any_step() -> Image:
    """A tapered step that blurred ones answer to as well."""
    place = np.arange(-REACH, REACH) + 0.5
    kernel = np.sign(place) * np.cos(np.pi * place / (2 * REACH + 1))
    return np.asarray(kernel / np.abs(kernel).sum(), dtype=np.float32)
