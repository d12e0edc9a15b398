"""What the marks on the weld mean."""

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from beadcheck.report.drawing import PAPER, Drawing, blank, text_width_px
from beadcheck.report.weld_lines import ToeState, WeldLines
from beadcheck.report.weld_marks import HALO, draw_toe_sample

SAMPLE: Final = 2.6
"""Length of a line's sample, in sizes of the text."""
STATE_WORDS: Final = {
    ToeState.SURE: "toe, sure",
    ToeState.UNSURE: "toe, unsure (left out)",
    ToeState.LEFT_OUT: "left out: end, or seen too flat",
}
"""Left out of the figures, that is."""

_Sample = Callable[[Drawing, float, float], None]


def legend(weld: WeldLines, *, width_px: int) -> Drawing:
    """Name each kind of mark that this weld has, with a sample, in as many rows as it takes."""
    size = round(width_px / 56)
    margin = round(0.02 * width_px)
    entries = _entries(weld, size, max(2.0, width_px / 600))
    row_height = 1.7 * size
    placed: list[tuple[_Sample, str, float, float]] = []
    x, y = float(margin), 0.9 * size
    for sample, words in entries:
        length = (SAMPLE + 0.5) * size + text_width_px(words, size)
        if x > margin and x + length > width_px - margin:
            x, y = float(margin), y + row_height
        placed.append((sample, words, x, y))
        x += length + 1.4 * size
    drawing = blank(width_px, round(y + 0.9 * size))
    for sample, words, left, middle in placed:
        sample(drawing, left, middle)
        drawing.text((left + (SAMPLE + 0.5) * size, middle), words, size, anchor="lm")
    return drawing


def _entries(weld: WeldLines, size: int, line_px: float) -> list[tuple[_Sample, str]]:
    states = {stretch.state for stretch in weld.stretches()}
    entries: list[tuple[_Sample, str]] = [
        (partial(_toe, state, size, line_px), words)
        for state, words in STATE_WORDS.items()
        if state in states
    ]
    if len(weld.crests_px) > 0:
        entries.append((partial(_crests, size, line_px), "ripple crest"))
    return entries


def _toe(
    state: ToeState, size: int, line_px: float, drawing: Drawing, left: float, middle: float
) -> None:
    draw_toe_sample(
        drawing, np.array([[left, middle], [left + SAMPLE * size, middle]]), state, line_px
    )


def _crests(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    for place in (0.9, 1.5, 2.1):
        x = left + place * size
        ends = np.array([[x, middle - 0.45 * size], [x, middle + 0.45 * size]])
        drawing.line(ends, PAPER, 0.75 * line_px, halo=HALO)
