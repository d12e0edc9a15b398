"""The bead finder's network, run by OpenCV; `calibration/finder` holds how it was trained."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.finder.onnx_model import shipped_model

SIDE_MULTIPLE_PX: Final = 32
"""The network halves its picture five times."""

LEAST_SIDE_PX: Final = 64
"""OpenCV 5.0.0 crashes where a picture that is one point high at the network's deepest follows a
larger one, so smaller pictures are padded to two."""

FEWEST_PX: Final = 16
"""Sides below this hold no bead that the network knows, and leave too little to reflect."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SurfaceKinds:
    """What each pixel shows: three probabilities that sum to one, (H, W) float32 each.

    Attributes
    ----------
    weld_face
        Its 0.5 contour is the toe line. Along the toe it is the share of the pixel that is weld,
        softened by how sure the network is, so the area under it is the area of the weld face.
    base_metal
        Bare, ground, tinted, scaled or rusty metal beside the weld.
    other
        Target paper, what lies beyond the plate, tools, and parts that a map did not see.
    """

    weld_face: NDArray[np.float32]
    base_metal: NDArray[np.float32]
    other: NDArray[np.float32]

    def __post_init__(self) -> None:
        for shares in (self.weld_face, self.base_metal, self.other):
            shares.flags.writeable = False


def surface_kinds(pixels_bgr: NDArray[np.uint8]) -> SurfaceKinds:
    """Tell weld face, base metal and other things apart, pixel by pixel.

    Parameters
    ----------
    pixels_bgr
        (H, W, 3) uint8 sRGB code values, in which the weld is 8 to 160 px wide.

    Returns
    -------
    SurfaceKinds
        On the same grid.

    Raises
    ------
    ValueError
        The array has another shape or type, or a side shorter than 16 px.
    """
    if pixels_bgr.ndim != 3 or pixels_bgr.shape[2] != 3 or pixels_bgr.dtype != np.uint8:
        msg = f"pixels must be (H, W, 3) uint8, not {pixels_bgr.shape} {pixels_bgr.dtype}"
        raise ValueError(msg)
    if min(pixels_bgr.shape[:2]) < FEWEST_PX:
        msg = f"a picture of {pixels_bgr.shape[1]} by {pixels_bgr.shape[0]} px is too small"
        raise ValueError(msg)
    shares = _shares(pixels_bgr)
    return SurfaceKinds(weld_face=shares[0], base_metal=shares[1], other=shares[2])


def _shares(pixels_bgr: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Ask the network once: (3, H, W)."""
    height, width = pixels_bgr.shape[:2]
    below, right = (max(LEAST_SIDE_PX - side, -side % SIDE_MULTIPLE_PX) for side in (height, width))
    padded = np.pad(pixels_bgr, ((0, below), (0, right), (0, 0)), mode="reflect")
    codes = np.ascontiguousarray(padded.transpose(2, 0, 1)[np.newaxis], dtype=np.float32)
    shares = shipped_model("bead_finder.onnx").answer(codes)
    return shares[0, :, :height, :width]


def weld_likelihood_either_way_up(pixels_bgr: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Mean of `weld_likelihood` and of that of the picture turned by half: slower and steadier."""
    turned = weld_likelihood(np.ascontiguousarray(pixels_bgr[::-1, ::-1]))
    return np.asarray(0.5 * (weld_likelihood(pixels_bgr) + turned[::-1, ::-1]), dtype=np.float32)


def weld_likelihood(pixels_bgr: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Probability that each pixel shows weld face, (H, W); see `surface_kinds`."""
    return surface_kinds(pixels_bgr).weld_face
