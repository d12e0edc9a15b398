"""Both toes as continuous lines to sub-pixel, and how sure each station is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.finder import weld_likelihood
from beadcheck.toes.edge_paths import edge_paths
from beadcheck.toes.locate import LocatedWeld

LikelihoodAt = Callable[[Axis, NDArray[np.float64], NDArray[np.float64]], NDArray[np.float32]]

STRIP_WIDTH_PX: Final = 40.0
"""Width of the weld in the strip that the finder sees: well within what it was trained for, and
cheap; the placer settles the last fraction of a pixel."""
SPAN_WIDTHS: Final = 1.5
"""The strip reaches this many weld widths to either side of the axis."""
WINDOW_WIDTHS: Final = 0.22
"""The toe's place is settled within this many weld widths of its path."""
SMOOTHING_MM: Final = 0.45
"""Standard deviation of the averaging along the weld: about 1 mm of weld to a station."""
GAP_WIDTHS: Final = 0.3
"""Base metal this wide, in weld widths, lies between two welds; less may be a line of glare or dirt
on one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedToe:
    """One toe along the columns of a strip.

    Attributes
    ----------
    across_mm
        (C,) place of the toe across the weld.
    softness_mm
        (C,) half the width of the finder's step from base metal to weld: how sharp the toe is.
    contrast
        (C,) likelihood just inside less likelihood just outside: 1 for a clear toe, 0 for none.
    """

    across_mm: NDArray[np.float64]
    softness_mm: NDArray[np.float64]
    contrast: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedWeld:
    """Both toes at C places along a strip.

    Attributes
    ----------
    middle_likelihood
        (C,) likelihood of weld midway between the toes.
    seen
        (C,) whether the photo shows the weld's middle there.
    core_mm
        Ends of the part that was located, along the weld.
    width_mm
        Rough weld width there.
    likelihood, across_mm
        (R, C) likelihood of weld, and the (R,) places of its rows.
    """

    s_mm: NDArray[np.float64]
    left: TracedToe
    right: TracedToe
    middle_likelihood: NDArray[np.float64]
    seen: NDArray[np.bool_]
    core_mm: tuple[float, float]
    width_mm: float
    likelihood: NDArray[np.float32]
    across_mm: NDArray[np.float64]

    def mean_likelihood(
        self, start_mm: NDArray[np.float64], end_mm: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """(C,) mean likelihood of weld from one place across the weld to another, per column."""
        pitch = float(self.across_mm[1] - self.across_mm[0])
        total = np.vstack([np.zeros(self.s_mm.size), np.cumsum(self.likelihood, axis=0)])
        columns = np.arange(self.s_mm.size)

        def up_to(place_mm: NDArray[np.float64]) -> NDArray[np.float64]:
            row = np.clip((place_mm - self.across_mm[0]) / pitch + 0.5, 0, self.across_mm.size - 1)
            whole = row.astype(int)
            below = total[whole, columns]
            return np.asarray(below + (row - whole) * (total[whole + 1, columns] - below))

        return (up_to(end_mm) - up_to(start_mm)) * pitch / np.maximum(end_mm - start_mm, pitch)


def trace_toes(
    bead: BeadMap, weld: LocatedWeld, likelihood_at: LikelihoodAt | None = None
) -> TracedWeld:
    """Follow both toes through a map along the weld that reaches `SPAN_WIDTHS` to either side.

    Parameters
    ----------
    likelihood_at
        Likelihood of weld at places along and across the axis, where it is known from a wider
        view; else the finder is asked about the map.
    """
    scale = min(1.0, STRIP_WIDTH_PX / (weld.width_mm * bead.px_per_mm))
    size = (max(32, round(bead.s_mm.size * scale)), max(32, round(bead.across_mm.size * scale)))
    seen = cv2.resize(bead.seen.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0
    s_mm, across_mm = _pixel_centres(bead.s_mm, size[0]), _pixel_centres(bead.across_mm, size[1])
    if likelihood_at is None:
        strip = cv2.resize(bead.bgr, size, interpolation=cv2.INTER_AREA)
        likelihood = weld_likelihood(np.asarray(strip, dtype=np.uint8))
    else:
        likelihood = likelihood_at(bead.axis, s_mm, across_mm)
    likelihood = np.where(seen, likelihood, np.float32(0.0))
    return follow_toes(
        likelihood,
        seen,
        s_mm=s_mm,
        across_mm=across_mm,
        core_mm=weld.s_range_mm,
        width_mm=weld.width_mm,
    )


def follow_toes(
    likelihood: NDArray[np.float32],
    seen: NDArray[np.bool_],
    *,
    s_mm: NDArray[np.float64],
    across_mm: NDArray[np.float64],
    core_mm: tuple[float, float],
    width_mm: float,
) -> TracedWeld:
    """Follow both toes through the likelihood of weld.

    Parameters
    ----------
    likelihood, seen
        (R, C) share of each pixel that is weld, and whether the photo shows it.
    s_mm, across_mm
        (C,) and (R,) places of the columns and rows, evenly spaced.
    core_mm
        Ends of the part where the weld was located, along the weld.
    width_mm
        Rough weld width.
    """
    pitch_mm = float(across_mm[1] - across_mm[0])
    middle = _middle_rows(likelihood, across_mm, width_mm)
    reach = max(4, round(WINDOW_WIDTHS * width_mm / pitch_mm))
    paths = edge_paths(likelihood, middle, max(3, round(GAP_WIDTHS * width_mm / pitch_mm)))
    left, right = (
        _settled(likelihood, path, sign, reach, across_mm, s_mm)
        for path, sign in zip(paths, (-1, 1), strict=True)
    )
    columns = np.arange(s_mm.size)
    return TracedWeld(
        s_mm=s_mm,
        left=left,
        right=right,
        middle_likelihood=likelihood[middle, columns].astype(np.float64),
        seen=seen[middle, columns],
        core_mm=core_mm,
        width_mm=width_mm,
        likelihood=likelihood,
        across_mm=across_mm,
    )


def _pixel_centres(places: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Places of `count` pixels that cover the same length as the given pixels do."""
    pitch = (places[-1] - places[0]) / (places.size - 1)
    whole = pitch * places.size
    return np.asarray(places[0] - 0.5 * pitch + (np.arange(count) + 0.5) * whole / count)


def _middle_rows(
    likelihood: NDArray[np.float32], across_mm: NDArray[np.float64], width_mm: float
) -> NDArray[np.int_]:
    """Row of the weld's middle in each column: a smooth line through the likelihood's centre."""
    near = np.abs(across_mm) <= 1.2 * width_mm
    mass = likelihood[near].sum(axis=0).astype(np.float64)
    moment = (likelihood[near] * across_mm[near, None]).sum(axis=0)
    pitch = across_mm[1] - across_mm[0]
    smooth = 1.5 * width_mm / pitch
    mass_smooth = gaussian_filter1d(mass, smooth, mode="nearest")
    moment_smooth = gaussian_filter1d(moment.astype(np.float64), smooth, mode="nearest")
    centre = moment_smooth / np.maximum(mass_smooth, 1e-3)
    rows = np.round((centre - across_mm[0]) / pitch).astype(int)
    return np.asarray(np.clip(rows, 2, across_mm.size - 3))


def _settled(
    likelihood: NDArray[np.float32],
    path: NDArray[np.int_],
    sign: int,
    reach: int,
    across_mm: NDArray[np.float64],
    s_mm: NDArray[np.float64],
) -> TracedToe:
    """Sub-pixel place of a toe by the area under the likelihood's step around its path.

    The finder's likelihood is the share of a pixel that is weld, so the area under it is the
    toe's place whatever its blur.
    """
    pitch_mm = float(across_mm[1] - across_mm[0])
    smooth = SMOOTHING_MM / float(s_mm[1] - s_mm[0])
    offsets = np.arange(-reach, reach + 1)
    centre = gaussian_filter1d(path.astype(np.float64), 2.0 * smooth, mode="nearest")
    for _ in range(2):
        rows = np.clip(centre[None, :] + offsets[:, None], 0, across_mm.size - 1)
        window = cv2.remap(
            likelihood,
            np.broadcast_to(np.arange(path.size, dtype=np.float32), rows.shape).copy(),
            rows.astype(np.float32),
            cv2.INTER_LINEAR,
        ).astype(np.float64)
        window = gaussian_filter1d(window, smooth, axis=1, mode="nearest")
        if sign < 0:
            window = window[::-1]
        # Inner rows come first: the step falls from inside to outside.
        inside = window[: max(1, reach // 3)].mean(axis=0)
        outside = window[-max(1, reach // 3) :].mean(axis=0)
        contrast = inside - outside
        share = np.clip((window - outside) / np.maximum(contrast, 0.05), 0.0, 1.0)
        centre = centre + sign * (share.sum(axis=0) - reach - 0.5)
        centre = np.clip(centre, reach, across_mm.size - 1 - reach)
    softness_mm = 2.0 * (share * (1.0 - share)).sum(axis=0) * pitch_mm
    return TracedToe(
        across_mm=across_mm[0] + centre * pitch_mm,
        softness_mm=softness_mm,
        contrast=np.clip(contrast, 0.0, 1.0),
    )
