"""Calibrated cameras as files, format ``beadcheck-camera/1``, one each in a folder."""

import contextlib
import json
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import fields
from datetime import date, datetime
from pathlib import Path
from typing import Final

import platformdirs

from beadcheck.camera.book import CalibratedCamera, CameraBook
from beadcheck.camera.lens import Camera
from beadcheck.errors.camera import CameraNameTakenError, UnknownCameraError
from beadcheck.errors.input_file import FileNotReadableError
from beadcheck.errors.setting import FileNotWritableError
from beadcheck.target.toml_table import TomlTable, read_toml

FORMAT: Final = "beadcheck-camera/1"
FOLDER_VARIABLE: Final = "BEADCHECK_CAMERAS"
LARGEST_SIDE_PX: Final = 100_000
_KEYS: Final = (
    "format",
    *(each.name for each in (*fields(CalibratedCamera), *fields(Camera)) if each.name != "camera"),
)
Figure = str | int | float | date | tuple[float, float]


def camera_folder(environment: Mapping[str, str]) -> Path:
    """The user's folder of calibrated cameras, or the one that ``BEADCHECK_CAMERAS`` names."""
    named = environment.get(FOLDER_VARIABLE)
    return Path(named) if named else _usual_folder()


def _usual_folder() -> Path:
    return platformdirs.user_data_path("beadcheck", appauthor=False) / "cameras"


def camera_figures(camera: CalibratedCamera) -> dict[str, Figure]:
    """All that a file holds, by key, in its order."""
    known = camera.camera
    figures: dict[str, Figure | None] = {
        "format": FORMAT,
        "name": camera.name,
        "make": camera.make,
        "model": camera.model,
        "focal_35mm_mm": camera.focal_35mm_mm,
        "width_px": camera.width_px,
        "height_px": camera.height_px,
        "calibrated_on": camera.calibrated_on,
        "photo_count": camera.photo_count,
        "residual_px": round(camera.residual_px, 4),
        "focal_px": round(known.focal_px, 3),
        "u_focal_px": round(known.u_focal_px, 3),
        "centre_px": (round(known.centre_px[0], 3), round(known.centre_px[1], 3)),
        "u_centre_px": round(known.u_centre_px, 3),
        "k1": round(known.k1, 6),
        "u_k1": round(known.u_k1, 6),
        "k2": round(known.k2, 6),
        "u_k2": round(known.u_k2, 6),
    }
    return {key: figure for key, figure in figures.items() if figure is not None}


def camera_toml(camera: CalibratedCamera) -> str:
    """Text of a camera's file; u_ are standard uncertainties."""
    return "".join(f"{key} = {_toml(figure)}\n" for key, figure in camera_figures(camera).items())


def _toml(figure: Figure) -> str:
    match figure:
        case str():
            return json.dumps(figure, ensure_ascii=False)
        case date():
            return figure.isoformat()
        case tuple():
            return f"[{', '.join(map(str, figure))}]"
        case _:
            return str(figure)


def read_camera(path: Path) -> CalibratedCamera:
    """Camera of a file.

    Raises
    ------
    InputFileError
        The file cannot be read, or a value in it makes no sense; the line is named.
    """
    file, values = read_toml(path)
    top = TomlTable(file=file, values=values)
    top.refuse_misspelt(_KEYS)
    if top.text("format", f'format = "{FORMAT}"') != FORMAT:
        raise top.refusal("format", f'"{FORMAT}"')
    day = top.demanded("calibrated_on", "calibrated_on = 2026-05-17")
    if not isinstance(day, date) or isinstance(day, datetime):
        raise top.refusal(
            "calibrated_on", "a day without quotes, as in: calibrated_on = 2026-05-17"
        )

    def side_px(key: str) -> int:
        return top.whole_number(key, 100, LARGEST_SIDE_PX, example=f"{key} = 4032")

    width_px, height_px = side_px("width_px"), side_px("height_px")
    focal = "focal_35mm_mm"
    return CalibratedCamera(
        name=top.text("name", 'name = "my phone"'),
        make=top.text("make", 'make = "as the photos state it"'),
        model=top.text("model", 'model = "as the photos state it"'),
        focal_35mm_mm=top.number(focal, 1.0, 2000.0, example=f"{focal} = 26.0")
        if focal in values
        else None,
        width_px=width_px,
        height_px=height_px,
        calibrated_on=day,
        photo_count=top.whole_number("photo_count", 1, 10_000, example="photo_count = 8"),
        residual_px=top.number("residual_px", 0.0, 100.0, example="residual_px = 0.12"),
        camera=_figures_of(top, (width_px, height_px)),
    )


def _figures_of(top: TomlTable, size_px: tuple[int, int]) -> Camera:
    longest = float(max(size_px))

    def figure(key: str, lowest: float, highest: float, usual: str) -> float:
        return top.number(key, lowest, highest, example=f"{key} = {usual}")

    centre = top.numbers("centre_px", "centre_px = [2015.5, 1511.5]")
    if len(centre) != 2 or not all(
        0.0 < at < side for at, side in zip(centre, size_px, strict=True)
    ):
        raise top.refusal("centre_px", f"a place in the picture of {size_px[0]} x {size_px[1]} px")
    return Camera(
        focal_px=figure("focal_px", 0.1 * longest, 100.0 * longest, "3024.5"),
        centre_px=(centre[0], centre[1]),
        k1=figure("k1", -1.0, 1.0, "0.02"),
        k2=figure("k2", -2.0, 2.0, "-0.01"),
        # A figure without doubt would overrule every photo.
        u_focal_px=figure("u_focal_px", 1e-3, longest, "6.0"),
        u_centre_px=figure("u_centre_px", 1e-3, longest, "4.0"),
        u_k1=figure("u_k1", 1e-6, 1.0, "0.004"),
        u_k2=figure("u_k2", 1e-6, 2.0, "0.012"),
    )


def read_book(folder: Path) -> CameraBook:
    """Every camera of a folder; none where there is no such folder.

    Raises
    ------
    InputFileError
        A file is broken.
    """
    return CameraBook(cameras=tuple(read_camera(path) for path in _files(folder)))


def _files(folder: Path) -> tuple[Path, ...]:
    try:
        return tuple(
            sorted(path for path in folder.glob("*.toml") if not path.name.startswith("."))
        )
    except OSError as error:
        raise FileNotReadableError(str(folder), (error.strerror or "unknown").lower()) from error


def keep_camera(camera: CalibratedCamera, folder: Path) -> Path:
    """Write a camera's file, in place of an earlier calibration of the same camera and lens.

    Raises
    ------
    CameraNameTakenError
        Another camera has that name.
    FileNotWritableError, InputFileError
        The folder cannot be written, or a file in it is broken.
    """
    earlier = []
    for path in _files(folder):
        stored = read_camera(path)
        if camera.is_same_as(stored):
            earlier.append(path)
        elif stored.name == camera.name:
            raise CameraNameTakenError(stored.name, str(stored.make), str(stored.model))
    kept = folder / f"{_slug(camera)}.toml"
    part = folder / f".{kept.name}.part"
    with _writing(kept):
        folder.mkdir(parents=True, exist_ok=True)
        try:
            part.write_text(camera_toml(camera), encoding="utf-8")
            part.replace(kept)
        finally:
            part.unlink(missing_ok=True)
        for path in earlier:
            if path != kept:
                path.unlink()
    return kept


def camera_called(name: str, folder: Path) -> CalibratedCamera:
    """Stored camera of that name.

    Raises
    ------
    UnknownCameraError
        No camera has that name.
    InputFileError
        A file in the folder is broken.
    """
    return read_camera(_path_of(name, folder))


def forget_camera(name: str, folder: Path) -> Path:
    """Delete the file of the camera of that name; return where it was.

    Raises
    ------
    UnknownCameraError
        No camera has that name.
    FileNotWritableError, InputFileError
        The file cannot be deleted, or one in the folder is broken.
    """
    path = _path_of(name, folder)
    with _writing(path):
        path.unlink()
    return path


def _path_of(name: str, folder: Path) -> Path:
    paths = {read_camera(path).name: path for path in _files(folder)}
    if name not in paths:
        raise UnknownCameraError(name, tuple(paths))
    return paths[name]


@contextlib.contextmanager
def _writing(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise FileNotWritableError(str(path), (error.strerror or "unknown").lower()) from error


def _slug(camera: CalibratedCamera) -> str:
    """Name of a file: words for people, and a number that tells cameras of like names apart."""
    lens = "" if camera.focal_35mm_mm is None else f" {camera.focal_35mm_mm:g} mm"
    words = f"{camera.make} {camera.model}{lens}"
    aspect = (
        f"{max(camera.width_px, camera.height_px) / min(camera.width_px, camera.height_px):.2f}"
    )
    number = zlib.crc32(f"{words} {aspect}".encode())
    readable = re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")
    return f"{readable[:60]}-{number:08x}".lstrip("-")
