"""One order carried out: measured, drawn, written, packed."""

import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Final

from beadcheck.limits import LengthSystem
from beadcheck.pipeline import (
    MeasuredTake,
    Request,
    all_judged_again,
    join,
    judge_of,
    measure_each,
    with_depth_seen,
)
from beadcheck.profiles.pair import HeightMap
from beadcheck.report.folder import (
    ALONG_FILE,
    BEADS_FILE,
    FIT_UP_FILE,
    ROUND_FILE,
    SECTORS_FILE,
    UNROLLED_FILE,
    OutputFolder,
    output_folder,
)
from beadcheck.report.picture import annotated_picture, marked_picture
from beadcheck.report.relief import relief_box_px, relief_picture
from beadcheck.report.whole.cut import WeldCut, weld_cuts
from beadcheck.report.whole.drawn import WholeWeldDrawn, drawn_whole_weld
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.side_by_side import in_turn
from beadcheck_page.intake import write_jpeg
from beadcheck_page.orders import Order, Outcome, WholePicture, large_name, plain_name, whole_name
from beadcheck_page.sections import SECTIONS_FILE, Relief, section_photo, write_sections
from beadcheck_page.take_requests import take_request

SHOWN_PX: Final = 1600
"""Longest side of the marked photo on the page; the one to save has the photo's own size."""

LARGE_PX: Final = 3200
"""Longest side of the photo on which a person corrects a toe: sharp where a weld fills a phone."""

PACKED: Final = "beadcheck-results.zip"
FILE_WORDS: Final = {
    "result.json": "Every number, for a program",
    "stations.csv": "Every station, for a spreadsheet",
    "findings.csv": "Every finding with its limit and source, for a spreadsheet",
    "indications.csv": "Every place to look at, for a spreadsheet",
    "profiles.csv": "Every point of every section, for a spreadsheet",
    BEADS_FILE: "The width of each bead along the weld, for a spreadsheet",
    SECTORS_FILE: "Every value by clock position or stretch, for a spreadsheet",
    FIT_UP_FILE: "Root opening and tacks of a fit-up, for a spreadsheet",
    UNROLLED_FILE: "The whole weld laid flat",
    ROUND_FILE: "Every quantity round the clock",
    ALONG_FILE: "Every quantity along the weld",
}
ENDING_WORDS: Final = {
    ".measured.jpg": "The picture with its findings, full size",
    ".heights.csv": "Every height of the pair, for a spreadsheet",
    ".relief.jpg": "The heights of the pair as a shaded relief",
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
    reliefs: dict[int, Relief] = {}
    cuts: list[WeldCut] = []
    with output_folder(folder / "files", names) as kept:
        done = 0
        requests = with_depth_seen([take_request(take, order) for take in order.takes])
        for measured in in_turn(_measured, requests):
            files |= _drawn(measured, done, kept, folder=folder, unit=order.settings.unit)
            if measured.height_map is not None:
                kept.add_height_map(done, measured.height_map)
                reliefs[done] = _relief(measured.height_map, done, folder)
                files[reliefs[done].name] = folder / reliefs[done].name
            results.append(measured.result)
            cuts += weld_cuts(measured, done)
            for _ in measured.take.photos:
                photo_done()
                done += 1
        judged = {unit: _joined(results, order, unit) for unit in LengthUnit}
        result = judged[order.settings.unit]
        for unit, each in judged.items():
            drawn = drawn_whole_weld(each, cuts, unit=unit)
            if drawn is not None:
                files |= _shown_whole(drawn, unit, folder)
                if unit is order.settings.unit:
                    kept.add_whole_weld(drawn)
        kept.finish(result)
    written = sorted(path for path in (folder / "files").iterdir() if path.is_file())
    files |= {path.name: path for path in written}
    files[PACKED] = _packed(written, folder / PACKED)
    if result.profiles:
        files[SECTIONS_FILE] = write_sections(judged, reliefs, folder / SECTIONS_FILE)
    return Outcome(
        key=key,
        measured_at=datetime.now().astimezone(),
        result=result,
        takes=order.takes,
        files=files,
        downloads=((PACKED, "All files in one"), *((p.name, _words(p)) for p in written)),
        judged=judged,
    )


def _measured(request: Request) -> MeasuredTake:
    """Measure the one take that is asked for."""
    (measured,) = measure_each(request)
    return measured


def _joined(results: list[Result], order: Order, unit: LengthUnit) -> Result:
    """Join the takes as one coupon, by the numbers that limits have in this unit."""
    settings = order.settings
    judging = replace(settings.judging, system=LengthSystem(unit.value))
    coupon, limits = settings.coupon, settings.limits
    used, allowed = settings.arc, settings.allowed
    takes = results
    if unit is not settings.unit:
        judge = judge_of(coupon, limits=limits, judging=judging, settings=used, allowed=allowed)
        takes = all_judged_again(results, judge)
    return join(
        takes,
        coupon=coupon,
        limits=limits,
        judging=judging,
        settings=used,
        allowed=allowed,
        sectors=settings.sectors,
    )


def _drawn(
    measured: MeasuredTake, first: int, kept: OutputFolder, *, folder: Path, unit: LengthUnit
) -> dict[str, Path]:
    """Draw the photos of a take in both units, and return the pictures that the page shows.

    The photo itself, large, is one of them: a person corrects its toes there.
    """
    shown: dict[str, Path] = {}
    sectioned = {section_photo(profile) for profile in measured.result.profiles}
    for index, each in enumerate(measured.photos):
        if each.photo is None:
            continue
        large = large_name(first + index)
        shown[large] = folder / large
        write_jpeg(shown[large], each.photo.pixels_bgr, longest_px=LARGE_PX)
        annotated = annotated_picture(each.photo, measured.result, unit=unit, photo_index=index)
        kept.add_picture(first + index, annotated)
        for drawn_unit in LengthUnit:
            name = f"view-{first + index + 1}-{drawn_unit.value}.jpg"
            shown[name] = folder / name
            marked_bgr = marked_picture(
                each.photo, measured.result, unit=drawn_unit, photo_index=index
            )
            write_jpeg(shown[name], marked_bgr, longest_px=SHOWN_PX)
        if index in sectioned:
            plain = plain_name(first + index)
            shown[plain] = folder / plain
            write_jpeg(shown[plain], each.photo.pixels_bgr, longest_px=SHOWN_PX)
    return shown


def _shown_whole(drawn: WholeWeldDrawn, unit: LengthUnit, folder: Path) -> dict[str, Path]:
    """Write the pictures of the whole weld that the page shows in one unit."""
    shown: dict[str, Path] = {}
    if drawn.unrolled_bgr is not None:
        name = whole_name(WholePicture.UNROLLED, unit)
        shown[name] = folder / name
        write_jpeg(shown[name], drawn.unrolled_bgr, longest_px=max(drawn.unrolled_bgr.shape))
    for picture, svg in (
        (WholePicture.ROUND, drawn.round_svg),
        (WholePicture.ALONG, drawn.along_svg),
    ):
        if svg is not None:
            name = whole_name(picture, unit)
            shown[name] = folder / name
            shown[name].write_bytes(svg)
    return shown


def _relief(height_map: HeightMap, first: int, folder: Path) -> Relief:
    """Draw the relief of the pair that begins with this photo, for the viewer."""
    drawn_bgr = relief_picture(height_map)
    name = f"relief-{first + 1}.jpg"
    height_px, width_px = drawn_bgr.shape[:2]
    write_jpeg(folder / name, drawn_bgr, longest_px=max(height_px, width_px))
    return Relief(
        name=name,
        width_px=width_px,
        height_px=height_px,
        box_px=relief_box_px(height_map),
        s_range_mm=(float(height_map.s_mm[0]), float(height_map.s_mm[-1])),
    )


def _packed(written: list[Path], path: Path) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for file in written:
            packs = file.suffix != ".jpg"  # a picture is packed already
            kind = zipfile.ZIP_DEFLATED if packs else zipfile.ZIP_STORED
            archive.write(file, file.name, compress_type=kind)
    return path


def _words(path: Path) -> str:
    ending = "".join(path.suffixes[-2:])
    return FILE_WORDS.get(path.name) or ENDING_WORDS.get(ending, "")
