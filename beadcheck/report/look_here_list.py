"""The list of places to look at, under the picture."""

from typing import Final

from beadcheck.report.column import BODY, SMALL, Column
from beadcheck.report.drawing import MUTED
from beadcheck.report.look_here import HEADING, look_here_groups, place_words
from beadcheck.report.wording import LengthUnit
from beadcheck.result import IndicationRecord

NUMBER_ROOM: Final = 1.9
"""Room for a number before its words, in sizes of the text."""


def put_look_here(column: Column, indications: list[IndicationRecord], unit: LengthUnit) -> None:
    """Put each place under its number, and what to do once for all that look alike."""
    if not indications:
        return
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    column.rule()
    column.gap(0.5 * body)
    column.paragraph(HEADING, body, bold=True)
    column.gap(0.2 * body)
    for group in look_here_groups(indications):
        for each in group.indications:
            column.words(str(each.number), small, x_px=column.margin_px, bold=True)
            column.paragraph(place_words(each, unit), small, indent_px=NUMBER_ROOM * small)
        column.paragraph(group.look_here, small, colour=MUTED, indent_px=NUMBER_ROOM * small)
        column.gap(0.3 * small)
    column.gap(0.3 * small)
