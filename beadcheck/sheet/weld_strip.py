"""The weld of one photo laid straight, on a grid of millimetres."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.report.weld_lines import WeldLines, weld_lines
from beadcheck.result import Result

Floats = NDArray[np.float64]

BESIDE: Final = 0.45
"""Base metal shown beside either toe, as a part of the weld's width."""
END_MM: Final = 2.0
"""Metal shown beyond the first and the last station."""
PX_PER_MM: Final = 12.0
"""At twice the natural size that is 150 dots per inch on paper."""
FEWEST_STATIONS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldStrip:
    """A straightened weld: rows go across from left to right toe, columns along it.

    Attributes
    ----------
    pixels_rgb
        (H, W, 3) uint8, `PX_PER_MM` each way.
    first_mm, left_edge_mm
        Station of the first column, and place across of the first row; the left toe lies at
        negative places across.
    s_mm, left_mm, right_mm
        (N,) stations, and both toes across there.
    sure
        (N,) whether both toes are clear there and the station counts in statistics.
    crests_mm
        (M,) stations of ripple crests.
    """

    pixels_rgb: NDArray[np.uint8]
    first_mm: float
    left_edge_mm: float
    s_mm: Floats
    left_mm: Floats
    right_mm: Floats
    sure: NDArray[np.bool_]
    crests_mm: Floats

    @property
    def length_mm(self) -> float:
        """Length of the strip along the weld."""
        return float(self.pixels_rgb.shape[1] / PX_PER_MM)

    @property
    def height_mm(self) -> float:
        """Extent of the strip across the weld."""
        return float(self.pixels_rgb.shape[0] / PX_PER_MM)


def weld_strip(photo: Photo, result: Result, photo_index: int) -> WeldStrip | None:
    """Lay the weld of a photo from above straight; None where it has no scale or no stations.

    Between the stations, each place lies on the line through both toes, as far out as it is in mm.
    """
    weld = weld_lines(result, photo_index)
    if weld is None or weld.unit != "mm" or weld.s.size < FEWEST_STATIONS:
        return None
    widths_mm = np.array([station.weld_width_mm or np.nan for station in weld.stations])
    known = np.isfinite(widths_mm)
    if known.sum() < FEWEST_STATIONS:
        return None
    widths_mm = np.interp(weld.s, weld.s[known], widths_mm[known])
    half_mm = (0.5 + BESIDE) * float(widths_mm.max())
    first_mm, last_mm = float(weld.s[0]) - END_MM, float(weld.s[-1]) + END_MM
    along_mm = np.arange(first_mm, last_mm, 1.0 / PX_PER_MM)
    across_mm = np.arange(-half_mm, half_mm, 1.0 / PX_PER_MM)
    map_x, map_y = _places_px(weld, widths_mm, along_mm, across_mm)
    bgr = cv2.remap(
        photo.pixels_bgr,
        map_x,
        map_y,
        interpolation=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(225, 225, 225),
    )
    crests = [
        ripple.s_mm
        for ripple in result.ripples
        if ripple.photo == photo_index and ripple.s_mm is not None
    ]
    return WeldStrip(
        pixels_rgb=np.asarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2RGB), dtype=np.uint8),
        first_mm=first_mm,
        left_edge_mm=-half_mm,
        s_mm=weld.s,
        left_mm=-0.5 * widths_mm,
        right_mm=0.5 * widths_mm,
        sure=np.array([station.sure and station.steady for station in weld.stations]),
        crests_mm=np.array(crests, dtype=np.float64),
    )


def _places_px(
    weld: WeldLines, widths_mm: Floats, along_mm: Floats, across_mm: Floats
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """(H, W) x and y in the photo of each place of the strip; beyond the ends, straight on."""
    inside_mm = np.clip(along_mm, weld.s[0], weld.s[-1])
    left, right = weld.at(inside_mm)
    # A step of a millimetre along, from the run of the whole weld: ends have no neighbour.
    middle = weld.middle_px
    ahead = (middle[-1] - middle[0]) / max(float(weld.s[-1] - weld.s[0]), 1e-9)
    centre = 0.5 * (left + right) + (along_mm - inside_mm)[:, None] * ahead
    out = (right - left) / np.interp(inside_mm, weld.s, widths_mm)[:, None]
    places = centre[None] + across_mm[:, None, None] * out[None]
    return places[..., 0].astype(np.float32), places[..., 1].astype(np.float32)
