"""Calibrated cameras that are kept, and which of them took a photo."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from beadcheck.camera.lens import Camera
from beadcheck.photo import Photo

SAME_FOCAL_MM: Final = 0.5
"""35-mm equivalents are stated in whole mm; another lens or zoom differs by more."""
SAME_ASPECT: Final = 0.005
"""Relative: 4000 by 3000 and 4032 by 3024 are one format, 16:9 and 3:2 are crops of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibratedCamera:
    """A camera calibrated once, for photos of one make, model, lens and format.

    Attributes
    ----------
    name
        What a person calls it.
    make, model
        As its photos state them; None where they do not, so that no photo can be told to be of it.
    focal_35mm_mm
        35-mm equivalent focal length that its photos state, or None where they state none.
    width_px, height_px
        Of its photos as the sensor reads them, before any turn.
    photo_count
        How many photos of the board were used.
    camera
        Its figures at that size and in that frame. Their standard uncertainties hold for the
        photos of the calibration; what refocusing and the stabiliser add is put to them in use.
    residual_px
        Root mean square distance of the board's edges or corners from where the figures put them.
    """

    name: str
    make: str | None
    model: str | None
    focal_35mm_mm: float | None
    width_px: int
    height_px: int
    calibrated_on: date
    photo_count: int
    residual_px: float
    camera: Camera

    @property
    def label(self) -> str:
        """Name and date, as results tell them."""
        return f"{self.name}, {self.calibrated_on.isoformat()}"

    @property
    def recognisable(self) -> bool:
        """Whether a photo's file can tell that this camera took it."""
        return self.make is not None and self.model is not None

    def took(self, photo: Photo) -> bool:
        """Whether a photo comes from this camera and lens, uncropped as far as can be told."""
        size_px = (photo.width_px, photo.height_px)
        return self._is(photo.lens.make, photo.lens.model, photo.lens.focal_35mm_mm, size_px)

    def is_same_as(self, other: "CalibratedCamera") -> bool:
        """Whether both are one camera and lens, calibrated twice."""
        size_px = (other.width_px, other.height_px)
        return self._is(other.make, other.model, other.focal_35mm_mm, size_px)

    def _is(
        self,
        make: str | None,
        model: str | None,
        focal_35mm_mm: float | None,
        size_px: tuple[int, int],
    ) -> bool:
        return (
            self.recognisable
            and (make, model) == (self.make, self.model)
            and same_lens(focal_35mm_mm, self.focal_35mm_mm)
            and same_format(size_px, (self.width_px, self.height_px))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraBook:
    """The cameras that are kept; empty where nobody calibrated one."""

    cameras: tuple[CalibratedCamera, ...] = ()

    def matching(self, photo: Photo) -> CalibratedCamera | None:
        """The stored camera that took a photo, the latest where there are several."""
        fitting = [stored for stored in self.cameras if stored.took(photo)]
        return max(fitting, key=lambda stored: stored.calibrated_on, default=None)


def same_lens(one_mm: float | None, other_mm: float | None) -> bool:
    """Whether two stated 35-mm equivalents are of one lens at one zoom."""
    if one_mm is None or other_mm is None:
        return one_mm is other_mm
    return abs(one_mm - other_mm) <= SAME_FOCAL_MM


def same_format(one_px: tuple[int, int], other_px: tuple[int, int]) -> bool:
    """Whether two sizes have one ratio of sides, whichever way they are turned."""
    one, other = (max(size) / min(size) for size in (one_px, other_px))
    return abs(one / other - 1.0) <= SAME_ASPECT
