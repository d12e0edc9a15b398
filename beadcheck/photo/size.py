"""How large an upright photo is, without decoding it."""

from pathlib import Path
from typing import Final

from beadcheck.photo.header import open_photo
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
    opened = open_photo(contents, file=file)
    width_px, height_px = opened.picture.size
    return (
        (height_px, width_px) if opened.orientation in LYING_ON_ITS_SIDE else (width_px, height_px)
    )
