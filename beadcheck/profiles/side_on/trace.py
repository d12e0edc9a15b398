"""Follow the outline of pipe and weld closely, from where it runs roughly."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from beadcheck.profiles.side_on.band import LimbBand
from beadcheck.profiles.side_on.cheapest_path import cheapest_path, crest_rows
from beadcheck.profiles.side_on.colours import colours_along, planes_of, windowed
from beadcheck.profiles.side_on.evidence import any_step, sharp_step, steps_down

Floats = NDArray[np.float64]
Image = NDArray[np.float32]

ABOVE_MM, BELOW_MM = 3.0, 1.5
"""Of the rough outline, what is looked at."""
SMOOTH_MM: Final = 0.4
"""Along a rough outline, before the picture is laid level on it."""
STRAY_PX: Final = 5
OUTSIDE_MM, INSIDE_MM = (0.1, 1.5), (0.1, 0.9)
"""Over and under it: background and metal, whose colours are compared."""
BACKGROUND_NEAR_MM, METAL_NEAR_MM, WIDE_MM = 2.5, 4.0, 5.0
"""Windows along it, for means and spreads of colours."""
SOFT_PX: Final = 0.8
CALM_FROM_MM: Final = 0.7
CALM_MM: Final = 8.0
"""Over the outline, and along it, where the background's own steps are judged."""
CALM_PX: Final = 50.0
"""Their spread is drawn to the whole run's as if that brought so many pixels."""
SHORT_MM, LONG_MM = 1.4, 4.0
"""Runs that steps are averaged over: the picture is laid level, so a weld's outline is too."""
CLEAR_STEP: Final = 6.0
"""In chance steps: more is no clearer."""
FAINT, CLEAR = 1.5, 5.5
"""Steps, in chance ones, that count for nothing and for all there is."""
CLEAR_FROM: Final = 0.2
"""Share of a clear edge that is one at all."""
FARTHEST_MM: Final = 1.0
"""From the rough outline."""
STAY_COST: Final = 0.6
"""Of each px from it."""
LINE_COST, MOST_LINE_COST = 0.5, 2.0
"""Of each px from the line of the bare limb, and its limit."""
BEYOND_COST: Final = 100.0
TURN_COST: Final = 1.0
STEEPEST: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedOutline:
    """The outline's height over the pipe in each of W columns of a band.

    Attributes
    ----------
    clear
        (W,) between 0, no edge there, and 1, a clear one.
    sharp
        (W,) the same of an edge that is no mere slope of light.
    """

    along_mm: Floats
    height_mm: Floats
    clear: Floats
    sharp: Floats


def traced_outline(band: LimbBand, rough_mm: Floats, line_mm: Floats) -> TracedOutline:
    """The outline near a rough one.

    The picture is laid level on the rough outline. Window by window, that mixture of colours is
    taken in which background and metal next to it differ most against their own spread (Fisher's
    discriminant); in it the outline is a step of known sense, averaged along the outline.

    Parameters
    ----------
    rough_mm
        (W,) rough heights.
    line_mm
        (W,) where the bare limb is expected, over the pipe.
    """
    pitch_px = band.px_per_mm
    level_mm = gaussian_filter1d(median_filter(rough_mm, STRAY_PX), SMOOTH_MM * pitch_px)
    top = int(ABOVE_MM * pitch_px)
    over_mm = (top - np.arange(top + int(BELOW_MM * pitch_px)))[:, None] / pitch_px
    mixed = _telling_mixture(_laid_level(band, level_mm, over_mm), over_mm, pitch_px)
    short, longer, blurred = (
        _chance_steps(mixed, over_mm, pitch_px, run_mm, kernel)
        for run_mm, kernel in (
            (SHORT_MM, sharp_step()), (LONG_MM, sharp_step()), (SHORT_MM, any_step()),
        )
    )  # fmt: skip
    steps = np.maximum(short, longer)
    border_mm = over_mm + 0.5 / pitch_px
    cost = -0.5 * np.clip(steps, 0.0, CLEAR_STEP) ** 2 + STAY_COST * np.abs(border_mm) * pitch_px
    off_px = np.abs(level_mm[None] + border_mm - line_mm[None]) * pitch_px
    cost += np.minimum(LINE_COST * off_px, MOST_LINE_COST)
    cost += np.where(np.abs(border_mm) > FARTHEST_MM, BEYOND_COST, 0.0)
    path = cheapest_path(cost.astype(np.float32), turn_cost=TURN_COST, steepest=STEEPEST)
    return TracedOutline(
        along_mm=band.along_mm,
        height_mm=level_mm + (top - crest_rows(steps, path) + 0.5) / pitch_px,
        clear=_clear_along(np.maximum(steps, blurred), path),
        sharp=_clear_along(steps, path),
    )


def _clear_along(steps: Image, path: NDArray[np.intp]) -> Floats:
    near = np.asarray(cv2.dilate(steps, np.ones((3, 3), np.uint8)))[path, np.arange(path.size)]
    return np.clip((near.astype(np.float64) - FAINT) / (CLEAR - FAINT), 0.0, 1.0)


def _laid_level(band: LimbBand, level_mm: Floats, over_mm: Floats) -> Image:
    rows = band.row(level_mm[None] + over_mm).astype(np.float32)
    columns = np.broadcast_to(np.arange(level_mm.size, dtype=np.float32)[None], rows.shape)
    picture = cv2.remap(
        band.bgr, np.ascontiguousarray(columns), rows, cv2.INTER_LINEAR, None,
        cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(picture, dtype=np.float32)


def _telling_mixture(level: Image, over_mm: Floats, pitch_px: float) -> Image:
    """(H, W) mixture of colours that tells metal, which is more, from background."""
    soft = planes_of(np.asarray(cv2.GaussianBlur(level, (0, 0), SOFT_PX), dtype=np.float32))
    size = level.shape[:2]
    background, metal = (
        colours_along(
            soft,
            np.broadcast_to((sign * over_mm > low) & (sign * over_mm < high), size),
            near_px=near_mm * pitch_px,
            wide_px=WIDE_MM * pitch_px,
        )
        for sign, (low, high), near_mm in (
            (1.0, OUTSIDE_MM, BACKGROUND_NEAR_MM),
            (-1.0, INSIDE_MM, METAL_NEAR_MM),
        )
    )
    differ = metal.mean - background.mean
    spread = background.covariance + metal.covariance
    weights = np.linalg.solve(spread, differ.T[..., None])[..., 0].T
    apart = np.sqrt(np.maximum((weights * differ).sum(axis=0), 1e-6))
    middle = 0.5 * (background.mean + metal.mean)
    off = planes_of(level) - middle[:, None]
    return np.asarray((off * (weights / apart)[:, None]).sum(axis=0), dtype=np.float32)


def _chance_steps(
    mixed: Image, over_mm: Floats, pitch_px: float, run_mm: float, kernel: Image
) -> Image:
    """(H, W) steps from background to metal, in those that the background shows by chance."""
    step = steps_down(mixed, 2 * int(0.5 * run_mm * pitch_px) + 1, kernel)
    calm = np.flatnonzero(over_mm[:, 0] > CALM_FROM_MM)
    # The border of something behind fills one half at most.
    usual = np.minimum(
        *(_mean_squares(step[rows], CALM_MM * pitch_px) for rows in np.array_split(calm, 2))
    )
    return np.asarray(step / np.sqrt(np.maximum(usual, 1e-6)))


def _mean_squares(step: Image, wide_px: float) -> Image:
    """(1, W) mean squares of steps, window by window."""
    square = (step * step).sum(axis=0)[None]
    every = CALM_PX * float(square.mean()) / len(step)
    count = windowed(np.full_like(square, len(step)), wide_px) + CALM_PX
    return np.asarray((windowed(square, wide_px) + every) / count)
