"""The finder's likelihood over a whole photo, read along a weld."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.finder import weld_likelihood_either_way_up
from beadcheck.photo import Photo
from beadcheck.surface import Surface

WIDTHS_PX: Final = (16.0, 28.0)
"""Widths of the weld in the photos that are shown to the finder: with all that lies around it in
view it tells a seam from a lap edge or a rim, which a strip along the weld alone does not show."""
LONG_SIDES_PX: Final = (224, 1024)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PictureLikelihood:
    """Likelihood of weld all over a photo, (H, W), reduced by `scale`."""

    likelihood: NDArray[np.float32]
    scale: float

    def along(
        self,
        surface: Surface,
        axis: Axis,
        s_mm: NDArray[np.float64],
        across_mm: NDArray[np.float64],
    ) -> NDArray[np.float32]:
        """(R, C) likelihood at places along and across a weld."""
        points = axis.to_surface(s_mm[None, :], across_mm[:, None])
        places = (surface.to_px(points) + 0.5) * self.scale - 0.5
        shape = (across_mm.size, s_mm.size)
        x, y = (np.nan_to_num(places[:, i], nan=-1e4).reshape(shape) for i in (0, 1))
        read = cv2.remap(
            self.likelihood, x.astype(np.float32), y.astype(np.float32), cv2.INTER_LINEAR
        )
        return np.asarray(read, dtype=np.float32)


def picture_likelihood(photo: Photo, width_px: float) -> PictureLikelihood:
    """Ask the finder about the whole photo, reduced so that its weld has the best width for it.

    Parameters
    ----------
    width_px
        Rough width of the weld in the photo.
    """
    longest = max(photo.width_px, photo.height_px)
    answers = []
    for wished_px in WIDTHS_PX:
        side = np.clip(wished_px / width_px * longest, *LONG_SIDES_PX)
        scale = min(1.0, float(side) / longest)
        size = (round(photo.width_px * scale), round(photo.height_px * scale))
        small = cv2.resize(photo.pixels_bgr, size, interpolation=cv2.INTER_AREA)
        answers.append(weld_likelihood_either_way_up(np.asarray(small, dtype=np.uint8)))
    fine = answers[-1]
    coarse = cv2.resize(answers[0], fine.shape[::-1], interpolation=cv2.INTER_LINEAR)
    both = np.asarray(0.5 * (fine + coarse), dtype=np.float32)
    return PictureLikelihood(likelihood=both, scale=fine.shape[1] / photo.width_px)
