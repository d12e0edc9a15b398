"""What each sector of a weld from several photos is like, as a table for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.result import Result, SectorRecord, SectorValueRecord
from beadcheck.spreadsheet import guarded, number
from beadcheck.units import wrapped_degrees

HEADER: Final = (
    "sector",
    "from_arc_mm",
    "to_arc_mm",
    "from_clock_deg",
    "to_clock_deg",
    "covered_percent",
    "quantity",
    "statistic",
    "side",
    "value",
    "U",
    "unit",
    "count",
    "caution",
)


def sectors_csv(result: Result) -> str:
    """Every value of every sector: one header line, then a line each.

    A sector without any value has one line that says how much of it was seen. The caution stands in
    the last column of the first line of data alone. Missing values are empty cells; where photos
    were not joined there is the header alone.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    caution = result.caution
    for sector in () if result.whole_weld is None else result.whole_weld.sectors:
        for value in sector.values or (None,):
            writer.writerow([*_place(sector, result), *_value(value), guarded(caution)])
            caution = ""
    return text.getvalue()


def _place(sector: SectorRecord, result: Result) -> list[str]:
    whole, middle = result.whole_weld, sector.middle_clock_deg
    ends: list[float | None] = [None, None]
    if whole is not None and middle is not None:
        half = 180.0 * (sector.to_arc_mm - sector.from_arc_mm) / whole.length_mm
        ends = [wrapped_degrees(middle + side * whole.clock_sense * half) for side in (-1, 1)]
    return [
        str(sector.number + 1),
        number(sector.from_arc_mm, 2),
        number(sector.to_arc_mm, 2),
        number(ends[0], 1),
        number(ends[1], 1),
        number(100.0 * sector.covered_ratio, 0),
    ]


def _value(value: SectorValueRecord | None) -> list[str]:
    if value is None:
        return [""] * 7
    return [
        value.name,
        guarded(value.statistic),
        value.side or "",
        number(value.value, 4),
        number(value.expanded_uncertainty, 4),
        value.unit,
        str(value.count),
    ]
