"""Photos in: every kind of file yields a photo or one clear refusal."""

import contextlib
import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageCms, ImageOps

from beadcheck.errors import BeadcheckError
from beadcheck.errors.photo import (
    AnimatedPhotoError,
    NotAPhotoError,
    PhotoDamagedError,
    PhotoEmptyError,
    PhotoFileTooBigError,
    PhotoIsFolderError,
    PhotoMissingError,
    PhotoTooLargeError,
    PhotoTooSmallError,
    PhotoUnreadableError,
    RawPhotoError,
    UnsupportedColourError,
)
from beadcheck.photo import Lens, Photo, read_photo

WIDTH_PX, HEIGHT_PX = 720, 500


def scene_rgb() -> NDArray[np.uint8]:
    """Smooth colours without any symmetry, so that a turn or a swapped channel shows."""
    y, x = np.mgrid[0:HEIGHT_PX, 0:WIDTH_PX].astype(np.float64)
    red = 40 + 180 * x / WIDTH_PX
    green = 60 + 120 * y / HEIGHT_PX
    blue = 128 + 90 * np.sin(x / 90.0 + y / 140.0)
    return np.stack([red, green, blue], axis=2).round().astype(np.uint8)


def encoded(picture: Image.Image, kind: str, **options: object) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


@pytest.fixture(scope="module")
def picture() -> Image.Image:
    return Image.fromarray(scene_rgb())


@pytest.fixture(scope="module")
def jpeg(picture: Image.Image) -> bytes:
    return encoded(picture, "JPEG", quality=95, subsampling=0)


def read(folder: Path, contents: bytes, name: str = "photo.jpg") -> Photo:
    path = folder / name
    path.write_bytes(contents)
    return read_photo(path)


# ---- kinds that are read


@pytest.mark.parametrize(
    ("kind", "options", "tolerance_codes"),
    [
        ("PNG", {}, 0),
        ("TIFF", {}, 0),
        ("BMP", {}, 0),
        ("WEBP", {"lossless": True}, 0),
        ("JPEG", {"quality": 95, "subsampling": 0}, 4),
        ("JPEG", {"quality": 95, "subsampling": 0, "progressive": True}, 4),
    ],
)
def test_colours_come_back_as_written_whatever_the_name(
    tmp_path: Path,
    picture: Image.Image,
    kind: str,
    options: dict[str, object],
    tolerance_codes: int,
) -> None:
    photo = read(tmp_path, encoded(picture, kind, **options), name="misnamed.txt")
    assert photo.file == "misnamed.txt"
    assert_allclose(
        photo.pixels_bgr[..., ::-1].astype(int), scene_rgb().astype(int), atol=tolerance_codes
    )
    assert not photo.pixels_bgr.flags.writeable


def test_heic_is_read(tmp_path: Path, picture: Image.Image) -> None:
    buffer = io.BytesIO()
    pillow_heif.from_pillow(picture).save(buffer, quality=95, chroma=444)
    photo = read(tmp_path, buffer.getvalue(), name="IMG_0001.HEIC")
    # Lossy: most codes within 3, every one within 12.
    error = np.abs(photo.pixels_bgr[..., ::-1].astype(int) - scene_rgb().astype(int))
    assert np.mean(error <= 3) > 0.95
    assert error.max() <= 12


def test_grey_palette_and_sixteen_bit_pictures_keep_their_greys(tmp_path: Path) -> None:
    grey = np.tile(np.linspace(0, 255, WIDTH_PX).round().astype(np.uint8), (HEIGHT_PX, 1))
    wide = (grey.astype(np.uint16) << 8) | 0x80
    for contents in (
        encoded(Image.fromarray(grey), "PNG"),
        encoded(Image.fromarray(wide), "PNG"),
        encoded(Image.fromarray(grey).convert("P"), "PNG"),
        encoded(Image.fromarray(grey).convert("P"), "GIF"),
        sixteen_bit_rgb_png(wide),
    ):
        photo = read(tmp_path, contents, name="grey.png")
        for channel in range(3):
            assert_array_equal(photo.pixels_bgr[..., channel], grey)


def sixteen_bit_rgb_png(grey: NDArray[np.uint16]) -> bytes:
    """A PNG with three 16-bit channels, which Pillow reads but cannot write."""
    height, width = grey.shape
    samples = np.repeat(grey[..., np.newaxis], 3, axis=2).astype(">u2")
    rows = b"".join(b"\x00" + samples[row].tobytes() for row in range(height))

    def chunk(name: bytes, body: bytes) -> bytes:
        check = zlib.crc32(name + body)
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", check)

    header = struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)
    parts = (chunk(b"IHDR", header), chunk(b"IDAT", zlib.compress(rows)), chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def test_a_see_through_part_shows_white(tmp_path: Path, picture: Image.Image) -> None:
    holed = picture.convert("RGBA")
    holed.paste((0, 0, 0, 0), (100, 50, 200, 90))
    photo = read(tmp_path, encoded(holed, "PNG"))
    assert_array_equal(photo.pixels_bgr[70, 150], (255, 255, 255))
    assert_array_equal(photo.pixels_bgr[10, 10, ::-1], scene_rgb()[10, 10])


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_orientation_is_applied_as_pillow_applies_it(
    tmp_path: Path, picture: Image.Image, orientation: int, kind: str
) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    contents = encoded(picture, kind, exif=exif)
    expected = np.asarray(ImageOps.exif_transpose(Image.open(io.BytesIO(contents))))
    seen = read(tmp_path, contents).pixels_bgr[..., ::-1]
    assert_allclose(seen.astype(int), expected.astype(int), atol=2)  # two JPEG decoders


def test_a_phones_second_picture_and_trailer_do_not_matter(
    tmp_path: Path, picture: Image.Image, jpeg: bytes
) -> None:
    several = encoded(picture, "MPO", save_all=True, append_images=[picture.reduce(2)])
    assert read(tmp_path, several).width_px == WIDTH_PX
    assert read(tmp_path, jpeg + b"trailer of the maker" * 50).width_px == WIDTH_PX


# ---- metadata


def exif_of_a_phone(**of_camera: object) -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = "Quayphone\x00  "
    exif[ExifTags.Base.Model] = "QP \x07 9"
    camera = exif.get_ifd(ExifTags.IFD.Exif)
    camera[ExifTags.Base.FocalLengthIn35mmFilm] = 26
    for name, value in of_camera.items():
        camera[ExifTags.Base[name]] = value
    location = exif.get_ifd(ExifTags.IFD.GPSInfo)
    location[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    return exif


def test_only_the_lens_is_kept_of_the_metadata(tmp_path: Path, picture: Image.Image) -> None:
    photo = read(tmp_path, encoded(picture, "JPEG", exif=exif_of_a_phone()))
    assert photo.lens == Lens(focal_35mm_mm=26.0, make="Quayphone", model="QP  9")
    buffer = io.BytesIO()
    pillow_heif.from_pillow(picture).save(buffer, exif=exif_of_a_phone().tobytes())
    assert read(tmp_path, buffer.getvalue()).lens.focal_35mm_mm == 26.0


@pytest.mark.parametrize("written", [0, 3, 900])
def test_a_nonsense_focal_length_is_not_believed(
    tmp_path: Path, picture: Image.Image, written: int
) -> None:
    exif = exif_of_a_phone(FocalLengthIn35mmFilm=written)
    assert read(tmp_path, encoded(picture, "JPEG", exif=exif)).lens.focal_35mm_mm is None


def test_broken_exif_does_not_stop_a_good_picture(tmp_path: Path, picture: Image.Image) -> None:
    for junk in (
        b"Exif\x00\x00",
        b"Exif\x00\x00II*\x00\xff\xff\xff\xff",
        b"Exif\x00\x00" + b"\xff" * 60,
    ):
        photo = read(tmp_path, encoded(picture, "JPEG", exif=junk))
        assert photo.lens == Lens()
        assert photo.width_px == WIDTH_PX


# ---- colour profiles


def grey_profile() -> bytes:
    """A grey profile whose codes are linear light (ICC.1:2010, empty curve)."""
    white = b"XYZ \x00\x00\x00\x00" + struct.pack(">iii", 63190, 65536, 54061)
    curve = b"curv\x00\x00\x00\x00\x00\x00\x00\x00"
    table = struct.pack(">I", 2)
    table += b"wtpt" + struct.pack(">II", 156, len(white))
    table += b"kTRC" + struct.pack(">II", 156 + len(white), len(curve))
    size = 156 + len(white) + len(curve)
    header = struct.pack(">I4sI4s4s4s", size, b"lcms", 0x02400000, b"mntr", b"GRAY", b"XYZ ")
    header += b"\x00" * 12 + b"acsp" + b"\x00" * 28 + struct.pack(">iii", 63190, 65536, 54061)
    return header.ljust(128, b"\x00") + table + white + curve


def matrix_profile(*, gamma: float | None) -> bytes:
    """An RGB profile (ICC.1:2010) with Display P3's primaries.

    Its tone curve is a power law, or sRGB's (a parametric curve of type 3) where gamma is None.
    """

    def fixed(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    def xyz(*values: float) -> bytes:
        return b"XYZ \x00\x00\x00\x00" + b"".join(fixed(value) for value in values)

    if gamma is None:
        curve = b"para\x00\x00\x00\x00\x00\x03\x00\x00"
        curve += b"".join(map(fixed, (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)))
    else:
        curve = b"curv\x00\x00\x00\x00" + struct.pack(">IH", 1, round(gamma * 256)) + b"\x00\x00"
    tags = {
        b"rXYZ": xyz(0.5151, 0.2412, -0.0011),
        b"gXYZ": xyz(0.2919, 0.6922, 0.0419),
        b"bXYZ": xyz(0.1572, 0.0666, 0.7841),
        b"wtpt": xyz(0.9642, 1.0, 0.8249),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    offset = 128 + 4 + 12 * len(tags)
    table, bodies = struct.pack(">I", len(tags)), b""
    for name, body in tags.items():
        table += name + struct.pack(">II", offset + len(bodies), len(body))
        bodies += body
    size = offset + len(bodies)
    header = struct.pack(">I4sI4s4s4s", size, b"lcms", 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    header += b"\x00" * 12 + b"acsp" + b"\x00" * 28 + fixed(0.9642) + fixed(1.0) + fixed(0.8249)
    return header.ljust(128, b"\x00") + table + bodies


def test_a_grey_of_another_tone_curve_shows_the_same_light(tmp_path: Path) -> None:
    # Code c of gamma g stands for the light (c / 255) ** g; sRGB must show the same light.
    codes = np.array([30, 64, 110, 128, 200, 250], dtype=np.uint8)
    bands = np.repeat(np.repeat(codes[np.newaxis], HEIGHT_PX, axis=0), 120, axis=1)
    picture = Image.fromarray(np.repeat(bands[..., np.newaxis], 3, axis=2))
    for gamma in (1.8, 2.6):
        contents = encoded(picture, "PNG", icc_profile=matrix_profile(gamma=gamma))
        seen = read(tmp_path, contents).pixels_bgr[5, 60::120, 1].astype(float)
        light = (codes / 255.0) ** gamma
        expected = np.where(
            light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055
        )  # IEC 61966-2-1
        assert_allclose(seen, 255.0 * expected, atol=1.5)  # rounding of 8-bit codes, twice
        assert np.abs(seen - codes).max() > 5


def test_the_profile_of_phones_keeps_its_codes_for_its_tone_curve_is_that_of_srgb(
    tmp_path: Path, picture: Image.Image
) -> None:
    display_p3 = matrix_profile(gamma=None)
    photo = read(tmp_path, encoded(picture, "PNG", icc_profile=display_p3))
    assert_array_equal(photo.pixels_bgr[..., ::-1], scene_rgb())


def test_a_grey_picture_follows_its_grey_profile(tmp_path: Path) -> None:
    grey = np.tile(np.linspace(0, 255, WIDTH_PX).round().astype(np.uint8), (HEIGHT_PX, 1))
    contents = encoded(Image.fromarray(grey), "JPEG", quality=100, icc_profile=grey_profile())
    seen = read(tmp_path, contents).pixels_bgr[7, :, 1]
    light = grey[7] / 255.0
    expected = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    bright = grey[7] > 20  # one code of error in the shadows is many of sRGB's
    assert_allclose(seen[bright], 255.0 * expected[bright], atol=4.0)


def test_an_srgb_or_a_broken_profile_changes_nothing(tmp_path: Path, picture: Image.Image) -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for profile in (srgb, b"no profile at all", srgb[:200]):
        photo = read(tmp_path, encoded(picture, "PNG", icc_profile=profile))
        assert_array_equal(photo.pixels_bgr[..., ::-1], scene_rgb())


# ---- refusals


def refused(folder: Path, contents: bytes, name: str = "photo.jpg") -> BeadcheckError:
    with pytest.raises(BeadcheckError) as caught:
        read(folder, contents, name)
    sentence = str(caught.value)
    assert name in sentence
    assert "{" not in sentence
    assert "\n" not in sentence
    return caught.value


def test_no_file_a_folder_and_a_file_without_bytes_are_refused(tmp_path: Path) -> None:
    for missing in (tmp_path / "none.jpg", tmp_path / "a\x00b.jpg"):
        with pytest.raises(PhotoMissingError):
            read_photo(missing)
    with pytest.raises(PhotoIsFolderError):
        read_photo(tmp_path)
    assert isinstance(refused(tmp_path, b""), PhotoEmptyError)


def test_a_file_that_may_not_be_opened_is_refused(
    tmp_path: Path, jpeg: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "locked.jpg"
    path.write_bytes(jpeg)

    def locked(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", locked)  # chmod does not stop an administrator
    with pytest.raises(PhotoUnreadableError, match="permission denied"):
        read_photo(path)


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.jpg"
    with path.open("wb") as sparse:
        sparse.truncate(300_000_000)
    with pytest.raises(PhotoFileTooBigError, match="300 megabytes"):
        read_photo(path)


@pytest.mark.parametrize(
    ("contents", "words"),
    [
        (b"%PDF-1.7\n...", "a PDF"),
        (b"PK\x03\x04....", "zip"),
        (b"<!doctype html><title>x</title>", "web page"),
        (b"just some words\n", "text"),
        (b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00", "a video"),
        (bytes(range(256)) * 4, "some other kind of data"),
        (b"\xff", "some other kind of data"),
    ],
)
def test_what_is_no_picture_is_named(tmp_path: Path, contents: bytes, words: str) -> None:
    error = refused(tmp_path, contents)
    assert isinstance(error, NotAPhotoError)
    assert words in str(error)


def with_jpeg_size(jpeg: bytes, width: int, height: int) -> bytes:
    at = jpeg.index(b"\xff\xc0")
    return jpeg[: at + 5] + struct.pack(">HH", height, width) + jpeg[at + 9 :]


def with_png_size(png: bytes, width: int, height: int) -> bytes:
    header = b"IHDR" + struct.pack(">II", width, height) + png[24:29]
    return png[:12] + header + struct.pack(">I", zlib.crc32(header)) + png[33:]


@pytest.mark.parametrize("size", [(60_000, 60_000), (14_000, 9_000), (12_001, 10_000)])
def test_too_many_pixels_are_refused_from_the_header(
    tmp_path: Path, picture: Image.Image, jpeg: bytes, size: tuple[int, int]
) -> None:
    assert isinstance(refused(tmp_path, with_jpeg_size(jpeg, *size)), PhotoTooLargeError)
    png = with_png_size(encoded(picture, "PNG"), *size)
    assert isinstance(refused(tmp_path, png), PhotoTooLargeError)


@pytest.mark.parametrize("size", [(1, 1), (479, 320), (5000, 319), (300, 300)])
def test_too_few_pixels_are_refused(tmp_path: Path, size: tuple[int, int]) -> None:
    for kind in ("JPEG", "PNG"):
        error = refused(tmp_path, encoded(Image.new("RGB", size), kind))
        assert isinstance(error, PhotoTooSmallError)
        assert f"{size[0]} x {size[1]}" in str(error)


def test_the_smallest_photo_may_stand_on_end(tmp_path: Path) -> None:
    assert read(tmp_path, encoded(Image.new("RGB", (320, 480)), "PNG")).height_px == 480


@pytest.mark.parametrize("kind", ["GIF", "PNG", "WEBP", "TIFF"])
def test_several_pictures_in_one_file_are_refused(
    tmp_path: Path, picture: Image.Image, kind: str
) -> None:
    several = encoded(picture, kind, save_all=True, append_images=[ImageOps.mirror(picture)])
    assert isinstance(refused(tmp_path, several), AnimatedPhotoError)


def test_a_burst_in_one_heic_is_refused(tmp_path: Path, picture: Image.Image) -> None:
    burst = pillow_heif.from_pillow(picture)
    burst.add_from_pillow(ImageOps.mirror(picture))
    buffer = io.BytesIO()
    burst.save(buffer, save_all=True)
    assert isinstance(refused(tmp_path, buffer.getvalue()), AnimatedPhotoError)


def test_inks_and_wide_numbers_are_refused(tmp_path: Path, picture: Image.Image) -> None:
    inks = encoded(picture.convert("CMYK"), "JPEG")
    assert isinstance(refused(tmp_path, inks), UnsupportedColourError)
    for mode in ("F", "I"):
        wide = encoded(picture.convert("L").convert(mode), "TIFF")
        assert isinstance(refused(tmp_path, wide), UnsupportedColourError)


def test_a_raw_file_is_told_from_its_preview(tmp_path: Path, picture: Image.Image) -> None:
    raw = encoded(picture, "TIFF", tiffinfo={50706: b"\x01\x04\x00\x00"})
    assert isinstance(refused(tmp_path, raw), RawPhotoError)


@pytest.mark.parametrize("kept", [0.02, 0.3, 0.7, 0.999])
@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_cut_short_is_refused_even_with_a_whole_thumbnail(
    tmp_path: Path, picture: Image.Image, kept: float, progressive: bool
) -> None:
    thumbnail = encoded(picture.reduce(8), "JPEG")
    exif = exif_of_a_phone().tobytes() + thumbnail
    whole = encoded(picture, "JPEG", quality=90, progressive=progressive, exif=exif)
    assert read(tmp_path, whole).width_px == WIDTH_PX
    start = len(exif) + 700
    cut = whole[: start + int(kept * (len(whole) - start - 2))]
    assert isinstance(refused(tmp_path, cut), PhotoDamagedError)


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_jpeg_with_a_hole_before_its_end_is_refused(
    tmp_path: Path, picture: Image.Image, orientation: int
) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    whole = encoded(picture, "JPEG", quality=90, exif=exif)
    holed = whole[: len(whole) // 2] + whole[-300:]
    assert isinstance(refused(tmp_path, holed), PhotoDamagedError)


def test_a_picture_that_is_middle_grey_all_round_is_read(tmp_path: Path) -> None:
    grey = encoded(Image.new("RGB", (700, 500), (128, 128, 128)), "JPEG")
    assert read(tmp_path, grey).width_px == 700


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "BMP", "WEBP"])
@pytest.mark.parametrize("kept", [0.3, 0.9])
def test_other_kinds_cut_short_are_refused(
    tmp_path: Path, picture: Image.Image, kind: str, kept: float
) -> None:
    whole = encoded(picture, kind)
    assert isinstance(refused(tmp_path, whole[: int(kept * len(whole))]), PhotoDamagedError)


def test_a_heic_cut_short_is_refused(tmp_path: Path, picture: Image.Image) -> None:
    buffer = io.BytesIO()
    pillow_heif.from_pillow(picture).save(buffer, quality=80)
    whole = buffer.getvalue()
    for kept in (0.2, 0.6, 0.95):
        assert isinstance(refused(tmp_path, whole[: int(kept * len(whole))]), PhotoDamagedError)


# ---- any bytes


def photo_or_refusal(path: Path) -> None:
    with contextlib.suppress(BeadcheckError):
        photo = read_photo(path)
        assert min(photo.width_px, photo.height_px) >= 320


SMALL_PICTURE = Image.fromarray(scene_rgb()[:480, :640]).quantize(8).convert("RGB")
SEEDS = [
    encoded(SMALL_PICTURE, "JPEG", quality=30, exif=exif_of_a_phone()),
    encoded(SMALL_PICTURE, "PNG", exif=exif_of_a_phone()),
    encoded(SMALL_PICTURE.quantize(8), "GIF"),
    encoded(SMALL_PICTURE.quantize(8), "TIFF", compression="tiff_deflate"),
    encoded(SMALL_PICTURE, "WEBP", quality=20),
]


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    seed=st.sampled_from(SEEDS),
    changes=st.lists(
        st.tuples(st.integers(0, 3000), st.binary(min_size=1, max_size=6)), max_size=4
    ),
    cut=st.none() | st.integers(0, 3000),
)
def test_mutated_headers_give_a_photo_or_a_refusal(
    tmp_path: Path, seed: bytes, changes: list[tuple[int, bytes]], cut: int | None
) -> None:
    mutated = bytearray(seed)
    for at, junk in changes:
        mutated[at : at + len(junk)] = junk
    path = tmp_path / "mutated.bin"
    path.write_bytes(bytes(mutated[:cut]))
    photo_or_refusal(path)


@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    start=st.sampled_from(
        [b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"\x00\x00\x00\x18ftypheic"]
    ),
    rest=st.binary(max_size=400),
)
def test_any_bytes_give_a_photo_or_a_refusal(tmp_path: Path, start: bytes, rest: bytes) -> None:
    path = tmp_path / "any.bin"
    path.write_bytes(start + rest)
    photo_or_refusal(path)
