"""How well two photos agree that a place of the surface has a height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair.cast import Cast
from beadcheck.profiles.pair.cells import Cells, Volume
from beadcheck.profiles.pair.grain import curvature_along, taken_at, windowed
from beadcheck.profiles.pair.ground import Picture
from beadcheck.side_by_side import side_by_side

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
    finer
        How many times finer than the ground signals are laid, by cubics, once: between those places
        straight lines do, which are taken 2.5 times as fast. On the ground itself a straight line
        halves grain of a pixel or two half-way between neighbours, so that heights which move both
        photos by whole pixels look likelier.
    """

    grains_mm: tuple[float, float]
    finest_px: tuple[float, float]
    window_mm: tuple[float, float]
    least_likeness: float
    finer: int


FINE: Final = Look(
    grains_mm=(0.05, 0.1),
    finest_px=(0.5, 0.9),
    window_mm=(1.0, 0.35),
    least_likeness=0.42,
    finer=3,
)
"""For ground or brushed steel: fine grain belongs to the metal, broad light to the lamp."""
BROAD: Final = Look(
    grains_mm=(0.2, 0.3),
    finest_px=(1.5, 2.0),
    window_mm=(1.5, 0.7),
    least_likeness=0.35,
    finer=1,
)
"""For steel that has no grain finer than the picture's noise."""
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
    """What is compared of one photo on the ground of cells.

    Attributes
    ----------
    signals
        Of the ground, or laid finer: fine and less fine grain.
    traits
        (R, C, 4) of the cells: weight, shading, and the mean square of both signals in the window
        about the cell, noise added.
    """

    cast: Cast
    signals: tuple[Picture, ...]
    traits: Picture


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """Two photos made ready to be compared.

    Attributes
    ----------
    grains
        Of the first and the second photo.
    px_per_height
        Places of the ground by which both photos move apart for each mm of height.
    window_cells
        Standard deviations of the look's window, along and across the weld.
    ground_at
        Column and row in the signals of each place of the ground.
    cells_at
        Column and row of each cell.
    """

    cells: Cells
    look: Look
    grains: tuple[Grain, Grain]
    px_per_height: float
    window_cells: tuple[float, float]
    ground_at: Picture
    cells_at: Picture

    def at(self, height_mm: Picture | np.float32) -> Picture:
        """(R, C) evidence that the surface lies at these heights; 0 is none."""
        (signals, one), (others, other) = (self._moved(grain, height_mm) for grain in self.grains)
        shade = (one[..., 1] - other[..., 1]) / np.float32(SHADE_TOLERANCE)
        likeness = np.zeros(self.cells.shape, dtype=np.float32)
        for number, (signal, same) in enumerate(zip(signals, others, strict=True)):
            common = windowed(self.cells.means(signal * same), self.window_cells)
            common /= np.sqrt(one[..., 2 + number] * other[..., 2 + number])
            likeness += np.square(np.maximum(common - np.float32(self.look.least_likeness), 0.0))
        return np.asarray(likeness * one[..., 0] * other[..., 0] * np.exp(-shade * shade))

    def _moved(
        self, grain: Grain, height_mm: Picture | np.float32
    ) -> tuple[tuple[Picture, ...], Picture]:
        """Signals and traits where the photo shows points of these heights."""
        beside_mm = grain.cast.beside_mm(height_mm)
        ground, size_mm = self.cells.ground, self.cells.size_mm[::-1]
        signals_per_mm = np.float32(self.look.finer * ground.px_per_mm)
        places, cells = [], []
        for plane_mm, ground_at, cells_at, cell_mm in zip(
            beside_mm, self.ground_at, self.cells_at, size_mm, strict=True
        ):
            wide = cv2.resize(plane_mm * signals_per_mm, ground.shape[::-1])
            places.append(wide + ground_at)
            cells.append(plane_mm / np.float32(cell_mm) + cells_at)
        columns, rows = places
        signals = tuple(taken_at(each, columns, rows) for each in grain.signals)
        return signals, taken_at(grain.traits, cells[0], cells[1])


def evidence_of(cells: Cells, casts: tuple[Cast, Cast], look: Look) -> Evidence:
    """Make two photos on the ground of the same cells ready to be compared."""
    px_per_mm = cells.ground.px_per_mm
    apart = casts[1].first - casts[0].first
    middle = apart[:, apart.shape[1] // 2, apart.shape[2] // 2].astype(np.float64)
    apart_mm = float(np.hypot(*middle))
    along_px, across_px = (max(width * px_per_mm, FINEST_WINDOW_PX) for width in look.window_mm)
    rows, columns = cells.pitch
    window_cells = (along_px / columns, across_px / rows)
    one, other = (_grain(cells, cast, look, middle / apart_mm, window_cells) for cast in casts)
    return Evidence(
        cells=cells,
        look=look,
        grains=(one, other),
        px_per_height=apart_mm * px_per_mm,
        window_cells=window_cells,
        ground_at=look.finer * _grid(cells.ground.shape) + np.float32(0.5 * (look.finer - 1)),
        cells_at=_grid(cells.shape),
    )


def evidence_volume(evidences: Sequence[Evidence], levels_mm: Floats) -> Volume:
    """(H, R, C) evidence of all pairs of photos for each height over the base metal."""

    def level(level_mm: np.float64) -> Picture:
        return np.asarray(np.sum([e.at(np.float32(level_mm)) for e in evidences], axis=0))

    return np.stack(side_by_side(level, list(levels_mm)))


def _grid(shape: tuple[int, int]) -> Picture:
    """(2, R, C) column and row of every place."""
    columns, rows = (np.arange(count, dtype=np.float32) for count in shape[::-1])
    return np.stack(np.meshgrid(columns, rows))


def _grain(
    cells: Cells, cast: Cast, look: Look, along: Floats, window_cells: tuple[float, float]
) -> Grain:
    px_per_mm = cells.ground.px_per_mm
    signals = tuple(
        curvature_along(cast.tone, along, max(grain_mm * px_per_mm, least_px))
        for grain_mm, least_px in zip(look.grains_mm, look.finest_px, strict=True)
    )
    powers, here = [], np.ones(cells.shape, dtype=np.float32)
    for signal in signals:
        square = cells.means(signal * signal)
        power = windowed(square, window_cells)
        near = windowed(square, (window_cells[0], NEAR_SHARE * window_cells[1]))
        noise2 = float(np.quantile(power, NOISE_QUANTILE))
        powers.append(np.maximum(power + np.float32(NOISE_COUNTS**2 * noise2), 1e-12))
        here = np.minimum(here, near / np.maximum(np.float32(LEAST_NEAR) * power, 1e-12))
    weight = cells.means(_away_from_glints(cast.tone, px_per_mm) * cast.inside) * here
    traits = np.stack([weight, _shade(cells, cast.tone), *powers], axis=2)
    return Grain(
        cast=cast,
        signals=tuple(_laid_finer(signal, look.finer) for signal in signals),
        traits=traits.astype(np.float32),
    )


def _laid_finer(signal: Picture, finer: int) -> Picture:
    if finer == 1:
        return signal
    return np.asarray(cv2.resize(signal, None, fx=finer, fy=finer, interpolation=cv2.INTER_CUBIC))


def _shade(cells: Cells, tone: Picture) -> Picture:
    """(R, C) light and shade broader than grain and narrower than the fall of a lamp's light."""
    across_mm, along_mm = cells.size_mm
    narrow, broad = (
        windowed(cells.means(tone), (width_mm / along_mm, width_mm / across_mm))
        for width_mm in SHADE_MM
    )
    return narrow - broad


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
