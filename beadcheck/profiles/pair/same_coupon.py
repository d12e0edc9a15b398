"""Whether the photos of a set show one coupon at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cast import Cast, cast_on
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.ground import Picture
from beadcheck.surface.joint import JointSurface, PairView

Floats = NDArray[np.float64]

PER_MM: Final = 5.0
MARKS_MM: Final = (0.2, 1.0)
"""Standard deviations between which marks lie: ripples, scratches, spatter."""
EVEN_MM: Final = 1.5
"""Marks are compared as if all over the picture they were as strong as within this."""
FAINT: Final = 0.3
"""But not those fainter than this part of the usual strength."""
HEIGHTS_MM: Final = (-2.0, 5.0)
NEAR_MM: Final = 0.6
FAR_MM: Final = (20.0, 4.0)
"""How far along and across a chance agreement is looked for."""
PAPER_MARGIN_MM: Final = 1.0
WHOLLY: Final = 0.99
LEAST_SHARED: Final = 0.3
"""Part of the picture that a displacement must leave in common."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Marks:
    """What is compared of one photo: marks, and where it shows bare metal; (R, C) each."""

    marks: Picture
    metal: Picture


def shows_another(cells: Cells, views: Sequence[PairView], joint: JointSurface) -> bool:
    """Whether no further photo shows the marks of the first one where they belong.

    Over all displacements the marks of one coupon agree best at one that a height explains; those
    of two coupons agree there no better than elsewhere.
    """
    paper = cells.ground.within(joint.surfaces[0].target_outline_mm(), PAPER_MARGIN_MM)
    casts = [
        cast_on(cells, view.photo, surface)
        for view, surface in zip(views, joint.surfaces, strict=True)
    ]
    shrink = max(1, round(cells.ground.px_per_mm / PER_MM))
    px_per_mm = cells.ground.px_per_mm / shrink
    first, *others = (_marks_of(cast, paper, shrink, px_per_mm) for cast in casts)
    return all(
        _by_chance(first, other, _apart(casts[0], cast), px_per_mm)
        for other, cast in zip(others, casts[1:], strict=True)
    )


def _apart(one: Cast, other: Cast) -> Floats:
    """(2,) along and across: by how much a mm of height moves the photos apart, in mm."""
    return np.asarray((other.first - one.first).mean(axis=(1, 2)), dtype=np.float64)


def _marks_of(cast: Cast, paper: NDArray[np.bool_], shrink: int, px_per_mm: float) -> _Marks:
    tone = cv2.GaussianBlur(cast.tone, (0, 0), MARKS_MM[0] * px_per_mm * shrink)
    size = tone.shape[1] // shrink, tone.shape[0] // shrink
    small, metal = (
        np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
        for picture in (tone, (cast.inside & ~paper).astype(np.float32))
    )
    bare = cv2.erode((metal > WHOLLY).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    marks = np.where(bare, small - _blurred(small, MARKS_MM[1] * px_per_mm), 0.0)
    # Toes and rolling marks run along the weld and agree wherever they are moved along it.
    marks -= marks.sum(axis=1, keepdims=True) / np.maximum(bare.sum(axis=1, keepdims=True), 1)
    marks = np.where(bare, marks, 0.0).astype(np.float32)
    usual = float(np.mean(np.square(marks)[bare])) if bare.any() else 1.0
    strength = np.sqrt(_blurred(np.square(marks), EVEN_MM * px_per_mm) + FAINT**2 * usual)
    return _Marks(marks=marks / np.maximum(strength, 1e-9), metal=bare.astype(np.float32))


def _by_chance(one: _Marks, other: _Marks, apart: Floats, px_per_mm: float) -> bool:
    """Whether marks agree elsewhere as well as where a height puts them."""
    agreement = _agreement(one, other)
    rows, columns = agreement.shape
    across_mm = ((np.arange(rows) - rows // 2) / px_per_mm)[:, None]
    along_mm = ((np.arange(columns) - columns // 2) / px_per_mm)[None, :]
    # How far a displacement lies from those that heights explain: a piece of a straight line.
    length2 = max(float(apart @ apart), 1e-12)
    height_mm = np.clip((along_mm * apart[0] + across_mm * apart[1]) / length2, *HEIGHTS_MM)
    off_mm = np.hypot(along_mm - height_mm * apart[0], across_mm - height_mm * apart[1])
    near = off_mm < NEAR_MM
    far = ~near & (np.abs(along_mm) < FAR_MM[0]) & (np.abs(across_mm) < FAR_MM[1])
    there, elsewhere = (
        float(np.max(agreement, where=where & np.isfinite(agreement), initial=0.0))
        for where in (near, far)
    )
    return there <= elsewhere


def _agreement(one: _Marks, other: _Marks) -> Floats:
    """Correlation for every displacement, none in the middle; NaN where hardly any is shared."""
    shape = [2 * size for size in one.marks.shape]

    def against(left: Picture, right: Picture) -> Floats:
        product = np.conj(np.fft.rfft2(left, shape)) * np.fft.rfft2(right, shape)
        return np.asarray(np.fft.irfft2(product, shape), dtype=np.float64)

    shared = against(one.metal, other.metal)
    power = against(np.square(one.marks), other.metal) * against(one.metal, np.square(other.marks))
    correlation = against(one.marks, other.marks) / np.sqrt(np.maximum(power, 1e-6))
    correlation[shared < LEAST_SHARED * shared.max()] = np.nan
    return np.fft.fftshift(correlation)


def _blurred(picture: Picture, sigma_px: float) -> Picture:
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), sigma_px), dtype=np.float32)
