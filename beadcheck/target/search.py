"""Grey pictures in which markers are sought: a shrunken photo, all of it, or parts."""

from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

SEARCH_LONG_SIDE_PX: Final = 2000
"""The detector's time grows with the pixels; a usable photo stays readable at half of this."""
ALL_WINDOWS_PX: Final = range(3, 24, 10)
"""Windows in which the detector tells dark from light: OpenCV's own."""
QUICK_WINDOWS_PX: Final = range(13, 14)
"""One alone finds 98 % of what all of them find on 120 renders, in half the time."""
PART_WINDOWS_PX: Final = range(13, 34, 20)
"""At full size, wider ones find slanting markers that narrow ones miss."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SearchImage:
    """A grey picture to search: all of a photo, or a part of it.

    Attributes
    ----------
    px_per_px
        How many photo pixels one of its pixels spans.
    origin_px
        Column and row of the photo where the part begins.
    windows_px
        Sides of the windows in which dark is told from light, in its own pixels.
    """

    grey: NDArray[np.uint8]
    px_per_px: int
    origin_px: tuple[int, int] = (0, 0)
    windows_px: range = ALL_WINDOWS_PX

    def at_a_glance(self) -> "SearchImage":
        """The same picture, to be searched quickly."""
        return replace(self, windows_px=QUICK_WINDOWS_PX)

    def part(self, low_px: NDArray[np.int_], high_px: NDArray[np.int_]) -> "SearchImage":
        """What it shows between two corners of the photo, x and y each."""
        (left, top), (right, bottom) = low_px // self.px_per_px, high_px // self.px_per_px
        return replace(
            self,
            grey=np.ascontiguousarray(self.grey[top : bottom + 1, left : right + 1]),
            origin_px=(int(left) * self.px_per_px, int(top) * self.px_per_px),
        )

    def mirrored(self) -> "SearchImage":
        """The same picture as a mirror shows it."""
        return replace(self, grey=np.ascontiguousarray(self.grey[:, ::-1]))


def search_image(pixels_bgr: NDArray[np.uint8], long_side_px: int | None) -> SearchImage:
    """Grey picture no longer than `long_side_px`, or at full size for None."""
    grey = np.asarray(cv2.cvtColor(pixels_bgr, cv2.COLOR_BGR2GRAY), dtype=np.uint8)
    longest = max(grey.shape)
    # Whole blocks of pixels are averaged many times faster than parts of them.
    block = 1 if long_side_px is None else -(-longest // long_side_px)
    if block > 1:
        height, width = (side // block for side in grey.shape)
        blocks = grey[: block * height, : block * width]
        small = cv2.resize(blocks, (width, height), interpolation=cv2.INTER_AREA)
        grey = np.asarray(small, dtype=np.uint8)
    return SearchImage(grey=grey, px_per_px=block)
