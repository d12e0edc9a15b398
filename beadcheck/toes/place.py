"""Both toes to sub-pixel: the toe placer looks along each traced toe."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.finder import HALF_ROWS, toe_offsets
from beadcheck.side_by_side import both
from beadcheck.toes.trace import TracedToe, TracedWeld

SEARCH_WIDTH_PX: Final = 80.0
FINAL_WIDTH_PX: Final = 150.0
"""Width of the weld in the pictures that toe strips are cut from, at most: the placer knows 50 to
165. The last look is taken as finely as the photo allows."""
CLEAR_DOUBT_WIDTHS: Final = 0.06
"""Places with less doubt than this part of the width guide their neighbours."""
BRIDGE_MM: Final = 5.0
"""A toe is bridged over unclear places by its clear ones within about this distance."""
GUIDE_MM: Final = 0.5
"""The last strip follows the line found before, smoothed by this standard deviation along the weld:
less than the placer sees at once, so its own answer is not smoothed."""
SMOOTHING_MM: Final = 0.35
"""Averaging of the answer along the weld, standard deviation: about 1 mm of weld to a station."""


Given = TypeVar("Given")
Done = TypeVar("Done")

SIGNS: Final = (-1, 1)
"""Outwards across the weld: the left toe's way, and the right one's."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Look:
    """What the placer says of one toe at every column of a map at some scale."""

    s_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    doubt_mm: NDArray[np.float64]


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
        (C,) distance from the line along which the placer looked, bridged from its neighbours.
    hand_u_mm
        (C,) standard uncertainty that a person's hand adds; 0 where the finder placed the toe.
    """

    across_mm: NDArray[np.float64]
    doubt_mm: NDArray[np.float64]
    moved_mm: NDArray[np.float64]
    hand_u_mm: NDArray[np.float64]


def first_looks(rough: BeadMap, traced: TracedWeld, width_mm: float) -> tuple[Look, Look]:
    """Look along both traced lines in a rough map: enough to correct axis and width."""
    columns = _columns(rough, SEARCH_WIDTH_PX / width_mm)

    def looked(toe: TracedToe, sign: int) -> Look:
        return _look(columns, np.interp(columns.s_mm, traced.s_mm, toe.across_mm), sign)

    return _for_each_toe(looked, (traced.left, traced.right))


def place_toes(
    rough: BeadMap,
    bead: BeadMap,
    traced: TracedWeld,
    *,
    looks: tuple[Look, Look],
    width_mm: float,
) -> tuple[PlacedToe, PlacedToe]:
    """Place the left and the right toe at the columns of the traced weld.

    Two more looks: in the rough map along lines that bridge what was unclear by the clear places
    around it and by the other toe; and in the map at the photo's own scale along what was then
    found.
    """
    coarse = _columns(rough, SEARCH_WIDTH_PX / width_mm)
    fine = _columns(bead, FINAL_WIDTH_PX / width_mm)

    def placed(bridge: NDArray[np.float64], sign: int) -> PlacedToe:
        second = _look(coarse, bridge, sign)
        guide = np.interp(fine.s_mm, coarse.s_mm, _smoothed(second.across_mm, GUIDE_MM, coarse))
        last = _look(fine, guide, sign)
        across, doubt = (
            np.interp(traced.s_mm, fine.s_mm, _smoothed(values, SMOOTHING_MM, fine))
            for values in (last.across_mm, last.doubt_mm)
        )
        return PlacedToe(
            across_mm=across,
            doubt_mm=doubt,
            moved_mm=across - np.interp(traced.s_mm, coarse.s_mm, bridge),
            hand_u_mm=np.zeros_like(across),
        )

    return _for_each_toe(placed, _bridged(looks, coarse, width_mm))


def _for_each_toe(
    work: Callable[[Given, int], Done], given: tuple[Given, Given]
) -> tuple[Done, Done]:
    """Do the same for the left and the right toe, each with its sign, at once where possible."""
    left, right = (partial(work, *each) for each in zip(given, SIGNS, strict=True))
    return both(left, right)


def look_along(
    bead: BeadMap,
    s_mm: NDArray[np.float64],
    across_mm: NDArray[np.float64],
    *,
    sign: int,
    width_px: float,
    width_mm: float,
) -> Look:
    """Look once along a given line, at a scale that shows the weld `width_px` wide at most."""
    columns = _columns(bead, width_px / width_mm)
    return _look(columns, np.interp(columns.s_mm, s_mm, across_mm), sign)


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


def _columns(bead: BeadMap, px_per_mm: float) -> _Columns:
    """Reduce the map to a scale; it is never enlarged."""
    scale = min(1.0, px_per_mm / bead.px_per_mm)
    size = (round(bead.s_mm.size * scale), round(bead.across_mm.size * scale))
    picture = cv2.resize(bead.bgr, size, interpolation=cv2.INTER_AREA)
    return _Columns(bead=bead, picture=np.asarray(picture, dtype=np.uint8))


def _look(columns: _Columns, guide_mm: NDArray[np.float64], sign: int) -> Look:
    offsets = toe_offsets(_toe_strip(columns, guide_mm, sign))
    return Look(
        s_mm=columns.s_mm,
        across_mm=guide_mm + sign * offsets.offset_px * columns.row_pitch_mm,
        doubt_mm=offsets.doubt_px * columns.row_pitch_mm,
    )


def _smoothed(values: NDArray[np.float64], sd_mm: float, columns: _Columns) -> NDArray[np.float64]:
    return np.asarray(gaussian_filter1d(values, sd_mm / columns.pitch_mm, mode="nearest"))


def _bridged(
    looks: tuple[Look, Look], columns: _Columns, width_mm: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Smooth guesses of both toes from their clear places, and from the other toe elsewhere."""
    lines, weights = [], []
    for look in looks:
        weight = 1.0 / (1.0 + (look.doubt_mm / (CLEAR_DOUBT_WIDTHS * width_mm)) ** 4)
        near = _smoothed(weight, BRIDGE_MM, columns)
        lines.append(_smoothed(weight * look.across_mm, BRIDGE_MM, columns) / (near + 1e-9))
        weights.append(near)
    both = weights[0] * weights[1]
    apart = float(np.sum(both * (lines[1] - lines[0])) / (np.sum(both) + 1e-9))
    share = weights[0] / (weights[0] + weights[1] + 1e-9)
    middle = share * (lines[0] + 0.5 * apart) + (1.0 - share) * (lines[1] - 0.5 * apart)
    trust = [weight / (weight + 0.25) for weight in weights]
    return (
        trust[0] * lines[0] + (1.0 - trust[0]) * (middle - 0.5 * apart),
        trust[1] * lines[1] + (1.0 - trust[1]) * (middle + 0.5 * apart),
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
