"""From light to a photo file: lens blur, noise, white balance, tone, JPEG and EXIF."""

import io
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image as Pillow
from PIL.ExifTags import IFD, Base

from samples.making.noise import Image


@dataclass(frozen=True, slots=True, kw_only=True)
class Development:
    """How the phone turns light into a file.

    Attributes
    ----------
    blur_px
        Standard width of the optics' blur.
    exposure
        Mean lightness aimed at, before highlights are spared.
    noise
        Variance of the photon noise at full scale.
    contrast
        0 keeps the sRGB curve; above, a phone's steeper curve is laid over it.
    sharpening
        Share of an unsharp mask, in code values.
    turned
        The file is stored on its side and its EXIF orientation says so.
    """

    blur_px: float = 0.8
    motion_px: float = 0.0
    motion_deg: float = 0.0
    exposure: float = 0.22
    noise: float = 0.001
    warmth: float = 0.0
    contrast: float = 0.0
    sharpening: float = 0.0
    vignette: float = 0.15
    quality: int = 90
    turned: bool = False


def develop(light: Image, how: Development, *, rng: np.random.Generator) -> Image:
    """Return the photo (H, W, 3), 8-bit sRGB, of linear light (H, W, 3)."""
    picture = cv2.GaussianBlur(light, (0, 0), how.blur_px) if how.blur_px > 0 else light
    if how.motion_px > 0.5:
        picture = cv2.filter2D(picture, -1, _motion(how))
    picture = picture * exposure_gain(picture, how)
    picture = picture * np.array([1 + how.warmth, 1.0, 1 - how.warmth], dtype=np.float32)
    picture = picture * _vignette(picture.shape[:2], how.vignette)[..., None]
    picture = picture + _grain(picture, how, rng)
    code = _curve(np.clip(picture, 0, None), how)
    if how.sharpening > 0:
        code = code + how.sharpening * (code - cv2.GaussianBlur(code, (0, 0), 1.4))
    return np.asarray(np.clip(code * 255 + 0.5, 0, 255), dtype=np.uint8)


def exposure_gain(picture: Image, how: Development) -> float:
    """Aim at a mean lightness, but let no more than some per cent of the picture burn out."""
    light = cv2.GaussianBlur(picture, (0, 0), 3)[::4, ::4] @ np.array([0.2126, 0.7152, 0.0722])
    mean = how.exposure / max(float(np.mean(np.minimum(light, np.percentile(light, 97)))), 1e-9)
    spare = 1.05 / max(float(np.percentile(light, 98.5)), 1e-9)
    return float(min(mean, spare))


def _motion(how: Development) -> Image:
    size = int(how.motion_px) * 2 + 3
    kernel = np.zeros((size, size), dtype=np.float32)
    along = np.radians(how.motion_deg)
    reach = how.motion_px / 2 * np.array([np.cos(along), np.sin(along)])
    middle = np.array([size // 2, size // 2])
    for u in np.linspace(-1, 1, 60):
        x, y = middle + u * reach
        kernel[round(y), round(x)] += 1
    return kernel / kernel.sum()


def _vignette(shape: tuple[int, int], depth: float) -> Image:
    y, x = np.mgrid[: shape[0], : shape[1]].astype(np.float32)
    r2 = (x / shape[1] - 0.5) ** 2 + (y / shape[0] - 0.5) ** 2
    return (1 - 2 * depth * r2).astype(np.float32)


def _grain(picture: Image, how: Development, rng: np.random.Generator) -> Image:
    variance = how.noise * np.clip(picture, 0, 2) + (0.6 * how.noise) ** 1.2 * 0.05
    white = rng.standard_normal(picture.shape, dtype=np.float32)
    # A phone's own noise filter leaves a slightly blotchy grain.
    blotch = cv2.GaussianBlur(white, (0, 0), 0.7) * 1.9
    return np.sqrt(variance) * (0.6 * white + 0.5 * blotch)


def _curve(light: Image, how: Development) -> Image:
    knee = 0.92
    over = np.maximum(light - knee, 0)
    soft = np.where(light > knee, knee + (1 - knee) * (1 - np.exp(-over / (1 - knee))), light)
    code = np.where(soft <= 0.0031308, 12.92 * soft, 1.055 * np.power(soft, 1 / 2.4) - 0.055)
    steep = code * code * (3 - 2 * code)
    return ((1 - how.contrast) * code + how.contrast * steep).astype(np.float32)


def save_photo(
    photo: Image,
    path: Path,
    *,
    focal_equiv_mm: float,
    how: Development,
    taken: str,
    maker: tuple[str, str] | None = None,
) -> None:
    """Write the photo as JPEG with the EXIF a phone writes, but for the place.

    `maker` is the make and the model that the file states, if any.
    """
    stored = np.rot90(photo) if how.turned else photo
    exif = Pillow.Exif()
    exif[Base.Orientation] = 6 if how.turned else 1
    exif[Base.Software] = "samples of beadcheck"
    exif[Base.DateTime] = taken
    if maker is not None:
        exif[Base.Make], exif[Base.Model] = maker
    details = exif.get_ifd(IFD.Exif)
    details[Base.FocalLengthIn35mmFilm] = round(focal_equiv_mm)
    details[Base.FocalLength] = round(focal_equiv_mm / 6.5, 2)
    details[Base.DateTimeOriginal] = taken
    details[Base.ExifImageWidth] = stored.shape[1]
    details[Base.ExifImageHeight] = stored.shape[0]
    buffer = io.BytesIO()
    Pillow.fromarray(np.ascontiguousarray(stored)).save(
        buffer, "JPEG", quality=how.quality, exif=exif, subsampling=2 if how.quality < 88 else 0
    )
    path.write_bytes(buffer.getvalue())
