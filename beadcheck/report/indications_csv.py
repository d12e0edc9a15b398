"""The places to look at as a table for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.result import IndicationRecord, Result
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photo",
    "file",
    "number",
    "kind",
    "words",
    "s_mm",
    "clock_deg",
    "side",
    "length_along_mm",
    "length_along_U_mm",
    "length_across_mm",
    "length_across_U_mm",
    "strength",
    *(f"corner_{corner}_{axis}_px" for corner in range(1, 5) for axis in ("x", "y")),
    "s_px",
    "length_along_px",
    "length_along_U_px",
    "length_across_px",
    "length_across_U_px",
    "look_here",
    "caution",
)


def indications_csv(result: Result) -> str:
    """Every place to look at of every photo: one header line, then a line each.

    The caution stands in the last column of the first line of data alone. Missing values are empty
    cells.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    for index, each in enumerate(result.indications):
        caution = result.caution if index == 0 else ""
        writer.writerow([*_cells(each, result.photos[each.photo].file), guarded(caution)])
    return text.getvalue()


def _cells(each: IndicationRecord, file: str) -> list[str]:
    return [
        str(each.photo),
        guarded(file),
        str(each.number),
        each.kind,
        each.words,
        number(each.s_mm, 1),
        number(each.clock_deg, 1),
        each.side or "",
        number(each.length_along_mm, 2),
        number(each.length_along_U_mm, 2),
        number(each.length_across_mm, 2),
        number(each.length_across_U_mm, 2),
        number(each.strength, 2),
        *(number(x_or_y, 1) for corner in each.box_px for x_or_y in corner),
        number(each.s_px, 1),
        number(each.length_along_px, 1),
        number(each.length_along_U_px, 1),
        number(each.length_across_px, 1),
        number(each.length_across_U_px, 1),
        each.look_here,
    ]
