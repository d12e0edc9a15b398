"""The weld of several photos laid out flat: one picture from its beginning to its end."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.report.whole.cut import WeldCut
from beadcheck.report.whole.even_light import gains
from beadcheck.report.whole.way import Way, ways
from beadcheck.result import Result, WholeWeldRecord

Floats = NDArray[np.float64]

BESIDE: Final = 0.45
"""Base metal shown beside either toe, as a part of the weld's greatest width."""
FINEST_PX_PER_MM: Final = 16.0
HALF_STATION_MM: Final = 0.5
BLEND_MM: Final = 3.0
"""Over this length one photo gives way to the next."""
COMPARED_MM: Final = 1.0
"""Distance between the columns by which the brightness of photos is compared."""
UNSEEN_BGR: Final = (222, 222, 222)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Unrolled:
    """The whole weld laid flat: columns run along it, rows across from left to right.

    Attributes
    ----------
    bgr
        (H, W, 3) uint8; even grey where no photo shows it well enough.
    shown_by
        (W,) index of the photo that shows each column most squarely; -1 for none.
    px_per_mm
        Along and across.
    top_mm
        Place across of the first row.
    """

    bgr: NDArray[np.uint8]
    shown_by: NDArray[np.intp]
    px_per_mm: float
    top_mm: float


def unrolled_weld(result: Result, cuts: Sequence[WeldCut], *, longest_px: int) -> Unrolled | None:
    """Lay the whole weld flat from its photos; None where they were not joined.

    Every pixel comes straight from the photo that shows its place most squarely, and near a seam
    from both photos beside it, each made
    as bright as those that it laps with; photos that are not among the cuts leave their stretch
    unseen.
    """
    whole = result.whole_weld
    if whole is None or not whole.stations:
        return None
    kept = {cut.photo: cut for cut in cuts}
    used = [way for way in ways(result, whole) if way.photo in kept]
    if not used:
        return None
    px_per_mm = min(
        FINEST_PX_PER_MM,
        longest_px / whole.length_mm,
        max(result.photos[way.photo].px_per_mm or 1.0 for way in used),
    )
    columns = np.arange(round(whole.length_mm * px_per_mm), dtype=np.float64)
    arc_mm: Floats = (columns + 0.5) / px_per_mm
    low_mm, high_mm = _extent_mm(whole)
    across_mm = np.arange(low_mm, high_mm, 1.0 / px_per_mm)
    weights, shown_by = _weights(used, whole, arc_mm, px_per_mm)
    total = np.zeros((across_mm.size, arc_mm.size, 3), dtype=np.float32)
    gain = gains([_brightness(way, kept[way.photo], whole, across_mm) for way in used])
    for way, weight, factor in zip(used, weights, gain, strict=True):
        _add(
            total,
            way,
            kept[way.photo],
            weight=weight * float(factor),
            whole=whole,
            at=(arc_mm, across_mm),
        )
    bgr = np.clip(np.round(total), 0, 255).astype(np.uint8)
    bgr[:, shown_by < 0] = UNSEEN_BGR
    return Unrolled(bgr=bgr, shown_by=shown_by, px_per_mm=px_per_mm, top_mm=low_mm)


def _extent_mm(whole: WholeWeldRecord) -> tuple[float, float]:
    """Places across that are shown."""
    widest = max(station.weld_width_mm for station in whole.stations)
    return (
        min(station.left_across_mm for station in whole.stations) - BESIDE * widest,
        max(station.right_across_mm for station in whole.stations) + BESIDE * widest,
    )


def _in_way(way: Way, whole: WholeWeldRecord, arc_mm: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """(N,) places counted on from the photo's first, and whether it shows them well enough."""
    if whole.shape == "pipe":
        start = way.arc_mm[0] - HALF_STATION_MM
        arc_mm = start + np.mod(arc_mm - start, whole.length_mm)
    first, last = way.arc_mm[0] - HALF_STATION_MM, way.arc_mm[-1] + HALF_STATION_MM
    return arc_mm, (arc_mm >= first) & (arc_mm <= last)


def _weights(
    used: Sequence[Way], whole: WholeWeldRecord, arc_mm: Floats, px_per_mm: float
) -> tuple[Floats, NDArray[np.intp]]:
    """(P, N) share of each photo in each column, and the photo that shows it most squarely."""
    seen_deg = np.full((len(used), arc_mm.size), -np.inf)
    for row, way in enumerate(used):
        there_mm, inside = _in_way(way, whole, arc_mm)
        seen_deg[row, inside] = np.interp(there_mm[inside], way.arc_mm, way.seen_deg)
    shown = np.isfinite(seen_deg)
    best = np.argmax(seen_deg, axis=0)
    anywhere = shown.any(axis=0)
    owner = (np.arange(len(used))[:, None] == best) & anywhere
    width = max(1, 2 * round(0.5 * BLEND_MM * px_per_mm) + 1)
    half = width // 2
    wrapped = np.pad(
        owner.astype(np.float64),
        ((0, 0), (half, half)),
        mode="wrap" if whole.shape == "pipe" else "edge",
    )
    smooth = np.stack([np.convolve(row, np.full(width, 1.0 / width), "valid") for row in wrapped])
    smooth = np.where(shown, smooth, 0.0)
    shares = smooth / np.maximum(smooth.sum(axis=0), 1e-12)
    photos = np.array([way.photo for way in used], dtype=np.intp)
    return shares, np.where(anywhere, photos[best], -1)


def _add(
    total: NDArray[np.float32],
    way: Way,
    cut: WeldCut,
    *,
    weight: Floats,
    whole: WholeWeldRecord,
    at: tuple[Floats, Floats],
) -> None:
    """Add one photo's share to the columns in which it has any."""
    columns = np.flatnonzero(weight > 0.0)
    if columns.size == 0:
        return
    there_mm, _ = _in_way(way, whole, at[0][columns])
    pixels = _pixels(way, cut, there_mm, at[1])
    total[:, columns] += weight[columns, None].astype(np.float32) * pixels


def _pixels(way: Way, cut: WeldCut, arc_mm: Floats, across_mm: Floats) -> NDArray[np.uint8]:
    """(R, C, 3) what one photo shows at C places along and R places across."""
    places = (way.to_px(arc_mm, across_mm) - np.array(cut.corner_px)).astype(np.float32)
    return np.asarray(
        cv2.remap(
            cut.bgr,
            places[..., 0],
            places[..., 1],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=UNSEEN_BGR,
        ),
        dtype=np.uint8,
    )


def _brightness(way: Way, cut: WeldCut, whole: WholeWeldRecord, across_mm: Floats) -> Floats:
    """(N,) mean coded brightness at places along the whole weld; NaN where the photo shows none."""
    arc_mm = np.arange(0.5 * COMPARED_MM, whole.length_mm, COMPARED_MM)
    there_mm, inside = _in_way(way, whole, arc_mm)
    found = np.full(arc_mm.size, np.nan)
    step = max(1, across_mm.size // 48)
    shown = _pixels(way, cut, there_mm[inside], across_mm[::step])
    found[inside] = np.maximum(shown.mean(axis=(0, 2)), 1.0)
    return found
