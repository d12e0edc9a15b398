"""The folder of kept photos: each named by the SHA-256 of its bytes, so that none is kept twice.

A copy is re-encoded from the upright pixels: what the camera wrote into the file, the place where
it was taken included, is not in it.
"""

import contextlib
import hashlib
import os
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import cv2

from beadcheck.errors import PhotoError
from beadcheck.errors.log import PhotoNotDeletedError, PhotoNotKeptError
from beadcheck.photo import read_photo

JPEG_QUALITY: Final = 95
COPY_ENDING: Final = ".jpg"
_PART_ENDING: Final = ".part"
LEFTOVER_S: Final = 3600.0
"""No save takes an hour: a passing file that is older belongs to a program that was killed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StagedCopy:
    """A copy that is whole on the disk, but not at its place yet."""

    sha256: str
    width_px: int
    height_px: int
    bytes: int
    staged: Path
    place: Path

    def settle(self) -> None:
        """Bring it to its place.

        Raises
        ------
        PhotoNotKeptError
        """
        _settle(self.staged, self.place)


def copy_place(folder: Path, sha256: str) -> Path:
    """Where the copy with this hash lies."""
    return folder / sha256[:2] / f"{sha256}{COPY_ENDING}"


@contextmanager
def staged_copies(folder: Path, photos: Iterable[Path]) -> Iterator[list[StagedCopy | None]]:
    """Copies of photos, written and flushed under passing names; None of what is no picture.

    What is not settled by the end is removed.

    Raises
    ------
    PhotoNotKeptError
    """
    _remove_leftovers(folder)
    with contextlib.ExitStack() as stack:
        copies: list[StagedCopy | None] = []
        for path in photos:
            copy = _staged(folder, path)
            if copy is not None:
                stack.callback(_unlink_quietly, copy.staged)
            copies.append(copy)
        yield copies


def _unlink_quietly(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)


def _staged(folder: Path, path: Path) -> StagedCopy | None:
    try:
        photo = read_photo(path)
    except PhotoError:
        return None
    done, coded = cv2.imencode(".jpg", photo.pixels_bgr, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    if not done:
        return None
    contents = coded.tobytes()
    sha256 = hashlib.sha256(contents).hexdigest()
    return StagedCopy(
        sha256=sha256,
        width_px=photo.width_px,
        height_px=photo.height_px,
        bytes=len(contents),
        staged=stage(folder, contents, of=path.name),
        place=copy_place(folder, sha256),
    )


def stage(folder: Path, contents: bytes, *, of: str) -> Path:
    """Write bytes under a passing name, and wait until the disk has them.

    Parameters
    ----------
    of
        What a refusal calls the photo.

    Raises
    ------
    PhotoNotKeptError
    """
    path: Path | None = None
    with _said_plainly(of, folder):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(suffix=_PART_ENDING, dir=folder)
            path = Path(name)
            with os.fdopen(handle, "wb") as file:
                file.write(contents)
                file.flush()
                os.fsync(file.fileno())
        except OSError:
            if path is not None:
                path.unlink(missing_ok=True)
            raise
    return path


def copied_back(folder: Path, sha256: str, contents: bytes) -> bool:
    """Bring a copy to its place again; refuse one that is not what its name says.

    Raises
    ------
    PhotoNotKeptError
    """
    if hashlib.sha256(contents).hexdigest() != sha256:
        return False
    place = copy_place(folder, sha256)
    _settle(stage(folder, contents, of=place.name), place)
    return True


def remove_copies(folder: Path, hashes: Iterable[str]) -> int:
    """Delete copies, and count those that were there.

    Only a writer may call this: nobody else brings a copy to its place meanwhile.

    Raises
    ------
    PhotoNotDeletedError
    """
    count = 0
    for place in (copy_place(folder, sha256) for sha256 in hashes):
        try:
            count += place.exists()
            place.unlink(missing_ok=True)
        except OSError as error:
            raise PhotoNotDeletedError(place.name, str(folder), _why(error)) from error
    return count


def take_back(folder: Path, hashes: Iterable[str]) -> None:
    """Delete copies of what is not saved after all, as far as the system lets us."""
    with contextlib.suppress(PhotoNotDeletedError):
        remove_copies(folder, hashes)


def is_whole(path: Path) -> bool:
    """Tell whether a copy is what its name says."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest() == path.stem
    except OSError:
        return False


def _settle(staged: Path, place: Path) -> None:
    with _said_plainly(place.name, place.parents[1]):
        place.parent.mkdir(exist_ok=True)
        staged.replace(place)
        _flush_folder(place.parent)


def _remove_leftovers(folder: Path) -> None:
    """Delete what a program that was killed left under passing names."""
    for path in folder.glob(f"*{_PART_ENDING}"):
        with contextlib.suppress(OSError):
            if time.time() - path.stat().st_mtime > LEFTOVER_S:
                path.unlink()


@contextmanager
def _said_plainly(file: str, folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise PhotoNotKeptError(file, str(folder), _why(error)) from error


def _why(error: OSError) -> str:
    return (error.strerror or "the system refuses").lower()


def _flush_folder(folder: Path) -> None:
    """Let a new name outlive a power cut, where the system can flush folders."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
