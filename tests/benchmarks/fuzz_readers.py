"""Everything that reads what somebody else wrote or sent, as functions of any bytes.

`fuzz.py` runs them for hours, `tests/unit/test_fuzz_readers.py` for seconds. A reader may return,
or refuse in one sentence of our own; anything else is a find.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fuzz_files import (
    as_file,
    backup_seeds,
    camera_seeds,
    files,
    large_csv,
    large_json,
    large_toml,
    read_backup,
    read_result,
    read_toes,
    result_seeds,
    toes_seeds,
)
from fuzz_pictures import (
    exif_seeds,
    find_a_target,
    measure_a_weld,
    photo_seeds,
    pixel_seeds,
    read_a_photo,
    read_exif,
)

from beadcheck.camera.store import read_camera
from beadcheck.coupon_file import read_coupon_file, read_procedure_alone
from beadcheck.errors import BeadcheckError
from beadcheck.gauge_study.study_csv import read_study
from beadcheck.limits import load_limit_set
from beadcheck.log.class_list import read_class_list
from beadcheck.target.read import read_target

ODD: Final = tuple(
    text.encode("utf-8")
    for text in (
        *("", "0", "-1", "-0.0", "1e308", "1e999", "nan", "inf", "-inf", "9" * 400, "true", "null"),
        *("[", "]", "{", "}", "[[", "]]", '"', "'", '"""', "'''", "=", ".", ",", ";", "\t", "\r"),
        *("\n", "\x00", "\ufeff", "\ufffe", "\u202e", "\u00e9", "\U0001f600", "#", "\\", "\\u0000"),
        *("2024-99-99", "07:32:00", "1979-05-27T07:32:00Z", "[]", "{}", "[[pass]]", "[[limit]]"),
        *("../../etc/passwd", "/dev/zero", "file:///etc/passwd", "a" * 300, "=cmd|' /C calc'!A0"),
    )
)
"""What people and machines write where something else should stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """One reader, what it is begun with, and how long one input may take.

    Attributes
    ----------
    read
        Takes bytes, and a folder of its own to write into.
    large
        Inputs that are read once as they are: built to be slow.
    """

    read: Callable[[bytes, Path], None]
    seeds: Callable[[], tuple[bytes, ...]]
    large: Callable[[], tuple[bytes, ...]] = tuple
    limit_s: float = 30.0


READERS: Final[Mapping[str, Reader]] = {
    "photo": Reader(read=read_a_photo, seeds=photo_seeds),
    "exif": Reader(read=read_exif, seeds=exif_seeds),
    "target": Reader(read=find_a_target, seeds=pixel_seeds, limit_s=60.0),
    "weld": Reader(read=measure_a_weld, seeds=pixel_seeds, limit_s=120.0),
    "limits": Reader(
        read=as_file("shop.toml", lambda path: load_limit_set(str(path))),
        seeds=files("beadcheck/limits/sets/*.toml"),
        large=large_toml,
    ),
    "coupon": Reader(
        read=as_file("coupon.toml", read_coupon_file),
        seeds=files("samples/*.toml", "samples/*/*.toml"),
        large=large_toml,
    ),
    "procedure": Reader(
        read=as_file("card.toml", read_procedure_alone),
        seeds=files("samples/*.toml"),
        large=large_toml,
    ),
    "target-file": Reader(
        read=as_file("card.toml", read_target), seeds=files("calibration/*.toml"), large=large_toml
    ),
    "camera": Reader(read=as_file("phone.toml", read_camera), seeds=camera_seeds, large=large_toml),
    "class-list": Reader(
        read=as_file("list.csv", read_class_list),
        seeds=files("samples/class-list.csv"),
        large=large_csv,
    ),
    "toes": Reader(read=read_toes, seeds=toes_seeds, large=large_csv),
    "study": Reader(
        read=as_file("study.csv", read_study),
        seeds=files("samples/repeat-study.csv"),
        large=large_csv,
    ),
    "result": Reader(read=read_result, seeds=result_seeds, large=large_json),
    "backup": Reader(read=read_backup, seeds=backup_seeds),
}


def refused(reader: Reader, data: bytes, folder: Path) -> bool:
    """Let a reader read; tell whether it refused.

    Raises
    ------
    Exception
        What nobody should see.
    """
    try:
        reader.read(data, folder)
    except BeadcheckError as refusal:
        said = str(refusal)
        said.encode("utf-8")  # it is shown, and written to files
        if "\n" in said or "\r" in said:
            msg = f"a refusal of more than one line: {said!r}"
            raise AssertionError(msg) from refusal
        return True
    return False


def mutated(seeds: tuple[bytes, ...], rng: random.Random) -> bytes:
    """Return a seed, changed in a few places."""
    data = bytearray(rng.choice(seeds))
    for _ in range(rng.randint(1, 6)):
        at = rng.randint(0, len(data))
        length = rng.choice((1, 2, 4, 8, rng.randint(0, max(1, len(data) // 4))))
        change = rng.randrange(6)
        if change == 0:
            data[at : at + length] = rng.randbytes(length)
        elif change == 1:
            del data[at : at + length]
        elif change == 2:
            data[at:at] = data[at : at + length] * rng.randint(1, 3)
        elif change == 3:
            data[at : at + rng.choice((0, length))] = rng.choice(ODD)
        elif change == 4 and at < len(data):
            data[at] ^= 1 << rng.randrange(8)
        else:
            other = rng.choice(seeds)
            begin = rng.randint(0, len(other))
            data[at : at + length] = other[begin : begin + length]
    return bytes(data)
