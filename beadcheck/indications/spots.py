"""Dark round spots: blobs that are dark in every direction, and stand out from what lies around.

The measure is the smaller eigenvalue of the scale-normalised Hessian of log-lightness. A line, such
as a ripple's groove or a scratch, has one eigenvalue near zero and so none of it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.indications.levelled import Floats, LevelMap, Mask

RADII_MM: Final = (0.25, 0.35, 0.5, 0.7, 1.0)
"""Radii of the blobs looked for; a disc answers most at its own."""
HALVED_SIGMA_PX: Final = 4.0
"""Blurs wider than this are made at half the resolution."""
LEAST_ON_FACE: Final = 0.13
LEAST_ON_BASE: Final = 0.09
"""Least answer: about 0.4 of the contrast between spot and surroundings."""
LEAST_STAND_OUT_ON_FACE: Final = 4.5
LEAST_STAND_OUT_ON_BASE: Final = 5.5
"""Least answer over the root mean square answer around. All four by trial on rendered photos, for 1
spot on the face in 8 photos of a weld without any; no published source."""
QUIET: Final = 0.01
"""Noise of the answer that even smooth metal has."""
ALONG_WIDTHS: Final = 2.5
ACROSS_WIDTHS: Final = 0.4
"""What counts as around, in weld widths."""
OWN_RADII: Final = 2.0
"""The spot itself, left out of its surroundings, in its radii."""
APART_MM: Final = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A spot at a row and a column of the map; `clearness` in multiples of what is needed."""

    row: int
    column: int
    radius_mm: float
    clearness: float


def dark_spots(level: LevelMap) -> tuple[list[Spot], list[Spot]]:
    """Spots on the weld face, and on the base metal."""
    answers, scales = _answers(level)
    beaten = cv2.dilate(answers, np.ones((2 * level.px(APART_MM) + 1,) * 2, np.uint8))
    peaks = (answers >= beaten) & (answers > 0.0)
    return (
        list(
            _standing_out(
                level, answers, scales, peaks, level.face, LEAST_ON_FACE, LEAST_STAND_OUT_ON_FACE
            )
        ),
        list(
            _standing_out(
                level, answers, scales, peaks, level.base, LEAST_ON_BASE, LEAST_STAND_OUT_ON_BASE
            )
        ),
    )


def _answers(level: LevelMap) -> tuple[Floats, NDArray[np.uint8]]:
    """(R, C) strongest answer over the scales, and which scale gave it."""
    best = np.full(level.light.shape, -np.inf, dtype=np.float32)
    scales = np.zeros(level.light.shape, dtype=np.uint8)
    half = np.asarray(
        cv2.resize(level.light, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), np.float32
    )
    rows, columns = level.light.shape
    for index, radius_mm in enumerate(RADII_MM):
        sigma_px = radius_mm / np.sqrt(2.0) * level.px_per_mm
        if sigma_px > HALVED_SIGMA_PX:
            answer = cv2.resize(_darkness(half, 0.5 * sigma_px), (columns, rows))
        else:
            answer = _darkness(level.light, sigma_px)
        np.copyto(scales, index, where=answer > best, casting="unsafe")
        np.maximum(best, answer, out=best)
    return best, scales


def _darkness(light: NDArray[np.float32], sigma_px: float) -> Floats:
    """Smaller eigenvalue of the scale-normalised Hessian."""
    smooth = cv2.GaussianBlur(light, (0, 0), sigma_px, borderType=cv2.BORDER_REPLICATE)
    along = cv2.Sobel(smooth, cv2.CV_32F, 2, 0, ksize=1)
    across = cv2.Sobel(smooth, cv2.CV_32F, 0, 2, ksize=1)
    mixed = cv2.Sobel(cv2.Sobel(smooth, cv2.CV_32F, 1, 0, ksize=1), cv2.CV_32F, 0, 1, ksize=1)
    half_gap = cv2.magnitude(0.5 * (along - across), 0.25 * mixed)
    return np.asarray((0.5 * (along + across) - half_gap) * sigma_px**2, dtype=np.float32)


def _standing_out(
    level: LevelMap,
    answers: Floats,
    scales: NDArray[np.uint8],
    peaks: Mask,
    where: Mask,
    least: float,
    least_stand_out: float,
) -> Iterator[Spot]:
    """Peaks that answer enough, alone and against their surroundings."""
    counted = where.astype(np.float32)
    squares = np.maximum(answers, 0.0) ** 2 * counted
    window = tuple(level.px(share * level.width_mm) | 1 for share in (ALONG_WIDTHS, ACROSS_WIDTHS))
    around, count = (
        cv2.boxFilter(each, cv2.CV_32F, window, normalize=False, borderType=cv2.BORDER_CONSTANT)
        for each in (squares, counted)
    )
    for row, column in zip(*np.nonzero(peaks & where & (answers > least)), strict=True):
        radius_mm = RADII_MM[scales[row, column]]
        reach = level.px(OWN_RADII * radius_mm)
        own = np.s_[
            max(0, row - reach) : row + reach + 1, max(0, column - reach) : column + reach + 1
        ]
        others = max(1.0, float(count[row, column] - counted[own].sum()))
        rms = np.sqrt(max(0.0, float(around[row, column] - squares[own].sum())) / others)
        answer = float(answers[row, column])
        clearness = min(answer / least, answer / (rms + QUIET) / least_stand_out)
        if clearness >= 1.0:
            yield Spot(row=int(row), column=int(column), radius_mm=radius_mm, clearness=clearness)
