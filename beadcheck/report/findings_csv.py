"""The findings as a table for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.result import CheckRecord, Result
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photos",
    "files",
    "quantity",
    "statistic",
    "side",
    "finding",
    "value",
    "U",
    "unit",
    "sense",
    "lowest",
    "limit",
    "printed_in",
    "obligation",
    "guard_band",
    "conformity_probability",
    "source",
    "verified",
    "why",
    "caution",
)


def findings_csv(result: Result) -> str:
    """Every comparison with a limit: one header line, then a line each.

    The caution stands in the last column of the first line of data alone. Missing values are empty
    cells.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    for index, each in enumerate(result.checks):
        caution = result.caution if index == 0 else ""
        writer.writerow([*_cells(each, result), guarded(caution)])
    return text.getvalue()


def _cells(each: CheckRecord, result: Result) -> list[str]:
    photos = each.photos if each.photo is None else (each.photo,)
    return [
        " ".join(str(photo) for photo in photos),
        guarded("; ".join(result.photos[photo].file for photo in photos)),
        each.name,
        each.statistic or "",
        each.side or "",
        each.finding.value,
        number(each.value, 4),
        number(each.expanded_uncertainty, 4),
        each.unit,
        each.sense,
        number(each.lowest, 4),
        number(each.limit, 4),
        each.printed_in,
        each.obligation,
        each.rule,
        number(each.conformity_probability, 4),
        guarded(each.source),
        each.verified,
        guarded(each.note),
    ]
