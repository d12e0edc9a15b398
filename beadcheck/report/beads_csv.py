"""The width of each bead of a layer along the weld, as a table for spreadsheets."""

import csv
import io
from collections.abc import Iterator
from typing import Final

from beadcheck.result import Result
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photo",
    "file",
    "s_mm",
    "arc_mm",
    "clock_deg",
    "bead",
    "width_mm",
    "width_U_mm",
    "sure",
    "caution",
)


def beads_csv(result: Result) -> str:
    """Every bead at every station: one header line, then a line each.

    First those of each photo, by `s_mm`; then those of the whole weld, by `arc_mm`, which name no
    photo. The caution stands in the last column of the first line of data alone. A weld of one bead
    has the header alone.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    caution = result.caution
    for row in (*_of_photos(result), *_of_whole(result)):
        writer.writerow([*row, guarded(caution)])
        caution = ""
    return text.getvalue()


def _of_photos(result: Result) -> Iterator[list[str]]:
    for layer in result.layers:
        for at in layer.stations:
            for bead, width_mm in enumerate(at.widths_mm):
                yield [
                    str(layer.photo),
                    guarded(result.photos[layer.photo].file),
                    number(at.s_mm, 3),
                    "",
                    number(at.clock_deg, 2),
                    str(bead + 1),
                    number(width_mm, 3),
                    number(at.widths_U_mm[bead], 3),
                    "yes" if at.sure[bead] else "no",
                ]


def _of_whole(result: Result) -> Iterator[list[str]]:
    whole = result.whole_weld
    layer = None if whole is None else whole.layer
    for at in () if layer is None else layer.stations:
        for bead, width_mm in enumerate(at.widths_mm):
            yield [
                "",
                "",
                "",
                number(at.arc_mm, 3),
                number(at.clock_deg, 2),
                str(bead + 1),
                number(width_mm, 3),
                number(at.widths_U_mm[bead], 3),
                "yes",
            ]
