"""The camera that a photo was taken with: what is known beforehand, and how it maps directions."""

from beadcheck.camera.book import CalibratedCamera, CameraBook
from beadcheck.camera.lens import Camera, seen_directions, straight_directions, within_lens
from beadcheck.camera.prior import camera_of

__all__ = [
    "CalibratedCamera",
    "Camera",
    "CameraBook",
    "camera_of",
    "seen_directions",
    "straight_directions",
    "within_lens",
]
