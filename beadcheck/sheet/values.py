"""The values of a sheet: a row for each quantity, its statistics side by side."""

from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from beadcheck.report.wording import LengthUnit, quantity_words, value_lines
from beadcheck.result import QuantityRecord, Result
from beadcheck.sheet.blocks import GRID, photos_words, words
from beadcheck.sheet.type import BODY, HEADING, SMALL

COLUMNS: Final = {"mean": "mean", "sd": "spread (sd)", "min": "least", "max": "largest"}
TOTAL: Final = "total"
"""A total is the only value of its quantity: it stands where a mean would."""


def value_table(result: Result, unit: LengthUnit) -> list[Flowable]:
    """Every value with its U; of what stands for the coupon, its photos' own are left out."""
    of_coupon = {each.name for each in result.quantities if each.scope == "coupon"}
    shown = _largest_alone(
        result,
        [
            each
            for each in result.quantities
            if each.scope == "coupon" or each.name not in of_coupon
        ],
    )
    if not shown:
        return []
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for each in shown:
        of_side = f", {each.side} toe" if each.side else ""
        row = rows.setdefault((quantity_words(each.name) + of_side, photos_words(each)), {})
        column = "mean" if each.statistic == TOTAL else each.statistic
        lines = value_lines(each.value, each.expanded_uncertainty, each.unit, unit)
        row[column] = "\n".join(lines)
    several = len(result.photos) > 1
    used = [key for key in COLUMNS if any(key in row for row in rows.values())]
    head = [words("", SMALL), *(words(COLUMNS[key], SMALL) for key in used)]
    table = [[*head, *([words("", SMALL)] if several else [])]]
    for (name, whose), row in rows.items():
        cells = [_cell(row.get(key, "")) for key in used]
        table.append([words(name), *cells, *([words(whose, SMALL)] if several else [])])
    widths = [None, *[33 * mm] * len(used), *([19 * mm] if several else [])]
    note = words("± is the expanded uncertainty U, coverage factor k = 2.", SMALL)
    return [words("Measured", HEADING), Table(table, colWidths=widths, style=GRID), note]


def _largest_alone(result: Result, shown: list[QuantityRecord]) -> list[QuantityRecord]:
    """Of what only single photos of a whole weld tell as a largest value, the largest photo's."""
    if result.whole_weld is None:
        return shown
    largest: dict[tuple[str, str | None], QuantityRecord] = {}
    for each in shown:
        if _of_one_photo(each):
            key = (each.name, each.side)
            largest[key] = max(largest.get(key, each), each, key=lambda record: record.value)
    return [
        each for each in shown if not _of_one_photo(each) or largest[each.name, each.side] is each
    ]


def _of_one_photo(record: QuantityRecord) -> bool:
    return record.scope == "photo" and record.statistic == "max" and record.photo is not None


def _cell(text: str) -> list[Flowable]:
    return [words(line, SMALL if number else BODY) for number, line in enumerate(text.split("\n"))]
