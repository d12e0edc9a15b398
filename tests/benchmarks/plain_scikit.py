"""The steps of a face photo in plain scikit-image, for the comparison of speed alone.

Read, grey, markers (OpenCV's: scikit-image finds none), the plane by them, a map in mm, the weld as
the longest slender patch of rough texture, a straightened map along it, both toes at the strongest
edge, ripples by the spectrum, and the picture drawn. Nothing is placed between pixels, no lens is
solved, and there is no uncertainty; where heat tinted the plate, the tint's edge is taken for the
toe. It does far less, and does it as its tutorials would.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import color, draw, filters, io, measure, morphology, transform

from beadcheck.target.design import TargetDesign

MAP_PX_PER_MM: Final = 4.0
PAPER_MM: Final = 7.0
"""Paper between the markers and the card's window."""
BEAD_PX_PER_MM: Final = 20.0
GRAIN_MM: Final = 0.8
LEAST_SPACING_MM, MOST_SPACING_MM = 0.5, 5.0

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainResult:
    """Mean width, ripple spacing, and the picture with both toes drawn in."""

    width_mm: float
    spacing_mm: float
    picture: NDArray[np.uint8]


def measured_plainly(path: Path, design: TargetDesign) -> PlainResult:
    """Measure one face photo of a plate that lies under a window card."""
    picture = io.imread(path)
    grey = color.rgb2gray(picture)
    plane = _plane(picture, design)
    low, high = _window_mm(design)
    overview = _map(grey, plane, low, (1.0, 0.0), high - low, MAP_PX_PER_MM)
    start, along, length_mm, half_mm = _weld(overview, low)
    square = np.array([-along[1], along[0]])
    size = np.array([length_mm, 2.0 * half_mm])
    bead = _map(grey, plane, start - half_mm * square, along, size, BEAD_PX_PER_MM)
    toes = _toes(bead)
    for rows in toes:
        places = start + np.outer(np.arange(rows.size) / BEAD_PX_PER_MM, along)
        places += np.outer(rows / BEAD_PX_PER_MM - half_mm, square)
        line = plane(places).round().astype(int)
        for (x, y), (to_x, to_y) in zip(line[:-1:20], line[20::20], strict=False):
            lit = draw.line(y, x, to_y, to_x)
            seen = (lit[0] >= 0) & (lit[0] < grey.shape[0]) & (lit[1] >= 0)
            seen &= lit[1] < grey.shape[1]
            picture[lit[0][seen], lit[1][seen]] = (0, 255, 0)
    return PlainResult(
        width_mm=float(np.median(toes[1] - toes[0])) / BEAD_PX_PER_MM,
        spacing_mm=_spacing_mm(bead, toes),
        picture=picture,
    )


def _plane(picture: NDArray[np.uint8], design: TargetDesign) -> transform.ProjectiveTransform:
    """From mm on the target's plane to pixels."""
    kind = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, design.dictionary))
    found, ids, _ = cv2.aruco.ArucoDetector(kind).detectMarkers(cv2.cvtColor(picture, 7))
    seen = {} if ids is None else dict(zip(ids.ravel().tolist(), found, strict=True))
    own = [marker for marker in design.markers if marker.id in seen]
    if len(own) < 2:  # one marker tells no tilt
        raise SystemExit("Too few markers for the plain version.")
    return transform.ProjectiveTransform.from_estimate(
        np.concatenate([marker.corners_mm for marker in own]),
        np.concatenate([seen[marker.id].reshape(4, 2) for marker in own]),
    )


def _map(
    grey: Floats,
    plane: transform.ProjectiveTransform,
    start: Floats,
    along: tuple[float, float] | Floats,
    size_mm: Floats,
    px_per_mm: float,
) -> Floats:
    """A rectangle of the plane, resampled."""
    turn = np.arctan2(along[1], along[0])
    place = transform.SimilarityTransform(scale=1.0 / px_per_mm, rotation=turn, translation=start)
    shape = tuple(np.round(size_mm[::-1] * px_per_mm).astype(int))
    return np.asarray(transform.warp(grey, place + plane, output_shape=shape))


def _window_mm(design: TargetDesign) -> tuple[Floats, Floats]:
    """First and last corner of the window between the card's two rows of markers."""
    corners = np.concatenate([marker.corners_mm for marker in design.markers])
    middle = corners[:, 1].mean()
    first = corners[corners[:, 1] < middle, 1].max() + PAPER_MM
    last = corners[corners[:, 1] > middle, 1].min() - PAPER_MM
    return np.array([corners[:, 0].min(), first]), np.array([corners[:, 0].max(), last])


def _weld(overview: Floats, low: Floats) -> tuple[Floats, Floats, float, float]:
    """Start, direction, length and half the span of the longest slender patch of rough texture."""
    smooth = filters.gaussian(overview, GRAIN_MM * MAP_PX_PER_MM)
    rough = filters.gaussian(np.abs(overview - smooth), 2.0 * GRAIN_MM * MAP_PX_PER_MM)
    mask = morphology.opening(rough > filters.threshold_otsu(rough), morphology.disk(5))
    patches = measure.regionprops(measure.label(mask))
    patch = max(
        patches, key=lambda each: each.axis_major_length**2 / (each.axis_minor_length + 1.0)
    )
    along = np.array([np.sin(patch.orientation), np.cos(patch.orientation)])
    middle = np.array(patch.centroid[::-1]) / MAP_PX_PER_MM + low
    length_mm = 0.8 * patch.axis_major_length / MAP_PX_PER_MM
    half_mm = patch.axis_minor_length / MAP_PX_PER_MM
    return middle - 0.5 * length_mm * along, along, float(length_mm), float(half_mm)


def _toes(bead: Floats) -> tuple[Floats, Floats]:
    """Rows of the strongest edge on both sides of the middle, column by column."""
    edge = np.abs(filters.sobel_h(filters.gaussian(bead, (6.0, 20.0))))
    middle = bead.shape[0] // 2
    near = round(1.5 * BEAD_PX_PER_MM)
    left = edge[: middle - near].argmax(axis=0)
    right = middle + near + edge[middle + near :].argmax(axis=0)
    return left.astype(np.float64), right.astype(np.float64)


def _spacing_mm(bead: Floats, toes: tuple[Floats, Floats]) -> float:
    """Spacing at the spectrum's peak of the weld's middle rows."""
    middle = round(float(np.median(0.5 * (toes[0] + toes[1]))))
    rows = bead[middle - 20 : middle + 20]
    power = (np.abs(np.fft.rfft(rows - rows.mean(axis=1, keepdims=True), axis=1)) ** 2).sum(axis=0)
    per_mm = np.fft.rfftfreq(rows.shape[1], 1.0 / BEAD_PX_PER_MM)
    wanted = (per_mm > 1.0 / MOST_SPACING_MM) & (per_mm < 1.0 / LEAST_SPACING_MM)
    return float(1.0 / per_mm[wanted][power[wanted].argmax()])
