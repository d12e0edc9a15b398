"""The part of a photo that shows the weld: all that the unrolled picture needs of its pixels."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo, PhotoKind
from beadcheck.pipeline import MeasuredTake
from beadcheck.result import Result

BESIDE: Final = 0.9
"""Pixels kept beside the toes, as a part of the weld's width."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldCut:
    """A rectangle of one photo, at the photo's own resolution.

    Attributes
    ----------
    photo
        Index into the result's photos.
    bgr
        (H, W, 3) uint8, sRGB-coded.
    corner_px
        x and y in the photo of the first pixel.
    """

    photo: int
    bgr: NDArray[np.uint8]
    corner_px: tuple[int, int]


def weld_cut(
    photo: Photo, result: Result, photo_index: int, *, place: int | None = None
) -> WeldCut | None:
    """Cut the weld out of a photo from above; None where it cannot be part of a whole weld.

    Parameters
    ----------
    place
        Index that the photo has in the joined result, where `result` is that of its take alone.
    """
    record = result.photos[photo_index]
    if record.kind != PhotoKind.FACE or not record.usable or record.frame is None:
        return None
    own = [station for station in result.stations if station.photo == photo_index]
    if len(own) < 2:
        return None
    left, right = (
        np.array([getattr(station, toe) for station in own], dtype=np.float64)
        for toe in ("left_toe_px", "right_toe_px")
    )
    beside = BESIDE * float(np.median(np.hypot(*(right - left).T)))
    toes = np.concatenate([left, right])
    low = np.maximum(np.floor(toes.min(axis=0) - beside), 0).astype(int)
    high = np.ceil(toes.max(axis=0) + beside).astype(int) + 1
    # A copy: a view would keep the whole photo in memory.
    pixels = photo.pixels_bgr[low[1] : high[1], low[0] : high[0]].copy()
    if pixels.size == 0:
        return None
    return WeldCut(
        photo=photo_index if place is None else place,
        bgr=pixels,
        corner_px=(int(low[0]), int(low[1])),
    )


def weld_cuts(measured: MeasuredTake, first: int) -> list[WeldCut]:
    """Cuts of a take's photos; `first` is the first one's index in the joined result."""
    found = (
        weld_cut(each.photo, measured.result, index, place=first + index)
        for index, each in enumerate(measured.photos)
        if each.photo is not None
    )
    return [cut for cut in found if cut is not None]
