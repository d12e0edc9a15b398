"""A row for each photo, for spreadsheets."""

import csv
import io
from typing import Final

from beadcheck.limits import Finding
from beadcheck.many_photos.record import VALUES, Record
from beadcheck.result import CAUTION
from beadcheck.spreadsheet import guarded, number

_WHICH: Final = ("file", "folder", "outcome", "why")
HEADER_START: Final = ",".join(_WHICH)
UNITS: Final = ("mm", "px", "ratio")
"""Of the values in `VALUES`; px where there was no target."""
_COLUMNS: Final = tuple(f"{name.value}_{statistic.value}" for name, statistic in VALUES)


def header() -> str:
    """First line of the summary."""
    values = [name for each in _COLUMNS for name in (each, f"{each}_U", f"{each}_unit")]
    findings = [each.value.replace(" ", "_") for each in Finding]
    return _line([*_WHICH, *values, *findings, "caution"])


def row(record: Record, *, first: bool) -> str:
    """Line of one photo; missing values are empty cells, and the caution stands in the first."""
    cells = [
        guarded(record.file),
        guarded(record.folder),
        record.outcome.value,
        guarded(record.why),
    ]
    for column in _COLUMNS:
        unit = next((unit for unit in UNITS if f"{column}_{unit}" in record.values), "")
        value, expanded = record.values[f"{column}_{unit}"] if unit else (None, None)
        cells += [number(value, 4), number(expanded, 4), unit]
    cells += [
        str(record.findings.get(each.value, 0)) if record.findings else "" for each in Finding
    ]
    return _line([*cells, guarded(CAUTION) if first else ""])


def _line(cells: list[str]) -> str:
    text = io.StringIO()
    csv.writer(text).writerow(cells)
    return text.getvalue()
