"""What a network is shown of two photos: how alike they are at every height, and how they look."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.finder import HEIGHTS_MM
from beadcheck.profiles.pair.cast import Cast
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.grain import curvature_along, taken_at, windowed
from beadcheck.profiles.pair.ground import Picture
from beadcheck.profiles.pair.layout import Layout
from beadcheck.side_by_side import side_by_side

GRAINS_MM: Final = (0.06, 0.18)
FINEST_PX: Final = (0.6, 1.4)
"""Standard deviations of the grain that is compared, fine and broad, and the least in pixels."""
FINER: Final = 2
"""Signals are laid this many times finer, by cubics, once: between, straight lines do."""
WINDOW_MM: Final = (0.8, 0.3)
FINEST_WINDOW_PX: Final = 1.8
"""Standard deviations, along and across the weld, of the window in which grain is compared."""
NOISE_QUANTILE: Final = 0.05
"""The smoothest twentieth of the ground shows what is noise."""
FARTHEST_MM: Final = 6.0
"""Distances from the toes are told up to this."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Seen:
    """One photo made ready to be compared.

    Attributes
    ----------
    signals
        (FINER R, FINER C, 2) grain of the ground, fine and broad.
    powers
        (R, C, 2) of the cells: mean squares of the grain about them, noise added.
    """

    cast: Cast
    signals: Picture
    powers: Picture


def comparison(layout: Layout, first: Cast, other: Cast) -> NDArray[np.float32]:
    """(P, R, C) planes of a pair of photos over cells.

    The correlation of both grains at each of `HEIGHTS_MM`; how bright both photos are (logarithms
    from their medians, where they show the nominal base metal); what both show; what paper covers;
    how far inside the weld a cell lies (mm over `FARTHEST_MM`, negative outside); and, the same all
    over, how far the photos move apart along and across for a mm of height, and the scale.
    """
    cells, casts = layout.cells, (first, other)
    seen = [_seen(cells, cast, _apart(casts)) for cast in casts]
    window = _window_cells(cells)

    def level(level_mm: np.float64) -> Picture:
        height = np.full(cells.shape, level_mm, dtype=np.float32)
        (signals, powers), (others, more) = (_moved(cells, each, height) for each in seen)
        common = windowed(cells.means(signals * others), window)
        return np.asarray(common / np.sqrt(powers * more))

    alike = np.stack(side_by_side(level, list(HEIGHTS_MM)))
    return np.concatenate([alike[..., 0], alike[..., 1], _looks(layout, casts)]).astype(np.float32)


def _apart(casts: tuple[Cast, Cast]) -> NDArray[np.float64]:
    """(2,) mm along and across by which height moves the photos apart, at the middle."""
    apart = casts[1].first - casts[0].first
    return apart[:, apart.shape[1] // 2, apart.shape[2] // 2].astype(np.float64)


def _looks(layout: Layout, casts: tuple[Cast, Cast]) -> Picture:
    """(8, R, C) of what is not compared."""
    cells = layout.cells
    tones = [cells.means(cast.tone) for cast in casts]
    inside = cells.means((casts[0].inside & casts[1].inside).astype(np.float32))
    left, right = layout.toes.at(cells.s_mm)
    across = cells.across_mm[:, None]
    within = np.clip(np.minimum(across - left, right - across), -FARTHEST_MM, FARTHEST_MM)
    same = [np.full(cells.shape, value) for value in (*_apart(casts), _scale(cells))]
    return np.stack(
        [
            *(tone - np.float32(np.median(tone)) for tone in tones),
            inside,
            layout.covered.astype(np.float32),
            (within / FARTHEST_MM).astype(np.float32),
            *(value.astype(np.float32) for value in same),
        ]
    )


def _scale(cells: Cells) -> float:
    return float(np.log(cells.ground.px_per_mm / 10.0))


def _window_cells(cells: Cells) -> tuple[float, float]:
    along_px, across_px = (
        max(width * cells.ground.px_per_mm, FINEST_WINDOW_PX) for width in WINDOW_MM
    )
    rows, columns = cells.pitch
    return along_px / columns, across_px / rows


def _seen(cells: Cells, cast: Cast, apart: NDArray[np.float64]) -> _Seen:
    px_per_mm = cells.ground.px_per_mm
    along = apart / np.hypot(*apart)
    signals = [
        curvature_along(cast.tone, along, max(grain_mm * px_per_mm, least_px))
        for grain_mm, least_px in zip(GRAINS_MM, FINEST_PX, strict=True)
    ]
    powers = []
    for signal in signals:
        power = windowed(cells.means(signal * signal), _window_cells(cells))
        powers.append(np.maximum(power + np.float32(np.quantile(power, NOISE_QUANTILE)), 1e-12))
    laid = [
        cv2.resize(signal, None, fx=FINER, fy=FINER, interpolation=cv2.INTER_CUBIC)
        for signal in signals
    ]
    return _Seen(cast=cast, signals=np.stack(laid, axis=2), powers=np.stack(powers, axis=2))


def _moved(cells: Cells, seen: _Seen, height_mm: Picture) -> tuple[Picture, Picture]:
    """Signals on the ground and powers on the cells, where the photo shows points so high."""
    beside_mm = seen.cast.beside_mm(height_mm)
    ground = cells.ground
    rows, columns = ground.shape
    per_mm = np.float32(FINER * ground.px_per_mm)
    places, at_cells = [], []
    for plane_mm, count, cell_count, cell_mm, direction in zip(
        beside_mm, (columns, rows), cells.shape[::-1], cells.size_mm[::-1], (1, 0), strict=True
    ):
        wide = cv2.resize(plane_mm * per_mm, (columns, rows), interpolation=cv2.INTER_LINEAR)
        first = FINER * np.arange(count, dtype=np.float32) + np.float32(0.5 * (FINER - 1))
        wide += np.expand_dims(first, 1 - direction)
        places.append(wide)
        own = np.arange(cell_count, dtype=np.float32)
        at_cells.append(plane_mm / np.float32(cell_mm) + np.expand_dims(own, 1 - direction))
    return taken_at(seen.signals, *places), taken_at(seen.powers, *at_cells)
