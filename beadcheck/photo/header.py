"""What a photo's header says, read without decoding its pixels."""

import struct
import warnings
import zlib
from dataclasses import dataclass
from io import BytesIO
from typing import Final

import pillow_heif
from PIL import ExifTags, Image

from beadcheck.errors.photo import (
    AnimatedPhotoError,
    NotAPhotoError,
    PhotoDamagedError,
    PhotoTooLargeError,
    PhotoTooSmallError,
    RawPhotoError,
    UnsupportedColourError,
)
from beadcheck.photo.colour import unsupported_colours
from beadcheck.photo.picture import Lens

MAX_MEGAPIXELS: Final = 120.0
"""Above the main camera of nearly every phone; such a photo takes 360 MB decoded."""
MIN_LONG_SIDE_PX: Final = 480
MIN_SHORT_SIDE_PX: Final = 320
FOCAL_RANGE_MM: Final = (10.0, 200.0)
"""35-mm equivalents outside it are not believed: some makers write nonsense."""

JPEG_START: Final = b"\xff\xd8\xff"
BROKEN_BYTES: Final = (
    ArithmeticError,
    AttributeError,
    EOFError,
    LookupError,
    MemoryError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
"""What the decoders raise on broken bytes, each in its own way."""

_STILL_FORMATS: Final = ("JPEG", "PNG", "TIFF", "WEBP", "BMP", "GIF", "AVIF", "JPEG2000")
_DNG_VERSION_TAG: Final = 50706
_LONGEST_NAME: Final = 64
_BLANKS: Final = str.maketrans("", "", "\t\r\n")
_UNKNOWN: Final = "some other kind of data"
_TURNS: Final = {3: 2, 6: 1, 8: 3}
_MIRRORED: Final = (2, 4, 5, 7)
"""Values of the orientation (Exif 2.32, table 4): turned by quarters, and mirrored."""
_CONTENTS_BY_START: Final = (
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a zip archive or an office document"),
    (b"<", "a web page or a drawing"),
    (b"\x1aE\xdf\xa3", "a video"),
    (b"RIFF", "a video or a sound"),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenedPhoto:
    """A picture whose header passed every check; its pixels are not decoded yet.

    Attributes
    ----------
    orientation
        How its pixels are to be turned upright: Exif 2.32, table 4; 1 where libheif does it.
    """

    picture: Image.Image | pillow_heif.HeifFile
    orientation: int
    lens: Lens
    icc_profile: bytes | None


def open_photo(contents: bytes, *, file: str) -> OpenedPhoto:
    """Open the picture in `contents`, told by its bytes, never by its name.

    Raises
    ------
    PhotoError
        The contents are no still picture of a supported kind, size and colour.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # big pictures and broken EXIF: both are dealt with here
        picture = _opened(contents, file)
        _check_size(picture, file)
        _check_kind(picture, file)
        icc_profile = picture.info.get("icc_profile")
        return OpenedPhoto(
            picture=picture,
            orientation=_orientation(picture),
            lens=_lens(picture),
            icc_profile=icc_profile if isinstance(icc_profile, bytes) else None,
        )


def _opened(contents: bytes, file: str) -> Image.Image | pillow_heif.HeifFile:
    try:
        if contents[4:8] == b"ftyp" and pillow_heif.is_supported(contents):
            return pillow_heif.open_heif(contents)
        return Image.open(BytesIO(contents), formats=_STILL_FORMATS)
    except Image.DecompressionBombError:
        raise PhotoTooLargeError(file, MAX_MEGAPIXELS) from None
    except BROKEN_BYTES:
        if _begins_as_photo(contents):
            raise PhotoDamagedError(file) from None
        raise NotAPhotoError(file, _looks_like(contents)) from None


def _begins_as_photo(contents: bytes) -> bool:
    """Tell a damaged photo from a file that never was one, by its first bytes."""
    starts = (JPEG_START, b"\x89PNG", b"II*\x00", b"MM\x00*", b"GIF8")
    is_heif = contents[4:8] == b"ftyp" and pillow_heif.is_supported(contents)
    return contents.startswith(starts) or contents[8:12] == b"WEBP" or is_heif


def _looks_like(contents: bytes) -> str:
    """Say in words what kind of file this is, as far as its first bytes tell."""
    if contents[4:8] == b"ftyp":
        return "a video"
    start = contents[:64].lstrip(b"\xef\xbb\xbf \t\r\n")
    for magic, words in _CONTENTS_BY_START:
        if start.startswith(magic):
            return words
    try:
        words = contents[:512].decode("ascii")
    except UnicodeDecodeError:
        return _UNKNOWN
    return "text" if words.translate(_BLANKS).isprintable() else _UNKNOWN


def _check_size(picture: Image.Image | pillow_heif.HeifFile, file: str) -> None:
    try:
        width_px, height_px = size_px = picture.size
    except BROKEN_BYTES:  # a HEIF file without a picture in it
        raise PhotoDamagedError(file) from None
    if width_px * height_px > MAX_MEGAPIXELS * 1e6:
        raise PhotoTooLargeError(file, MAX_MEGAPIXELS)
    if max(size_px) < MIN_LONG_SIDE_PX or min(size_px) < MIN_SHORT_SIDE_PX:
        raise PhotoTooSmallError(file, width_px, height_px, MIN_LONG_SIDE_PX, MIN_SHORT_SIDE_PX)


def _check_kind(picture: Image.Image | pillow_heif.HeifFile, file: str) -> None:
    try:
        if isinstance(picture, Image.Image):
            count = getattr(picture, "n_frames", 1)
        else:
            count = len(picture)
    except BROKEN_BYTES:
        raise PhotoDamagedError(file) from None
    # A phone's JPEG may carry further pictures (depth, a gain map): the first is the photo.
    if count > 1 and getattr(picture, "format", None) not in {"JPEG", "MPO"}:
        raise AnimatedPhotoError(file)
    if _DNG_VERSION_TAG in getattr(picture, "tag_v2", {}):
        raise RawPhotoError(file)
    colours = unsupported_colours(str(picture.mode))
    if colours is not None:
        raise UnsupportedColourError(file, colours)


def _orientation(picture: Image.Image | pillow_heif.HeifFile) -> int:
    if not isinstance(picture, Image.Image):
        return 1
    try:
        orientation = picture.getexif().get(ExifTags.Base.Orientation)
    except BROKEN_BYTES:
        return 1
    return orientation if isinstance(orientation, int) and 1 <= orientation <= 8 else 1


def _lens(picture: Image.Image | pillow_heif.HeifFile) -> Lens:
    """Take focal length, make, model and turn from the EXIF data, and nothing else."""
    try:
        if isinstance(picture, Image.Image):
            exif = picture.getexif()
        else:
            exif = Image.Exif()
            exif.load(picture.info.get("exif") or b"")
        focal_mm = exif.get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.FocalLengthIn35mmFilm)
        make, model = exif.get(ExifTags.Base.Make), exif.get(ExifTags.Base.Model)
        # libheif turns its pictures and has their orientation set to upright.
        orientation = picture.info.get("original_orientation", exif.get(ExifTags.Base.Orientation))
    except BROKEN_BYTES:
        return Lens()
    return Lens(
        focal_35mm_mm=_believable_focal(focal_mm),
        make=_name(make),
        model=_name(model),
        quarter_turns=_quarter_turns(orientation),
    )


def _quarter_turns(orientation: object) -> int | None:
    """Clockwise quarter turns of an orientation; none where it is nonsense, as viewers do."""
    if orientation in _MIRRORED:
        return None
    return _TURNS.get(orientation, 0) if isinstance(orientation, int) else 0


def _believable_focal(focal_mm: object) -> float | None:
    lowest_mm, highest_mm = FOCAL_RANGE_MM
    if isinstance(focal_mm, int | float) and lowest_mm <= focal_mm <= highest_mm:
        return float(focal_mm)
    return None


def _name(written: object) -> str | None:
    """Clean a maker's or model's name of padding and of what cannot be printed."""
    if not isinstance(written, str):
        return None
    shown = "".join(letter for letter in written if letter.isprintable()).strip()
    return shown[:_LONGEST_NAME] or None
