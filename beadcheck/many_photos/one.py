"""One photo carried out, from bytes to bytes: no disk is shared with whoever asked."""

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from beadcheck.many_photos.ask import Ask, NamedFile
from beadcheck.many_photos.record import Said, said_by
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Take, joined, measure_each
from beadcheck.report.folder import output_folder
from beadcheck.report.take_files import add_take


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Order:
    """One photo, and what is asked of it."""

    ask: Ask
    kind: PhotoKind
    photo: NamedFile


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Made:
    """The files of one photo's output folder, by name, and what its result says in short."""

    files: Mapping[str, bytes]
    said: Said


def carry_out(order: Order) -> Made:
    """Measure one photo, and make the files that the command makes of it alone."""
    ask = order.ask
    with tempfile.TemporaryDirectory(prefix="beadcheck-") as name:
        folder = Path(name)
        photo = order.photo.put_into(folder / "photo")
        request = ask.request_for(Take(kind=order.kind, photos=(photo,)), folder)
        (take,) = measure_each(request)
        with output_folder(folder / "out", [photo.name]) as files:
            add_take(files, take, 0, pictures=ask.pictures, unit=ask.unit)
            result = joined([take.result], request)
            files.finish(result)
        made = {path.name: path.read_bytes() for path in (folder / "out").iterdir()}
    return Made(files=made, said=said_by(result))
