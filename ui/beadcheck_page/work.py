"""One order carried out: measured, drawn, written, packed."""

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Final

from beadcheck.pipeline import MeasuredPhoto, Request, join, measure_each
from beadcheck.report.folder import OutputFolder, output_folder
from beadcheck.report.picture import annotated_picture, marked_picture
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck_page.intake import StoredPhoto, write_jpeg
from beadcheck_page.orders import Order, Outcome, large_name

SHOWN_PX: Final = 1600
"""Longest side of the marked photo on the page; the one to save has the photo's own size."""

LARGE_PX: Final = 3200
"""Longest side of the photo on which a person corrects a toe: sharp where a weld fills a phone."""

PACKED: Final = "beadcheck-results.zip"
FILE_WORDS: Final = {
    "result.json": "Every number, for a program",
    "stations.csv": "Every station, for a spreadsheet",
    "indications.csv": "Every place to look at, for a spreadsheet",
}


def carry_out(key: str, order: Order, folder: Path, photo_done: Callable[[], None]) -> Outcome:
    """Measure the photos of an order, and write what can be saved into its folder.

    Raises
    ------
    BeadcheckError
        The whole order cannot be carried out; a single photo's refusal is in the result.
    """
    results: list[Result] = []
    names = [photo.name for photo in order.photos]
    files: dict[str, Path] = {}
    with output_folder(folder / "files", names) as kept:
        for index, photo in enumerate(order.photos):
            measured = _measured(photo, order)
            files |= _drawn(measured, index, kept, folder=folder, unit=order.settings.unit)
            results.append(measured.result)
            photo_done()
        result = join(results)
        kept.finish(result)
    written = sorted(path for path in (folder / "files").iterdir() if path.is_file())
    files |= {path.name: path for path in written}
    files[PACKED] = _packed(written, folder / PACKED)
    return Outcome(
        key=key,
        result=result,
        photos=order.photos,
        files=files,
        downloads=((PACKED, "All files in one"), *((p.name, _words(p)) for p in written)),
    )


def _measured(photo: StoredPhoto, order: Order) -> MeasuredPhoto:
    hand = order.hand.get(photo.key)
    without_target = order.without_target(photo)
    request = Request(
        photos=(photo.path,),
        coupon=order.settings.coupon,
        limits=order.settings.limits,
        measured_bar_mm=None if without_target else order.settings.measured_bar_mm,
        along=order.pointers.get(photo.key),
        hand={photo.path: hand} if hand is not None else {},
        without_target=without_target,
    )
    (measured,) = measure_each(request)
    return measured


def _drawn(
    measured: MeasuredPhoto, index: int, kept: OutputFolder, *, folder: Path, unit: LengthUnit
) -> dict[str, Path]:
    """Draw one photo in both units, and return the pictures that the page shows.

    The photo itself, large, is one of them: a person corrects its toes there.
    """
    if measured.photo is None:
        return {}
    large = large_name(index)
    shown = {large: folder / large}
    write_jpeg(shown[large], measured.photo.pixels_bgr, longest_px=LARGE_PX)
    kept.add_picture(index, annotated_picture(measured.photo, measured.result, unit=unit))
    for drawn_unit in LengthUnit:
        name = f"view-{index + 1}-{drawn_unit.value}.jpg"
        shown[name] = folder / name
        marked_bgr = marked_picture(measured.photo, measured.result, unit=drawn_unit)
        write_jpeg(shown[name], marked_bgr, longest_px=SHOWN_PX)
    return shown


def _packed(written: list[Path], path: Path) -> Path:
    with zipfile.ZipFile(path, "w", compression=zipfile.ZIP_DEFLATED) as archive:
        for file in written:
            archive.write(file, file.name)
    return path


def _words(path: Path) -> str:
    return FILE_WORDS.get(path.name, "The picture with its findings, full size")
