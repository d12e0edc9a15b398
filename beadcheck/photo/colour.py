"""Any kind of decoded picture as sRGB-coded 8-bit pixels."""

import io
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

CMYK_COLOURS: Final = "printing inks (CMYK)"
WIDE_COLOURS: Final = "32-bit numbers"
SAME_GREYS_CODES: Final = 2
"""A profile whose greys come out this close in code values has sRGB's tone curve."""

_CMYK_MODES: Final = frozenset({"CMYK", "YCCK"})
_WIDE_MODES: Final = frozenset({"I", "F"})


def unsupported_colours(mode: str) -> str | None:
    """Say in words what a Pillow mode stores, where it cannot be measured from."""
    if mode in _CMYK_MODES:
        return CMYK_COLOURS
    if mode in _WIDE_MODES:
        return WIDE_COLOURS
    return None


def rgb_picture(picture: Image.Image) -> Image.Image:
    """Return a picture of any supported mode in 8-bit RGB; see-through parts show white.

    Its colour profile stays as it is in ``info``; grey stays grey in all three channels.
    """
    if picture.mode.startswith("I;16"):
        high_bytes = (np.asarray(picture).astype(np.uint16) >> 8).astype(np.uint8)
        return Image.fromarray(high_bytes).convert("RGB")
    if picture.mode == "RGB":
        return picture
    if picture.has_transparency_data:
        coloured = picture.convert("RGBA")
        white = Image.new("RGBA", coloured.size, (255, 255, 255, 255))
        return Image.alpha_composite(white, coloured).convert("RGB")
    return picture.convert("RGB")


def in_srgb(pixels_bgr: NDArray[np.uint8], icc_profile: bytes | None) -> NDArray[np.uint8]:
    """Bring pixels from the file's own colour profile to sRGB, where it matters.

    Toes and marker edges are fitted in linear luminance, so the tone curve matters and the
    primaries hardly do: a profile whose greys come out as they went in (sRGB itself; Display P3 of
    phones) leaves the pixels alone. A profile that cannot be read is ignored, as viewers do.
    """
    if not icc_profile:
        return pixels_bgr
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc_profile))
        if profile.profile.xcolor_space.strip() != "RGB":
            return _grey_in_srgb(pixels_bgr, profile)
        transform = _to_srgb(profile, mode="RGB")
        ramp = Image.fromarray(np.repeat(_ramp()[..., np.newaxis], 3, axis=2))
        if _greys_stay(np.asarray(ImageCms.applyTransform(ramp, transform))):
            return pixels_bgr
        picture = Image.fromarray(np.ascontiguousarray(pixels_bgr[..., ::-1]))
        converted = np.asarray(ImageCms.applyTransform(picture, transform))
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return pixels_bgr
    return np.ascontiguousarray(converted[..., ::-1])


def _grey_in_srgb(
    pixels_bgr: NDArray[np.uint8], profile: ImageCms.ImageCmsProfile
) -> NDArray[np.uint8]:
    """Bring a grey picture to sRGB by the tone curve of its grey profile."""
    ramp = Image.fromarray(_ramp())
    curve = np.asarray(ImageCms.applyTransform(ramp, _to_srgb(profile, mode="L")))[0, :, 1]
    return pixels_bgr if _greys_stay(curve[np.newaxis]) else curve[pixels_bgr]


def _to_srgb(profile: ImageCms.ImageCmsProfile, *, mode: str) -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(
        profile,
        ImageCms.createProfile("sRGB"),
        mode,
        "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )


def _ramp() -> NDArray[np.uint8]:
    return np.arange(256, dtype=np.uint8)[np.newaxis]


def _greys_stay(seen: NDArray[np.uint8]) -> bool:
    expected = _ramp().astype(np.int16)
    if seen.ndim == 3:
        expected = expected[..., np.newaxis]
    return bool(np.abs(seen.astype(np.int16) - expected).max() <= SAME_GREYS_CODES)
