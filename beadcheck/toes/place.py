"""Both toes to sub-pixel: the toe placer looks along each traced toe."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.finder import HALF_ROWS, toe_offsets
from beadcheck.toes.trace import TracedToe, TracedWeld

STRIP_WIDTH_PX: Final = 80.0
"""Width of the weld in the picture that toe strips are cut from: the placer knows 50 to 110."""
ROUNDS: Final = 2
"""The second look starts from the first one's line, so that the toe lies in the strip's middle."""
GUIDE_MM: Final = 0.5
"""The strip follows the guess smoothed by this standard deviation along the weld: less than the
placer sees at once, so its own answer is not smoothed."""
SMOOTHING_MM: Final = 0.35
"""Averaging of the answer along the weld, standard deviation: about 1 mm of weld to a station."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlacedToe:
    """One toe at C places along the weld.

    Attributes
    ----------
    across_mm
        (C,) place of the toe across the weld.
    doubt_mm
        (C,) mean absolute error that the placer expects of itself.
    moved_mm
        (C,) distance from the traced line: where two ways of finding the toe disagree.
    contrast
        (C,) the tracer's contrast from weld to base metal.
    """

    across_mm: NDArray[np.float64]
    doubt_mm: NDArray[np.float64]
    moved_mm: NDArray[np.float64]
    contrast: NDArray[np.float64]


def place_toes(bead: BeadMap, traced: TracedWeld, width_mm: float) -> tuple[PlacedToe, PlacedToe]:
    """Place the left and the right toe at the columns of the traced weld."""
    scale = min(1.0, STRIP_WIDTH_PX / (width_mm * bead.px_per_mm))
    size = (round(bead.s_mm.size * scale), round(bead.across_mm.size * scale))
    picture = cv2.resize(bead.bgr, size, interpolation=cv2.INTER_AREA)
    columns = _Columns(bead=bead, picture=np.asarray(picture, dtype=np.uint8))
    return (
        _placed(columns, traced.left, traced.s_mm, -1),
        _placed(columns, traced.right, traced.s_mm, 1),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Columns:
    """A bead map at the placer's scale."""

    bead: BeadMap
    picture: NDArray[np.uint8]

    @property
    def pitch_mm(self) -> float:
        """Pitch of the picture's columns."""
        return float(self.bead.s_mm.size / self.picture.shape[1] / self.bead.px_per_mm)

    @property
    def row_pitch_mm(self) -> float:
        """Pitch of the picture's rows."""
        return float(self.bead.across_mm.size / self.picture.shape[0] / self.bead.px_per_mm)

    @property
    def s_mm(self) -> NDArray[np.float64]:
        """(C,) places of the columns."""
        edge = self.bead.s_mm[0] - 0.5 / self.bead.px_per_mm
        return np.asarray(edge + (np.arange(self.picture.shape[1]) + 0.5) * self.pitch_mm)

    def rows(self, across_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Rows of places across the weld."""
        edge = self.bead.across_mm[0] - 0.5 / self.bead.px_per_mm
        return np.asarray((across_mm - edge) / self.row_pitch_mm - 0.5)


def _placed(
    columns: _Columns, traced: TracedToe, traced_s_mm: NDArray[np.float64], sign: int
) -> PlacedToe:
    s_mm = columns.s_mm
    guess = np.interp(s_mm, traced_s_mm, traced.across_mm)
    across = guess
    for _ in range(ROUNDS):
        guide = gaussian_filter1d(across, GUIDE_MM / columns.pitch_mm, mode="nearest")
        offsets = toe_offsets(_toe_strip(columns, guide, sign))
        across = guide + sign * offsets.offset_px * columns.row_pitch_mm
    across = gaussian_filter1d(across, SMOOTHING_MM / columns.pitch_mm, mode="nearest")
    doubt = gaussian_filter1d(
        offsets.doubt_px * columns.row_pitch_mm, SMOOTHING_MM / columns.pitch_mm, mode="nearest"
    )
    return PlacedToe(
        across_mm=np.interp(traced_s_mm, s_mm, across),
        doubt_mm=np.interp(traced_s_mm, s_mm, doubt),
        moved_mm=np.interp(traced_s_mm, s_mm, across - guess),
        contrast=traced.contrast,
    )


def _toe_strip(columns: _Columns, guide_mm: NDArray[np.float64], sign: int) -> NDArray[np.uint8]:
    """Strip along a guide line, weld in its first rows: (2 `HALF_ROWS` + 1, C, 3)."""
    steps = np.arange(-HALF_ROWS, HALF_ROWS + 1)
    rows = columns.rows(guide_mm)[None, :] + sign * steps[:, None]
    at = np.broadcast_to(np.arange(guide_mm.size, dtype=np.float32), rows.shape)
    strip = cv2.remap(
        columns.picture,
        np.ascontiguousarray(at),
        rows.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(strip, dtype=np.uint8)
