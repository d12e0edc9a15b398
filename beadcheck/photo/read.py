"""From a file to an upright photo in sRGB, without its location."""

import stat
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Final

import cv2
import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image, ImageOps

from beadcheck.errors.photo import (
    PhotoDamagedError,
    PhotoEmptyError,
    PhotoFileTooBigError,
    PhotoIsFolderError,
    PhotoMissingError,
    PhotoUnreadableError,
)
from beadcheck.photo.colour import in_srgb, rgb_picture
from beadcheck.photo.header import BROKEN_BYTES, JPEG_START, open_photo
from beadcheck.photo.jpeg_end import jpeg_is_whole
from beadcheck.photo.picture import Photo

MAX_FILE_MB: Final = 200.0
BLOCK_PX: Final = 8
"""Side of a JPEG block."""
FILL_CODE: Final = 128
_BYTES_PER_MB: Final = 1_000_000
_AS_IT_LIES: Final = cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION
_TO_UPRIGHT: Final[dict[int, Callable[[NDArray[np.uint8]], object]]] = {
    2: lambda pixels: cv2.flip(pixels, 1),
    3: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_180),
    4: lambda pixels: cv2.flip(pixels, 0),
    5: cv2.transpose,
    6: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_90_CLOCKWISE),
    7: lambda pixels: cv2.transpose(cv2.rotate(pixels, cv2.ROTATE_180)),
    8: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_90_COUNTERCLOCKWISE),
}
"""By the value of the orientation: Exif 2.32, table 4."""


def read_photo(path: Path) -> Photo:
    """Read a JPEG, PNG, HEIC or other still picture.

    The kind is told by the contents, never by the name. Pixels come upright (EXIF orientation
    applied) and sRGB-coded; of the metadata only focal length, make and model are kept.

    Raises
    ------
    PhotoError
        One class per situation, of `beadcheck.errors.photo`.
    """
    contents, file = photo_contents(path)
    opened = open_photo(contents, file=file)
    if contents.startswith(JPEG_START):
        pixels_bgr = _upright(_decoded_jpeg(contents, file), opened.orientation)
    else:
        pixels_bgr = _decoded_still(opened.picture, file)
    pixels_bgr = in_srgb(pixels_bgr, opened.icc_profile)
    return Photo(file=file, pixels_bgr=pixels_bgr, lens=opened.lens)


def photo_contents(path: Path) -> tuple[bytes, str]:
    """Bytes of a photo's file, and its name as it can be shown.

    Raises
    ------
    PhotoError
        The file cannot be read.
    """
    file = _printable(path.name or str(path))
    return _contents(path, file), file


def _printable(name: str) -> str:
    """Name without what breaks a line or cannot be written as UTF-8."""
    return "".join(
        letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in name
    )


def _contents(path: Path, file: str) -> bytes:
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise PhotoIsFolderError(file)
        size_mb = status.st_size / _BYTES_PER_MB
        if size_mb > MAX_FILE_MB:
            raise PhotoFileTooBigError(file, size_mb, MAX_FILE_MB)
        contents = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise PhotoMissingError(file) from None
    except ValueError:  # a name with a zero byte
        raise PhotoMissingError(file) from None
    except OSError as error:
        raise PhotoUnreadableError(file, (error.strerror or "unknown reason").lower()) from None
    if not contents:
        raise PhotoEmptyError(file)
    return contents


def _decoded_jpeg(contents: bytes, file: str) -> NDArray[np.uint8]:
    """Decode by OpenCV, the fastest way; it fills what is missing with grey, so look first."""
    if not jpeg_is_whole(contents):
        raise PhotoDamagedError(file)
    try:
        decoded = cv2.imdecode(np.frombuffer(contents, dtype=np.uint8), _AS_IT_LIES)
    except cv2.error:
        raise PhotoDamagedError(file) from None
    if decoded is None:
        raise PhotoDamagedError(file)
    pixels_bgr = np.asarray(decoded, dtype=np.uint8)
    if _ends_in_fill(pixels_bgr):
        raise PhotoDamagedError(file)
    return pixels_bgr


def _upright(pixels: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """Turn pixels upright.

    OpenCV would do so too, but where two parts of a damaged file contradict each other it may read
    another orientation than Pillow, by which all the rest goes.
    """
    turn = _TO_UPRIGHT.get(orientation)
    return pixels if turn is None else np.asarray(turn(pixels), dtype=np.uint8)


def _ends_in_fill(pixels: NDArray[np.uint8]) -> bool:
    """Tell whether the decoder ran out of data and filled the picture's end.

    It fills whole rows of blocks with the middle grey, exactly. A picture that begins with such
    rows too was taken or drawn so.
    """
    first, last = (
        bool((rows == FILL_CODE).all()) for rows in (pixels[:BLOCK_PX], pixels[-BLOCK_PX:])
    )
    return last and not first


def _decoded_still(picture: Image.Image | pillow_heif.HeifFile, file: str) -> NDArray[np.uint8]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            if isinstance(picture, Image.Image):
                upright = rgb_picture(ImageOps.exif_transpose(picture))
            else:
                upright = rgb_picture(picture.to_pillow())  # libheif has turned it already
            pixels_rgb = np.asarray(upright, dtype=np.uint8)
    except BROKEN_BYTES:
        raise PhotoDamagedError(file) from None
    return np.ascontiguousarray(pixels_rgb[..., ::-1])
