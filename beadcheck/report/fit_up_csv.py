"""Root opening and tacks of a fit-up as a table for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.result import Result
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photo",
    "file",
    "what",
    "s_mm",
    "to_s_mm",
    "clock_deg",
    "mm",
    "U_mm",
    "sure",
    "left_x_px",
    "left_y_px",
    "right_x_px",
    "right_y_px",
    "caution",
)


def fit_up_csv(result: Result) -> str:
    """Every station of every root opening, and every tack: one header line, then a line each.

    The caution stands in the last column of the first line of data alone. Missing values are empty
    cells.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    rows = [
        [
            str(each.photo),
            guarded(result.photos[each.photo].file),
            "root opening",
            number(each.s_mm, 1),
            "",
            number(each.clock_deg, 1),
            number(each.opening_mm, 3),
            number(each.opening_U_mm, 3),
            "yes" if each.sure else "no",
            *(number(x_or_y, 1) for edge in (each.left_px, each.right_px) for x_or_y in edge),
        ]
        for each in result.openings
    ]
    rows += [
        [
            str(each.photo),
            guarded(result.photos[each.photo].file),
            "tack",
            *(number(end, 1) for end in each.s_range_mm),
            number(each.clock_deg, 1),
            number(each.length_mm, 1),
            number(each.length_U_mm, 1),
            "yes",
            *("" for _ in range(4)),
        ]
        for each in result.tacks
    ]
    for index, row in enumerate(rows):
        writer.writerow([*row, guarded(result.caution) if index == 0 else ""])
    return text.getvalue()
