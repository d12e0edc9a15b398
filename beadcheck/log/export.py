"""The log as tables and documents for other programs."""

import csv
import io
import json
from collections.abc import Iterator
from typing import Final

from sqlalchemy import select

from beadcheck.log.entry import Logged, Selection
from beadcheck.log.find import EVERYTHING, each_document, require_person
from beadcheck.log.open import Log
from beadcheck.log.tables import measurement, quantity
from beadcheck.log.wanted import LOGGED, MEASURER, narrowed, whose
from beadcheck.result import CAUTION
from beadcheck.spreadsheet import guarded

_VALUES: Final = (
    quantity.c.name.label("quantity"),
    quantity.c.statistic,
    quantity.c.side,
    quantity.c.value,
    quantity.c.expanded_uncertainty,
    quantity.c.unit,
    quantity.c.count,
    quantity.c.photo,
    quantity.c.clock_deg,
    quantity.c.for_pass,
)
HEADER: Final = tuple(column.name for column in (*LOGGED, *_VALUES))


def csv_lines(log: Log, selection: Selection = EVERYTHING) -> Iterator[str]:
    """Lines of a table with a row for each value, the header first; text is guarded.

    A value is as it was measured, unrounded, its U at k = 2. Who decides stands on the last line.

    Raises
    ------
    UnknownPersonError, LogError
    """
    yield _line(HEADER)
    source = (
        whose()
        .outerjoin(MEASURER, measurement.c.measured_by_id == MEASURER.c.id)
        .join(quantity, quantity.c.measurement_id == measurement.c.id)
    )
    query = narrowed(select(*LOGGED, *_VALUES).select_from(source), selection)
    with log.reading() as connection:
        require_person(connection, selection)
        for row in connection.execute(query.order_by(measurement.c.id, quantity.c.id)):
            yield _line(row)
    yield _line([CAUTION])


def json_lines(log: Log, selection: Selection = EVERYTHING) -> Iterator[str]:
    """Lines with one measurement each as JSON: who, what and when, and the whole result.

    Raises
    ------
    UnknownPersonError, LogError
    """
    for logged, result in each_document(log, selection):
        written = {**_plain(logged), "result": json.loads(result)}
        yield json.dumps(written, ensure_ascii=False) + "\n"


def _plain(logged: Logged) -> dict[str, object]:
    values = {column.name: getattr(logged, column.name) for column in LOGGED}
    return {**values, "measured_at": logged.measured_at.isoformat()}


def _line(cells: "Iterator[object] | tuple[object, ...] | list[object]") -> str:
    line = io.StringIO()
    csv.writer(line, lineterminator="\r\n").writerow(map(_cell, cells))
    return line.getvalue()


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return repr(value)
        case str():
            return guarded(value)
        case _:
            return value.isoformat() if hasattr(value, "isoformat") else str(value)
