"""One photo as it arrives: opened by its content, kept upright and without its location."""

import re
import secrets
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from beadcheck.camera.book import CalibratedCamera, CameraBook
from beadcheck.photo import Lens, Photo, read_photo

PREVIEW_PX: Final = 1600
"""Longest side of the picture on which a person points."""

THUMBNAIL_PX: Final = 360
JPEG_QUALITY: Final = 82
NAME_LENGTH: Final = 60

EXIF_IFD: Final = 0x8769
MAKE: Final = 0x010F
MODEL: Final = 0x0110
ORIENTATION: Final = 0x0112
FOCAL_LENGTH_IN_35MM_FILM: Final = 0xA405
"""Tags of Exif 2.32 (CIPA DC-008), tables 4 and 7."""
TURNED: Final = (1, 6, 3, 8)
MIRRORED: Final = 2
"""Values of the orientation: what turns a picture upright by so many quarters, and mirrors it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredPhoto:
    """A photo that was sent, as it is kept for its visit.

    Attributes
    ----------
    key
        Unguessable; names the photo in addresses.
    path
        The pixels, bit-exact, without any data but the lens and which way up they are.
    calibration
        The stored camera that took it, where there is one.
    """

    key: str
    name: str
    path: Path
    preview: Path
    thumbnail: Path
    width_px: int
    height_px: int
    calibration: CalibratedCamera | None = None


def safe_name(sent: str, *, taken: Collection[str]) -> str:
    """Name of a sent file without folders and odd characters, told apart from those `taken`.

    Examples
    --------
    >>> safe_name("../etc/<b>bead 1</b>.jpg", taken=())
    'b.jpg'
    >>> safe_name("image.jpg", taken=["image.jpg"])
    'image-2.jpg'
    >>> safe_name("...", taken=())
    'photo'
    """
    bare = PureWindowsPath(PurePosixPath(sent).name).name
    cleaned = re.sub(r"[^\w.\- ]", "", bare).strip(" .")[-NAME_LENGTH:] or "photo"
    stem, suffix = PurePosixPath(cleaned).stem, PurePosixPath(cleaned).suffix
    name, number = cleaned, 1
    while name in taken:
        number += 1
        name = f"{stem}-{number}{suffix}"
    return name


def photo_key() -> str:
    """Return a new key, which nobody can guess."""
    return secrets.token_urlsafe(16)


def store_photo(sent: Path, *, name: str, home: Path, cameras: CameraBook) -> StoredPhoto:
    """Open a sent file, and keep what measuring needs of it in a folder of its own.

    Parameters
    ----------
    home
        That folder, which is not there yet; it is called like the photo's key.
    cameras
        Stored cameras, of which one may have taken it.

    Raises
    ------
    PhotoError
        The file is not a photo that can be used.
    """
    photo = read_photo(sent)
    home.mkdir(mode=0o700)
    # No sent file is called like the smaller pictures: names lose the dots that they begin with.
    kept = StoredPhoto(
        key=home.name,
        name=name,
        path=home / name,
        preview=home / ".preview.jpeg",
        thumbnail=home / ".thumbnail.jpeg",
        width_px=photo.width_px,
        height_px=photo.height_px,
        calibration=cameras.matching(photo),
    )
    _keep_pixels(photo, kept.path)
    write_jpeg(kept.preview, photo.pixels_bgr, longest_px=PREVIEW_PX)
    write_jpeg(kept.thumbnail, photo.pixels_bgr, longest_px=THUMBNAIL_PX)
    return kept


def write_jpeg(path: Path, pixels_bgr: NDArray[np.uint8], *, longest_px: int) -> None:
    """Write a picture afresh, hence without any data of its file, at most `longest_px` long."""
    height, width = pixels_bgr.shape[:2]
    scale = min(1.0, longest_px / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    smaller = cv2.resize(pixels_bgr, size, interpolation=cv2.INTER_AREA)
    _, coded = cv2.imencode(".jpg", smaller, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    path.write_bytes(coded.tobytes())


def _keep_pixels(photo: Photo, path: Path) -> None:
    """Write the pixels as PNG whatever the name says: it loses nothing; readers go by content.

    They lie as the sensor read them: a calibration belongs to its frame.
    """
    pixels_rgb, turns = photo.pixels_bgr[..., ::-1], photo.lens.quarter_turns
    as_read = pixels_rgb[:, ::-1] if turns is None else np.rot90(pixels_rgb, turns)
    picture = Image.fromarray(np.ascontiguousarray(as_read))
    with path.open("wb") as file:
        picture.save(file, "PNG", compress_level=1, exif=_lens_data(photo.lens))


def _lens_data(lens: Lens) -> Image.Exif:
    """Only what the surface needs as a start value: never a place, a time or a serial number."""
    data = Image.Exif()
    if lens.make:
        data[MAKE] = lens.make
    if lens.model:
        data[MODEL] = lens.model
    data[ORIENTATION] = MIRRORED if lens.quarter_turns is None else TURNED[lens.quarter_turns]
    if lens.focal_35mm_mm:
        # Set as a whole: a sub-directory alone would not be written where no maker is named.
        data[EXIF_IFD] = {FOCAL_LENGTH_IN_35MM_FILM: round(lens.focal_35mm_mm)}
    return data
