"""What is asked of every photo, whole: it needs no other file, wherever it is carried out."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from enum import Enum
from importlib.metadata import version
from pathlib import Path
from typing import Any

from beadcheck.limits import limit_sets
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request, Take
from beadcheck.pipeline.outcome import limit_set_of
from beadcheck.pipeline.solved import designs_of
from beadcheck.report.wording import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedFile:
    """A file's name and its bytes."""

    name: str
    contents: bytes

    def put_into(self, folder: Path) -> Path:
        """Write it into a folder of its own, which is made."""
        folder.mkdir()
        path = folder / self.name
        path.write_bytes(self.contents)
        return path


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ask:
    """What is asked of every photo.

    Attributes
    ----------
    request
        Without takes, and without the files that stand beside it.
    target, limits
        The target file and the limit file, where there are any.
    fingerprint
        The same for the same question to the same version, else another.
    """

    request: Request
    pictures: bool
    unit: LengthUnit
    target: NamedFile | None
    limits: NamedFile | None
    fingerprint: str

    def key(self, kind: PhotoKind, contents: bytes) -> str:
        """Name of this question about one photo, told by its bytes: 64 hexadecimal digits."""
        photo = hashlib.sha256(contents).hexdigest()
        return hashlib.sha256(f"{self.fingerprint} {kind.value} {photo}".encode()).hexdigest()

    def request_for(self, take: Take, folder: Path) -> Request:
        """Request for one take, the files that it needs written into a folder."""
        request = replace(self.request, takes=(take,))
        if self.target is not None:
            request = replace(request, target=self.target.put_into(folder / "target"))
        if self.limits is not None:
            request = replace(request, limits=str(self.limits.put_into(folder / "limits")))
        return request


def ask_of(request: Request, *, pictures: bool, unit: LengthUnit) -> Ask:
    """Take everything in that a request needs besides photos.

    Raises
    ------
    InputFileError
        The target file or the limit file is broken.
    """
    designs_of(request)
    limit_set_of(request)
    target = None if request.target is None else _taken_in(request.target)
    by_file = request.limits is not None and request.limits not in limit_sets()
    limits = _taken_in(Path(request.limits or "")) if by_file else None
    asked = replace(request, takes=(), target=None, limits=None if by_file else request.limits)
    said = json.dumps(
        [version("beadcheck"), *map(_plain, (asked, pictures, unit, target, limits))],
        sort_keys=True,
    )
    return Ask(
        request=asked,
        pictures=pictures,
        unit=unit,
        target=target,
        limits=limits,
        fingerprint=hashlib.sha256(said.encode()).hexdigest(),
    )


def _taken_in(path: Path) -> NamedFile:
    return NamedFile(name=path.name, contents=path.read_bytes())


def _plain(value: object) -> Any:  # what JSON can say
    """Everything that a frozen value holds, as JSON can say it, the same in every run."""
    match value:
        case Enum():
            said: Any = value.value
        case None | bool() | int() | float() | str():
            said = value
        case bytes():
            said = hashlib.sha256(value).hexdigest()
        case date():
            said = value.isoformat()
        case tuple():
            said = [_plain(each) for each in value]
        case Mapping() if not value:
            said = {}
        case _ if is_dataclass(value):
            said = {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
            said[""] = type(value).__name__
        case _:
            msg = f"{type(value).__name__} cannot be asked of many photos"
            raise TypeError(msg)
    return said
