"""Readings that were taken, as the list that `read_study` reads."""

import csv
import io
from collections.abc import Iterable

from beadcheck.gauge_study.readings import StudyReading
from beadcheck.gauge_study.study_csv import FORM_COLUMNS
from beadcheck.spreadsheet import guarded


def readings_csv(readings: Iterable[StudyReading]) -> str:
    """Return a line for each reading; names are guarded, numbers are not rounded.

    Examples
    --------
    >>> print(readings_csv([StudyReading(part="cap 7", by="Tern", value=9.5, gauge=9.4)]), end="")
    part,by,photo,value,gauge
    cap 7,Tern,,9.5,9.4
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(FORM_COLUMNS)
    for each in readings:
        gauge = "" if each.gauge is None else repr(each.gauge)
        writer.writerow([guarded(each.part), guarded(each.by), "", repr(each.value), gauge])
    return buffer.getvalue()
