"""The part of a photo about a limb, laid level: along the pipe by height over it."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.profiles.side_on.limb import LimbView

Floats = NDArray[np.float64]

HIGHEST_MM: Final = 9.0
"""Over the pipe: twice a poor cap, and room to see the background over it."""
LOWEST_MM: Final = -5.0
"""Under the pipe's own outline: the deepest groove worth a profile, and an error of the pose."""
FARTHEST_MM: Final = 300.0
"""From the camera, along the pipe."""
STEP_MM: Final = 0.5
FINEST_PX_PER_MM: Final = 8.0
"""A thinned picture is enough to find the outline; it is measured in the photo's own pixels."""
NODES_PX: Final = 16
"""The mapping is computed at nodes so far apart, and is straight to 0.01 px between them."""
MARGIN_PX: Final = 4.0
"""At the photo's edge, where nothing can be told of an outline."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LimbBand:
    """A level picture of the limb; the background is above.

    Attributes
    ----------
    bgr
        (H, W, 3) float32 code values: near enough to noise of one size everywhere.
    seen
        (H, W) bool: inside the photo.
    first_along_mm, top_mm
        Place along the pipe and height over it of pixel (0, 0).
    """

    bgr: NDArray[np.float32]
    seen: NDArray[np.bool_]
    first_along_mm: float
    top_mm: float
    px_per_mm: float

    @property
    def along_mm(self) -> Floats:
        """(W,) places along the pipe."""
        return np.asarray(self.first_along_mm + np.arange(self.bgr.shape[1]) / self.px_per_mm)

    def height_mm(self, row: Floats) -> Floats:
        """Heights over the pipe of rows, which may be fractions."""
        return np.asarray(self.top_mm - row / self.px_per_mm)

    def row(self, height_mm: Floats) -> Floats:
        """Rows of heights over the pipe."""
        return np.asarray((self.top_mm - height_mm) * self.px_per_mm)


def seen_along_mm(photo: Photo, view: LimbView) -> Floats:
    """Places along the pipe, `STEP_MM` apart, at which the photo shows the bare limb."""
    middle_mm = view.surface.eye_mm[1] + view.surface.model.pivot_mm[1]
    along_mm = np.arange(middle_mm - FARTHEST_MM, middle_mm + FARTHEST_MM, STEP_MM)
    places_px = view.pixels(along_mm, np.zeros_like(along_mm))
    return np.asarray(along_mm[_inside(photo, places_px)])


def px_per_mm_at(view: LimbView, along_mm: float) -> float:
    """Photo pixels per mm of height at one place of the limb."""
    foot, head = view.pixels(np.full(2, along_mm), np.array([0.0, 1.0]))
    return float(np.hypot(*(head - foot)))


def limb_band(photo: Photo, view: LimbView, along_mm: Floats) -> LimbBand:
    """Lay the limb level between the first and the last of these places along the pipe."""
    native = px_per_mm_at(view, float(along_mm[along_mm.size // 2]))
    thin = max(1, int(np.ceil(native / FINEST_PX_PER_MM)))
    columns = thin * max(2, int((along_mm[-1] - along_mm[0]) * native / thin))
    rows = thin * int((HIGHEST_MM - LOWEST_MM) * native / thin)
    node_x, node_y = (np.arange(0, size + NODES_PX, NODES_PX) for size in (columns, rows))
    grid_along, grid_height = np.meshgrid(
        along_mm[0] + node_x / native, HIGHEST_MM - node_y / native
    )
    nodes = view.pixels(grid_along.ravel(), grid_height.ravel())
    nodes = np.nan_to_num(nodes.reshape(*grid_along.shape, 2), nan=-1e4).astype(np.float32)
    at_x, at_y = (np.arange(size, dtype=np.float32) / NODES_PX for size in (columns, rows))
    places = cv2.remap(nodes, *np.meshgrid(at_x, at_y), cv2.INTER_LINEAR)
    picture = cv2.remap(
        photo.pixels_bgr, places[..., 0], places[..., 1], cv2.INTER_LINEAR, None,
        cv2.BORDER_REPLICATE,
    )  # fmt: skip
    size = (columns // thin, rows // thin)
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    lag_mm = 0.5 * (thin - 1) / native
    return LimbBand(
        bgr=np.asarray(small, dtype=np.float32),
        seen=_inside(photo, places[thin // 2 :: thin, thin // 2 :: thin]),
        first_along_mm=float(along_mm[0] + lag_mm),
        top_mm=HIGHEST_MM - lag_mm,
        px_per_mm=native / thin,
    )


def _inside(photo: Photo, places_px: cv2.typing.MatLike) -> NDArray[np.bool_]:
    limit = np.array([photo.width_px - 1, photo.height_px - 1]) - MARGIN_PX
    with np.errstate(invalid="ignore"):
        return np.asarray(((places_px >= MARGIN_PX) & (places_px <= limit)).all(axis=-1))
