"""The stations as a table for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.result import Result, StationRecord
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photo",
    "file",
    "s_mm",
    "clock_deg",
    "weld_width_mm",
    "weld_width_U_mm",
    "sure",
    "steady",
    "left_toe_x_px",
    "left_toe_y_px",
    "right_toe_x_px",
    "right_toe_y_px",
    "face_reinforcement_mm",
    "s_px",
    "weld_width_px",
    "weld_width_U_px",
    "left_placed_by_hand",
    "right_placed_by_hand",
    "caution",
)


def stations_csv(result: Result) -> str:
    """Every station of every photo: one header line, then a line each.

    The caution stands in the last column of the first line of data alone, so that every other
    column holds one kind of value and no line needs to be skipped. Missing values are empty cells.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    for index, station in enumerate(result.stations):
        caution = result.caution if index == 0 else ""
        file = result.photos[station.photo].file
        writer.writerow([*_cells(station, file), guarded(caution)])
    return text.getvalue()


def _cells(station: StationRecord, file: str) -> list[str]:
    return [
        str(station.photo),
        guarded(file),
        number(station.s_mm, 3),
        number(station.clock_deg, 2),
        number(station.weld_width_mm, 3),
        number(station.weld_width_U_mm, 3),
        _yes_or_no(station.sure),
        _yes_or_no(station.steady),
        *(number(x_or_y, 2) for x_or_y in (*station.left_toe_px, *station.right_toe_px)),
        number(station.face_reinforcement_mm, 3),
        *(
            number(length, 2)
            for length in (station.s_px, station.weld_width_px, station.weld_width_U_px)
        ),
        _yes_or_no(station.left_placed_by_hand),
        _yes_or_no(station.right_placed_by_hand),
    ]


def _yes_or_no(holds: bool) -> str:  # noqa: FBT001  # the value is what is written
    return "yes" if holds else "no"
