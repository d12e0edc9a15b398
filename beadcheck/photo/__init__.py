"""From a file to an upright photo without its location."""

from beadcheck.photo.picture import Lens, Photo, PhotoKind, linear_grey

__all__ = ["Lens", "Photo", "PhotoKind", "linear_grey"]
