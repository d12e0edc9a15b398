"""The words under the photo: figures, findings, what was not measured, advice, caution."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Final

import numpy as np

from beadcheck.limits import Finding
from beadcheck.report.drawing import (
    INK,
    MUTED,
    RULE,
    Colour,
    Drawing,
    blank,
    text_width_px,
    wrapped,
)
from beadcheck.report.signs import draw_sign
from beadcheck.report.wording import (
    FINDING_ORDER,
    LengthUnit,
    check_words,
    finding_count_words,
    full_words,
    not_measured_words,
    statistic_words,
    value_lines,
    value_words,
)
from beadcheck.result import (
    CheckRecord,
    NotMeasuredRecord,
    PhotoRecord,
    QuantityRecord,
    Result,
)

LINE: Final = 1.32
"""Distance of lines of text, in sizes of the text."""
BODY: Final = 43
SMALL: Final = 52
"""Sizes of text, as parts of the picture's width: 9 and 7.5 px on a phone 390 px wide."""
CARDS_IN_A_ROW: Final = 3
_TIES: Final = re.compile(r"(?<=[\d±]) (?=[\d±]|mm|in\b|%|px|°)")


@dataclass(slots=True, kw_only=True)
class Column:
    """Text set line under line; it is drawn once its height is known.

    `y_px` is how far it has come.
    """

    width_px: int
    margin_px: int
    y_px: float = 0.0
    _marks: list[Callable[[Drawing], None]] = field(default_factory=list)

    @property
    def inner_px(self) -> int:
        """Width between the margins."""
        return self.width_px - 2 * self.margin_px

    def gap(self, height_px: float) -> None:
        """Leave room."""
        self.y_px += height_px

    def rule(self) -> None:
        """Draw a line over the whole width."""
        y = self.y_px
        ends = np.array(
            [[self.margin_px, y], [self.width_px - self.margin_px, y]], dtype=np.float64
        )
        self._marks.append(lambda drawing: drawing.line(ends, RULE, max(1.0, self.width_px / 900)))

    def paragraph(
        self,
        text: str,
        size_px: int,
        *,
        lead: str = "",
        bold: bool = False,
        colour: Colour = INK,
        indent_px: float = 0.0,
        room_px: float | None = None,
    ) -> None:
        """Put text, a bold lead before it, broken into lines that fit the room (or the column)."""
        room = self.inner_px - indent_px if room_px is None else room_px
        left = self.margin_px + indent_px
        taken = 0.0
        if lead:
            self.words(lead, size_px, x_px=left, bold=True, colour=colour)
            taken = text_width_px(f"{lead} ", size_px, bold=True)
        for line in wrapped(_tied(text), size_px, room, bold=bold, taken_px=taken):
            self.words(line, size_px, x_px=left + taken, bold=bold, colour=colour)
            self.y_px += LINE * size_px
            taken = 0.0

    def words(
        self, text: str, size_px: int, *, x_px: float, bold: bool = False, colour: Colour = INK
    ) -> None:
        """Put one line here, without going on."""
        at = (x_px, self.y_px)
        self._marks.append(
            lambda drawing: drawing.text(at, text, size_px, bold=bold, colour=colour)
        )

    def sign(self, finding: Finding, size_px: int) -> None:
        """Put a finding's sign at the left margin, level with a line of this size."""
        centre = (self.margin_px + 0.75 * size_px, self.y_px + 0.58 * size_px)
        self._marks.append(lambda drawing: draw_sign(drawing, finding, centre, 0.6 * size_px))

    def drawn(self) -> Drawing:
        """Everything that was put, on white paper just high enough."""
        drawing = blank(self.width_px, round(self.y_px))
        for mark in self._marks:
            mark(drawing)
        return drawing


def result_panel(result: Result, photo_index: int, *, width_px: int, unit: LengthUnit) -> Drawing:
    """Words that belong to one photo of a result."""
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.01 * width_px)
    belongs = {photo_index, None}
    quantities = [each for each in result.quantities if each.photo in belongs]
    checks = [each for each in result.checks if each.photo in belongs]
    missing = [each for each in result.not_measured if each.photo in belongs]
    if quantities:
        _put_figures(column, quantities, unit)
    _put_findings(column, checks, result.limits, unit)
    _put_advice(column, result)
    _put_not_measured(column, missing)
    _put_notes(column, result.photos[photo_index])
    _put_caution(column, result)
    return column.drawn()


def refusal_panel(result: Result, photo_index: int, *, width_px: int) -> Drawing:
    """Why one photo could not be measured, large, and what to do."""
    big = round(width_px / 26)
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.5 * big)
    column.sign(Finding.NOT_MEASURED, big)
    column.paragraph("This photo could not be measured", big, bold=True, indent_px=1.8 * big)
    column.gap(0.3 * big)
    refusal, *warnings = result.photos[photo_index].problems
    column.paragraph(refusal.message, big)
    column.gap(0.4 * big)
    for warning in warnings:
        column.paragraph(warning.message, round(column.width_px / BODY), lead="Note:")
    column.gap(0.4 * big)
    _put_caution(column, result)
    return column.drawn()


def _put_figures(column: Column, quantities: list[QuantityRecord], unit: LengthUnit) -> None:
    """Put a card for each quantity, three in a row: its first value large, the others under it."""
    step = column.inner_px / CARDS_IN_A_ROW
    names = list(dict.fromkeys(each.name for each in quantities))
    cards = [[each for each in quantities if each.name == name] for name in names]
    for start in range(0, len(cards), CARDS_IN_A_ROW):
        top, lowest = column.y_px, column.y_px
        for index, card in enumerate(cards[start : start + CARDS_IN_A_ROW]):
            column.y_px = top
            _put_card(column, card, unit, left_px=index * step, width_px=0.95 * step)
            lowest = max(lowest, column.y_px)
        column.y_px = lowest + 0.01 * column.width_px
    small = round(column.width_px / SMALL)
    column.paragraph("± is the expanded uncertainty U (k = 2)", small, colour=MUTED)
    column.gap(0.5 * small)


def _put_card(
    column: Column,
    card: list[QuantityRecord],
    unit: LengthUnit,
    *,
    left_px: float,
    width_px: float,
) -> None:
    small, figure = round(column.width_px / SMALL), round(column.width_px / 38)
    put = partial(column.paragraph, indent_px=left_px, room_px=width_px)
    first, *others = card
    put(full_words(first.name, first.statistic, first.side), small)
    value, *inches = value_lines(first.value, first.expanded_uncertainty, first.unit, unit)
    put(value, figure, bold=True)
    for line in inches:
        put(line, small, bold=True)
    for each in others:
        words = value_words(each.value, each.expanded_uncertainty, each.unit, unit)
        which = statistic_words(each.name, each.statistic, each.side)
        put(f"{which} {words}", small, colour=MUTED)


def _put_findings(
    column: Column, checks: list[CheckRecord], limits: str | None, unit: LengthUnit
) -> None:
    """Put each finding with its sign, the ones that ask for something first."""
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    column.rule()
    column.gap(0.5 * body)
    column.paragraph(finding_count_words(checks), body, bold=True)
    if limits is not None:
        column.paragraph(f"Limits: {limits}", small, colour=MUTED)
    column.gap(0.3 * body)
    for check in sorted(checks, key=lambda each: FINDING_ORDER.index(each.finding)):
        if check.finding is not Finding.NOT_MEASURED:
            _put_finding(column, check.finding, check_words(check, unit), check.note)
    missing = [check for check in checks if check.finding is Finding.NOT_MEASURED]
    if missing:
        # Why, and how to get them, is said below, once for all.
        words = "; ".join(check_words(check, unit) for check in missing)
        _put_finding(column, Finding.NOT_MEASURED, words, "")
    sources = "; ".join(dict.fromkeys(check.source for check in checks))
    if sources:
        column.paragraph(f"Sources: {sources}", small, colour=MUTED)
    column.gap(0.5 * small)


def _put_finding(column: Column, finding: Finding, words: str, note: str) -> None:
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    indent = 1.9 * body
    column.sign(finding, body)
    column.paragraph(words, body, lead=f"{finding.value}:", indent_px=indent)
    if note:
        column.paragraph(note, small, colour=MUTED, indent_px=indent)
    column.gap(0.25 * body)


def _put_advice(column: Column, result: Result) -> None:
    if not result.advice:
        return
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    first = result.advice[0]
    column.rule()
    column.gap(0.5 * body)
    column.paragraph(first.change, body, lead="Next run:", bold=True)
    column.paragraph(f"{first.symptom}: {first.why}", small, colour=MUTED)
    column.gap(0.4 * small)


def _put_not_measured(column: Column, missing: list[NotMeasuredRecord]) -> None:
    """Put what is missing, once for each way to get it."""
    if not missing:
        return
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    for words in not_measured_words(missing):
        column.paragraph(words, small, lead="Not measured:")
    column.gap(0.4 * small)


def _put_notes(column: Column, photo: PhotoRecord) -> None:
    """Put the warnings that go with a usable photo."""
    if not photo.problems:
        return
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    for problem in photo.problems:
        column.paragraph(problem.message, small, lead="Note:")
    column.gap(0.4 * small)


def _put_caution(column: Column, result: Result) -> None:
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    column.paragraph(result.caution, small, bold=True)
    column.paragraph(result.made_with, small, colour=MUTED)
    column.gap(0.6 * small)


def _tied(text: str) -> str:
    """Text in which no line ends between a number, its uncertainty and its unit."""
    return _TIES.sub("\u00a0", text)
