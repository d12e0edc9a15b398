"""Readers of text and archives for `fuzz_readers.py`: settings, tables, results, back-ups."""

import io
import json
import shutil
import tempfile
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Final

import cv2
from calibrated_phone import PHONE
from fuzz_pictures import plain_jpeg, sample_pixels

from beadcheck.camera.store import keep_camera
from beadcheck.log import (
    Entry,
    NewPerson,
    add_people,
    back_up,
    log_address,
    open_log,
    restore,
    save,
)
from beadcheck.log.backup import CONTENTS, ROWS_FOLDER
from beadcheck.log.tables import METADATA
from beadcheck.pipeline import Request, Take, measure
from beadcheck.result import result_from_json, result_to_json
from beadcheck.toes.hand_csv import read_hand_toes

ROOT: Final = Path(__file__).parents[2]
BETWEEN_FILES: Final = b"\x1f"
"""Parts the texts of a back-up, which are packed only after they were fuzzed."""
LARGEST: Final = 1_000_000
"""Bytes that a table or a TOML file may have; those just below are the slowest."""


def as_file(name: str, read: Callable[[Path], object]) -> Callable[[bytes, Path], None]:
    def read_it(data: bytes, folder: Path) -> None:
        (folder / name).write_bytes(data)
        read(folder / name)

    return read_it


def read_toes(data: bytes, folder: Path) -> None:
    photo = folder / "cap.jpg"
    if not photo.exists():
        photo.write_bytes(plain_jpeg())
    (folder / "toes.csv").write_bytes(data)
    read_hand_toes(folder / "toes.csv", [photo])


def files(*patterns: str) -> Callable[[], tuple[bytes, ...]]:
    """Return what reads the files of the tree that these patterns name, without large ones."""

    def contents() -> tuple[bytes, ...]:
        paths = sorted(path for pattern in patterns for path in ROOT.glob(pattern))
        return tuple(path.read_bytes() for path in paths if path.stat().st_size < 20_000)

    return contents


def camera_seeds() -> tuple[bytes, ...]:
    """Return the file of a calibrated camera."""
    with tempfile.TemporaryDirectory() as name:
        return (keep_camera(PHONE, Path(name)).read_bytes(),)


def toes_seeds() -> tuple[bytes, ...]:
    """Return tables of toes, as a spreadsheet of either kind saves them."""
    rows = "file,toe,x_px,y_px\ncap.jpg,left,10.5,200\ncap.jpg,right,12,290\n"
    rows += "cap.jpg,left,600,210.25\ncap.jpg,right,590,300\n"
    other = rows.replace(",", ";").replace(".", ",").replace(",jpg", ".jpg")
    return rows.encode(), other.encode("utf-16")


def large_toml() -> tuple[bytes, ...]:
    return tuple(
        text[: LARGEST - 1].encode()
        for text in (
            "a = " + "[" * LARGEST,
            "a" + ".a" * LARGEST,
            "[[limit]]\nx = 1\n" * (LARGEST // 16),
            "".join(f"k{number} = {number}\n" for number in range(60_000)),
            'a = "' + "\\u0041" * (LARGEST // 6),
            "a = " + "9" * LARGEST,
            "a = {" + "b = {" * (LARGEST // 5),
            "\n" * LARGEST,
        )
    )


def large_csv() -> tuple[bytes, ...]:
    return tuple(
        text[: LARGEST - 1].encode()
        for text in (
            "name,number,class\n" + "".join(f"n{number},{number},c\n" for number in range(60_000)),
            "name\n" + "same\n" * (LARGEST // 5),
            "," * LARGEST,
            '"' * LARGEST,
            "part,by,value,gauge\n"
            + "".join(f"p{number % 900},b{number % 70},{number}.1,2\n" for number in range(50_000)),
            "toe,x_px,y_px\n"
            + "".join(f"left,{number % 600},{number % 400}\n" for number in range(60_000)),
        )
    )


def read_result(data: bytes, _: Path) -> None:
    result = result_from_json(data.decode("utf-8", "replace"))
    try:
        again = result_to_json(result)
    except ValueError as error:
        if "JSON compliant" in str(error):
            msg = "a number that is not finite was taken in"
            raise AssertionError(msg) from error
        raise
    if result_from_json(again) != result:
        msg = "not the same after it was written"
        raise AssertionError(msg)


@cache
def _a_result() -> bytes:
    """Result of a real measurement, without most of its stations, ripples and points."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "cap.png"
        cv2.imwrite(str(path), sample_pixels("plate-gmaw-stringer.jpg"))
        request = Request(takes=(Take(photos=(path,)),), limits="iso-5817-c")
        text = result_to_json(measure(request))
    shortened = {
        key: value[:2] if isinstance(value, list) else value
        for key, value in json.loads(text).items()
    }
    return json.dumps(shortened).encode()


def result_seeds() -> tuple[bytes, ...]:
    return (_a_result(), b'{"format": "beadcheck-result/1"}')


def large_json() -> tuple[bytes, ...]:
    return (b"[" * LARGEST, b'{"format": "beadcheck-result/1", "photos": [' + b"{}," * 200_000)


# ---- back-ups of the log


def read_backup(data: bytes, folder: Path) -> None:
    """Restore from an archive; bytes that are none are the texts in it, and are packed first."""
    log_file, file = folder / "log.sqlite3", folder / "backup.zip"
    if data.startswith(b"PK"):
        file.write_bytes(data)
    else:
        contents, *tables = data.split(BETWEEN_FILES)
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr(CONTENTS, contents)
            for table, rows in zip(METADATA.sorted_tables, tables, strict=False):
                archive.writestr(f"{ROWS_FOLDER}{table.name}.jsonl", rows)
    with open_log(log_address({}, str(log_file))) as log:
        try:
            restore(log, file)
        finally:
            with log.engine.begin() as connection:
                for table in reversed(METADATA.sorted_tables):
                    connection.execute(table.delete())
            shutil.rmtree(log.address.photos, ignore_errors=True)


def backup_seeds() -> tuple[bytes, ...]:
    return (_archive(), _texts_of(_archive()))


@cache
def _archive() -> bytes:
    at = datetime(2026, 5, 18, 12, 0, tzinfo=UTC)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with open_log(log_address({}, str(folder / "log.sqlite3"))) as log:
            add_people(log, [NewPerson(name="Tern", number="0071")], at=at)
            (folder / "cap.jpg").write_bytes(plain_jpeg())
            save(
                log,
                Entry(
                    result=result_from_json(_a_result().decode()),
                    photos=(folder / "cap.jpg",),
                    person="Tern",
                    coupon="P8-17",
                    run="cap",
                    measured_at=at,
                ),
            )
            back_up(log, folder / "made.zip", at=at)
        return (folder / "made.zip").read_bytes()


def _texts_of(archive: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        names = [CONTENTS, *(f"{ROWS_FOLDER}{each.name}.jsonl" for each in METADATA.sorted_tables)]
        return BETWEEN_FILES.join(opened.read(name) for name in names)
