"""Part of a photo in linear light, to be looked up between its pixels."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.photo.picture import linear_bgr

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LinearPart:
    """Part of a photo in linear light, (H, W, 3), and the photo's pixel that its first one is."""

    light: NDArray[np.float32]
    corner_px: Floats

    @classmethod
    def about(cls, photo: Photo, places_px: Floats, margin_px: float) -> "LinearPart":
        """The part that holds (N, 2) places and a margin about them."""
        limit = np.array([photo.width_px, photo.height_px])
        low = np.clip(np.floor(places_px.min(axis=0) - margin_px).astype(np.intp), 0, limit - 1)
        high = np.clip(np.ceil(places_px.max(axis=0) + margin_px).astype(np.intp), 1, limit)
        part = photo.pixels_bgr[low[1] : high[1], low[0] : high[0]]
        return cls(light=linear_bgr(part), corner_px=low.astype(np.float64))

    def at(self, places_px: Floats) -> Floats:
        """(..., 3) linear blue, green and red, interpolated bilinearly between native pixels."""
        places = (places_px - self.corner_px).astype(np.float32)
        light = cv2.remap(
            self.light, places[..., 0], places[..., 1], cv2.INTER_LINEAR, None,
            cv2.BORDER_REPLICATE,
        )  # fmt: skip
        return np.asarray(light, dtype=np.float64)
