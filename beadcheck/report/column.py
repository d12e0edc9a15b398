"""Text set line under line in a picture."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from beadcheck.limits import Finding
from beadcheck.report.drawing import (
    INK,
    RULE,
    Colour,
    Drawing,
    blank,
    text_width_px,
    wrapped,
)
from beadcheck.report.signs import draw_sign

LINE: Final = 1.32
"""Distance of lines of text, in sizes of the text."""
BODY: Final = 43
SMALL: Final = 52
"""Sizes of text, as parts of the picture's width: 9 and 7.5 px on a phone 390 px wide."""
_TIES: Final = re.compile(r"(?<=[\d±×]) (?=[\d±×]|mm|in\b|%|px|°)")


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
        for line in wrapped(tied(text), size_px, room, bold=bold, taken_px=taken):
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


def tied(text: str) -> str:
    """Text in which no line ends between a number, its uncertainty and its unit."""
    return _TIES.sub("\u00a0", text)
