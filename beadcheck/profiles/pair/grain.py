"""Grain of a photo laid on the ground: what of it tells a height, and how it is looked up."""

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.ground import Picture

Floats = NDArray[np.float64]


def curvature_along(tone: Picture, along: Floats, sigma_px: float) -> Picture:
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


def windowed(values: Picture, window_cells: tuple[float, float]) -> Picture:
    """Smoothed by a window, along and across."""
    return np.asarray(cv2.GaussianBlur(values, (0, 0), window_cells[0], sigmaY=window_cells[1]))


def taken_at(picture: Picture, columns: Picture, rows: Picture) -> Picture:
    """The picture's values at places between its own; its edge goes on."""
    taken = cv2.remap(picture, columns, rows, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(taken, dtype=np.float32)
