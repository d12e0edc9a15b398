"""From a file to an upright photo without its location."""

from beadcheck.photo.picture import Lens, Photo, PhotoKind, linear_grey
from beadcheck.photo.quality import PhotoWarning, photo_warnings
from beadcheck.photo.read import read_photo
from beadcheck.photo.size import photo_size_px

__all__ = [
    "Lens",
    "Photo",
    "PhotoKind",
    "PhotoWarning",
    "linear_grey",
    "photo_size_px",
    "photo_warnings",
    "read_photo",
]
