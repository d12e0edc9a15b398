"""Readers of photos and pixels for `fuzz_readers.py`."""

import io
import random
from functools import cache
from pathlib import Path
from typing import Final

import cv2
import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import ExifTags, Image

from beadcheck.camera import CameraBook
from beadcheck.coupon import Coupon, Shape
from beadcheck.photo import Lens, Photo, photo_size_px, read_photo
from beadcheck.pipeline import Request, Take, measure
from beadcheck.result import result_from_json, result_to_json
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.catalogue import default_targets
from beadcheck.target.find import find_target

SAMPLES: Final = Path(__file__).parents[2] / "samples"
SMALL_PX: Final = (640, 480)
"""Of photos whose file is fuzzed."""
SHOWN_PX: Final = 900
"""Longest side of the pictures whose pixels are fuzzed."""


def read_a_photo(data: bytes, folder: Path) -> None:
    path = folder / "photo.jpg"
    path.write_bytes(data)
    photo = read_photo(path)
    if photo_size_px(path) != (photo.width_px, photo.height_px):
        msg = f"header {photo_size_px(path)}, pixels {photo.width_px} x {photo.height_px}"
        raise AssertionError(msg)


def read_exif(data: bytes, folder: Path) -> None:
    """Read a whole photo whose EXIF data are these bytes."""
    jpeg = plain_jpeg()
    body = b"Exif\x00\x00" + data[:65_000]
    segment = b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body
    (folder / "exif.jpg").write_bytes(jpeg[:2] + segment + jpeg[2:])
    read_photo(folder / "exif.jpg")
    photo_size_px(folder / "exif.jpg")


@cache
def _small_picture() -> Image.Image:
    with Image.open(SAMPLES / "plate-gmaw-stringer.jpg") as sample:
        return sample.convert("RGB").resize(SMALL_PX).quantize(16).convert("RGB")


def _encoded(kind: str, **saved: object) -> bytes:
    buffer = io.BytesIO()
    _small_picture().save(buffer, kind, **saved)
    return buffer.getvalue()


@cache
def plain_jpeg() -> bytes:
    return _encoded("JPEG", quality=20)


def _phone_exif() -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = "Quayphone", "QP 9"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = 26
    exif.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: (48.0, 51.0, 24.0)})
    return exif


def photo_seeds() -> tuple[bytes, ...]:
    heic = io.BytesIO()
    pillow_heif.from_pillow(_small_picture()).save(heic, quality=20)
    small = _small_picture().reduce(1).quantize(4)
    gif, tiff = io.BytesIO(), io.BytesIO()
    small.save(gif, "GIF")
    small.save(tiff, "TIFF", compression="tiff_deflate")
    return (
        _encoded("JPEG", quality=20, exif=_phone_exif()),
        _encoded("JPEG", quality=15, progressive=True),
        _encoded("PNG", exif=_phone_exif()),
        _encoded("WEBP", quality=10),
        heic.getvalue(),
        gif.getvalue(),
        tiff.getvalue(),
    )


def exif_seeds() -> tuple[bytes, ...]:
    return (_phone_exif().tobytes()[6:], b"II*\x00\x08\x00\x00\x00\x00\x00", b"MM\x00*")


def find_a_target(data: bytes, _: Path) -> None:
    """Find target and surface in a picture that is changed as the bytes say."""
    coupon, pixels = _scene(data)
    photo = Photo(file="fuzzed.png", pixels_bgr=pixels, lens=Lens())
    designs = default_targets(coupon)
    found = find_target(photo, designs)
    solve_surface(found, photo, coupon, print_scale(found.design, None), cameras=CameraBook())


def measure_a_weld(data: bytes, folder: Path) -> None:
    """Measure such a picture from one end to the other."""
    coupon, pixels = _scene(data)
    path = folder / "fuzzed.png"
    cv2.imwrite(str(path), pixels, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    without_target = len(data) % 2 == 1
    request = Request(takes=(Take(photos=(path,)),), coupon=coupon, without_target=without_target)
    result_from_json(result_to_json(measure(request)))


@cache
def sample_pixels(name: str) -> NDArray[np.uint8]:
    pixels = read_photo(SAMPLES / name).pixels_bgr
    scale = SHOWN_PX / max(pixels.shape)
    return cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)


def _scene(data: bytes) -> tuple[Coupon, NDArray[np.uint8]]:
    """Coupon, and its sample photo after changes of eight bytes each."""
    on_pipe = data[:1] > b"\x80"
    if on_pipe:
        coupon = Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1, wall_thickness_mm=12.7)
        pixels = sample_pixels("pipe-gtaw-pulsed.jpg").copy()
    else:
        coupon = Coupon(shape=Shape.PLATE)
        pixels = sample_pixels("plate-gmaw-stringer.jpg").copy()
    for at in range(1, min(len(data), 8 * 12), 8):
        pixels = _changed(pixels, data[at : at + 8].ljust(8, b"\x00"))
    return coupon, pixels


def _changed(pixels: NDArray[np.uint8], told: bytes) -> NDArray[np.uint8]:
    kind, shade, *shares = told
    height, width = pixels.shape[:2]
    (x0, x1), (y0, y1) = sorted(shares[:2]), sorted(shares[2:4])
    box = np.s_[
        y0 * height // 256 : y1 * height // 256 + 1, x0 * width // 256 : x1 * width // 256 + 1
    ]
    match kind % 8:
        case 0:
            pixels[box] = shade
        case 1:
            noise = np.random.default_rng(told[6]).integers(0, 256, pixels[box].shape)
            pixels[box] = noise.astype(np.uint8)
        case 2:
            pixels[box] = 255 - pixels[box]
        case 3:
            pixels[box] = cv2.GaussianBlur(pixels[box], (0, 0), 0.3 + shade / 20.0)
        case 4:
            piece = pixels[box].copy()
            across, down = told[6] * width // 256, told[7] * height // 256
            room = pixels[down : down + piece.shape[0], across : across + piece.shape[1]]
            room[:] = piece[: room.shape[0], : room.shape[1]]
        case 5:
            corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
            moved = corners + (np.array([*shares[:6], shade, kind], np.float32).reshape(4, 2) - 128)
            turn = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
            pixels = np.asarray(cv2.warpPerspective(pixels, turn, (width, height)), np.uint8)
        case 6:
            pixels = np.clip(pixels * (0.1 + shade / 64.0), 0, 255).astype(np.uint8)
        case _:
            pixels = np.ascontiguousarray(pixels[:, ::-1] if shade % 2 else pixels[::-1])
    return pixels


def pixel_seeds() -> tuple[bytes, ...]:
    rng = random.Random(11)  # noqa: S311  # no secret
    return (
        b"\x00",
        b"\xff",
        *(bytes([side]) + rng.randbytes(8 * count) for count in (1, 2, 4) for side in (0, 255)),
    )
