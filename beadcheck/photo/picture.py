"""A decoded photo, and its values in linear light."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray


class PhotoKind(StrEnum):
    """How the photo was taken."""

    FACE = "face"
    SIDE_ON = "side-on"
    LIGHT_LINE = "light-line"
    PAIR = "pair"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lens:
    """What the file says of its camera; what it does not say is None.

    Attributes
    ----------
    focal_35mm_mm
        Focal length that gives the same diagonal field on 24 x 36 mm film, in mm.
    quarter_turns
        Clockwise quarter turns that made the sensor's picture upright; None where it is mirrored.
    """

    focal_35mm_mm: float | None = None
    make: str | None = None
    model: str | None = None
    quarter_turns: int | None = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Photo:
    """An upright photo.

    Attributes
    ----------
    file
        Name of the file, without folders.
    pixels_bgr
        (H, W, 3) uint8, sRGB-coded, read-only. Pixel (0, 0) has its centre at x = 0, y = 0.
    """

    file: str
    pixels_bgr: NDArray[np.uint8]
    lens: Lens

    def __post_init__(self) -> None:
        if self.pixels_bgr.ndim != 3 or self.pixels_bgr.shape[2] != 3:
            msg = "pixels must be (H, W, 3)"
            raise ValueError(msg)
        self.pixels_bgr.flags.writeable = False

    @property
    def width_px(self) -> int:
        """Width in pixels."""
        return int(self.pixels_bgr.shape[1])

    @property
    def height_px(self) -> int:
        """Height in pixels."""
        return int(self.pixels_bgr.shape[0])


def _srgb_decoding() -> NDArray[np.float32]:
    """Linear light in [0, 1] of each sRGB code value (IEC 61966-2-1)."""
    coded = np.arange(256, dtype=np.float64) / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    return linear.astype(np.float32)


LINEAR_OF_SRGB: Final = _srgb_decoding()
LUMINANCE_BGR: Final = (0.0722, 0.7152, 0.2126)
"""Weights of linear blue, green and red (ITU-R BT.709)."""
_SHARES: Final = np.stack([w * LINEAR_OF_SRGB for w in LUMINANCE_BGR], axis=1)[np.newaxis]
"""(1, 256, 3) what each code value of blue, green and red adds to the luminance."""
_SUM: Final = np.ones((1, 3), dtype=np.float32)


def linear_bgr(pixels_bgr: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Linear light of (H, W, 3) sRGB-coded pixels, each channel from 0 to 1."""
    return np.asarray(cv2.LUT(pixels_bgr, LINEAR_OF_SRGB), dtype=np.float32)


def linear_grey(pixels_bgr: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Luminance in linear light of (H, W, 3) sRGB-coded pixels: (H, W), 0 black, 1 white.

    Edges are fitted in linear light only: in code values they shift towards the dark side.
    """
    if not pixels_bgr.size:  # OpenCV refuses it
        return np.zeros(pixels_bgr.shape[:2], dtype=np.float32)
    return np.asarray(cv2.transform(cv2.LUT(pixels_bgr, _SHARES), _SUM), dtype=np.float32)
