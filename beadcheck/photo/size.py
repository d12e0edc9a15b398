"""How large an upright photo is, without decoding it."""

import warnings
from pathlib import Path
from typing import Final

from PIL import ExifTags, Image

from beadcheck.photo.header import BROKEN_BYTES, open_photo
from beadcheck.photo.read import photo_contents

LYING_ON_ITS_SIDE: Final = (5, 6, 7, 8)
"""Values of the orientation that swap width and height (Exif 2.32, table 4)."""


def photo_size_px(path: Path) -> tuple[int, int]:
    """Width and height of the photo as `read_photo` would return it.

    Raises
    ------
    PhotoError
        The file is no photo that can be used.
    """
    contents, file = photo_contents(path)
    picture = open_photo(contents, file=file).picture
    width_px, height_px = picture.size
    # libheif has turned its pictures already.
    if isinstance(picture, Image.Image) and _orientation(picture) in LYING_ON_ITS_SIDE:
        return height_px, width_px
    return width_px, height_px


def _orientation(picture: Image.Image) -> object:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return picture.getexif().get(ExifTags.Base.Orientation)
    except BROKEN_BYTES:
        return None
