"""Many photos out of one: the same pixels, other bytes."""

import io
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

SAMPLE = Path(__file__).parents[2] / "samples" / "plate-gtaw-pulsed.jpg"
START_OF_IMAGE = b"\xff\xd8"
COMMENT = b"\xff\xfe"


def photo_copies(folder: Path, count: int, *, share: float, source: Path = SAMPLE) -> list[Path]:
    """Write copies of a JPEG, its sides at this share of their length; each has its own comment."""
    small = io.BytesIO()
    with Image.open(source) as photo:
        size = (round(photo.width * share), round(photo.height * share))
        exif = photo.getexif()
        photo.resize(size, Image.Resampling.BOX).save(small, "JPEG", quality=90, exif=exif)
    folder.mkdir(parents=True, exist_ok=True)
    return list(_written(folder, count, small.getvalue()))


def _written(folder: Path, count: int, jpeg: bytes) -> Iterator[Path]:
    for number in range(count):
        path = folder / f"photo-{number:04d}.jpg"
        text = f"copy {number}".encode()
        comment = COMMENT + (len(text) + 2).to_bytes(2, "big") + text
        path.write_bytes(START_OF_IMAGE + comment + jpeg[len(START_OF_IMAGE) :])
        yield path
