"""Which files the paths on the command line stand for."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from beadcheck.errors.command import (
    CouponFileAloneError,
    NoPhotoGivenError,
    NoPhotoInFolderError,
    NoSuchFileError,
)

PHOTO_ENDINGS: Final = (".jpg", ".jpeg", ".png", ".heic", ".heif")
COUPON_ENDING: Final = ".toml"
DRAWN_ENDINGS: Final = (".measured.jpg", ".relief.jpg", ".unrolled.jpg")
"""Of our own pictures (`beadcheck.report.folder`), which are no photos to measure."""


def coupon_file_among(given: Sequence[Path]) -> Path | None:
    """Coupon file that stands where photos stand; None where there is none.

    Raises
    ------
    CouponFileAloneError
        Something stands beside it.
    NoSuchFileError
    """
    files = [path for path in given if path.suffix.lower() == COUPON_ENDING and not path.is_dir()]
    if not files:
        return None
    if len(given) > 1:
        raise CouponFileAloneError(str(files[0]))
    return _existing(files[0])


def photo_paths(given: Sequence[Path]) -> tuple[Path, ...]:
    """Every photo named, folders opened (in the order of their names), each once.

    A file that is named itself is taken whatever its ending.

    Raises
    ------
    NoPhotoGivenError, NoSuchFileError, NoPhotoInFolderError
    """
    if not given:
        raise NoPhotoGivenError
    paths: list[Path] = []
    for path in given:
        paths += _photos_in(path) if path.is_dir() else [_existing(path)]
    return tuple(dict.fromkeys(paths))


def named_photos(given: Sequence[Path]) -> tuple[Path, ...]:
    """Photos that a flag names one by one, each once.

    Raises
    ------
    NoSuchFileError
    """
    return tuple(dict.fromkeys(_existing(path) for path in given))


def _existing(path: Path) -> Path:
    if not path.exists():
        raise NoSuchFileError(str(path))
    return path


def _photos_in(folder: Path) -> list[Path]:
    photos = sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() in PHOTO_ENDINGS
        and not path.name.lower().endswith(DRAWN_ENDINGS)
        and not path.name.startswith(".")
    )
    if not photos:
        raise NoPhotoInFolderError(str(folder), ", ".join(PHOTO_ENDINGS))
    return photos
