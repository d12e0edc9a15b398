"""The values of a sheet: a row for each quantity, its statistics side by side."""

from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from beadcheck.report.wording import LengthUnit, quantity_words, value_lines
from beadcheck.result import Result
from beadcheck.sheet.blocks import GRID, photos_words, words
from beadcheck.sheet.type import BODY, HEADING, SMALL

COLUMNS: Final = {"mean": "mean", "sd": "spread (sd)", "min": "least", "max": "largest"}
TOTAL: Final = "total"
"""A total is the only value of its quantity: it stands where a mean would."""


def value_table(result: Result, unit: LengthUnit) -> list[Flowable]:
    """Every value with its U; of what stands for the coupon, its photos' own are left out."""
    of_coupon = {each.name for each in result.quantities if each.scope == "coupon"}
    shown = [
        each for each in result.quantities if each.scope == "coupon" or each.name not in of_coupon
    ]
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


def _cell(text: str) -> list[Flowable]:
    return [words(line, SMALL if number else BODY) for number, line in enumerate(text.split("\n"))]
