"""What the marks on the weld mean."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

import numpy as np

from beadcheck.report.drawing import PAPER, YELLOW, Drawing, blank, text_width_px
from beadcheck.report.look_here_marks import draw_tag
from beadcheck.report.weld_lines import ToeState, WeldLines
from beadcheck.report.weld_marks import HALO, draw_hand_beads, draw_toe_sample, draw_valley_sample
from beadcheck.units import Unit

SAMPLE: Final = 2.6
"""Length of a line's sample, in sizes of the text."""
STATE_WORDS: Final = {
    ToeState.SURE: "toe, sure",
    ToeState.UNSURE: "toe, unsure (left out)",
    ToeState.LEFT_OUT: "left out: end, or seen too flat",
}
JOINT_WORDS: Final = {
    ToeState.SURE: "edge of the root opening",
    ToeState.UNSURE: "edge unsure (left out)",
}
LEFT_OUT_UNSCALED: Final = "left out: end"
"""Nothing tells how flat a weld is seen without a target."""
"""Left out of the figures, that is."""

Sample = Callable[[Drawing, float, float], None]
"""Draws a sample of a mark from a place to the right, about a height."""


def legend(weld: WeldLines, *, width_px: int, look_here: bool = False) -> Drawing:
    """Name each kind of mark that this weld has, with a sample, in as many rows as it takes."""
    size = round(width_px / 56)
    line_px = max(2.0, width_px / 600)
    entries = _entries(weld, size, line_px)
    if look_here:
        entries.append((partial(_look_here, size, line_px), "look here: see the list"))
    return set_out(entries, size, width_px=width_px)


def set_out(entries: Sequence[tuple[Sample, str]], size: int, *, width_px: int) -> Drawing:
    """Samples with their words, in as many rows as they take."""
    margin = round(0.02 * width_px)
    row_height = 1.7 * size
    placed: list[tuple[Sample, str, float, float]] = []
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


def _entries(weld: WeldLines, size: int, line_px: float) -> list[tuple[Sample, str]]:
    states = {stretch.state for stretch in weld.stretches()}
    words_of = JOINT_WORDS if weld.of_joint else STATE_WORDS
    if weld.unit == Unit.PX:
        words_of = {**STATE_WORDS, ToeState.LEFT_OUT: LEFT_OUT_UNSCALED}
    entries: list[tuple[Sample, str]] = [
        (partial(toe_sample, state, size, line_px), words)
        for state, words in words_of.items()
        if state in states
    ]
    if any(True for _ in weld.hand_lines()):
        entries.append((partial(_hand, size, line_px), "toe placed by a person"))
    if weld.valleys_px:
        entries.append((partial(valley_sample, size, line_px), "valley between beads"))
    if weld.tacks:
        entries.append((partial(_tack, size, line_px), "ends of a tack"))
    if len(weld.crests_px) > 0:
        entries.append((partial(crest_sample, size, line_px), "ripple crest"))
    return entries


def toe_sample(
    state: ToeState, size: int, line_px: float, drawing: Drawing, left: float, middle: float
) -> None:
    """Draw a piece of a toe line."""
    draw_toe_sample(
        drawing, np.array([[left, middle], [left + SAMPLE * size, middle]]), state, line_px
    )


def _hand(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    ends = np.array([[left, middle], [left + SAMPLE * size, middle]])
    draw_toe_sample(drawing, ends, ToeState.SURE, line_px)
    draw_hand_beads(drawing, ends, line_px)


def valley_sample(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    """Draw a piece of a valley between beads side by side."""
    ends = np.array([[left, middle], [left + SAMPLE * size, middle]])
    draw_valley_sample(drawing, ends, 0.75 * line_px)


def _tack(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    for place in (0.9, 2.1):
        x = left + place * size
        ends = np.array([[x, middle - 0.55 * size], [x, middle + 0.55 * size]])
        drawing.line(ends, YELLOW, 1.4 * line_px, halo=HALO)


def crest_sample(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    """Draw three ripple crests."""
    for place in (0.9, 1.5, 2.1):
        x = left + place * size
        ends = np.array([[x, middle - 0.45 * size], [x, middle + 0.45 * size]])
        drawing.line(ends, PAPER, 0.75 * line_px, halo=HALO)


def _look_here(size: int, line_px: float, drawing: Drawing, left: float, middle: float) -> None:
    half = 0.4 * size
    x = left + 0.6 * size
    corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]])
    drawing.line(np.array([[x, middle], [x + 1.4 * size, middle]]), YELLOW, line_px, halo=HALO)
    drawing.box((x - half, middle - half), (2.0 * half, 2.0 * half), PAPER)
    drawing.line([x, middle] + half * corners, YELLOW, line_px, halo=HALO)
    draw_tag(drawing, (x + 1.4 * size, middle), "1", round(0.8 * size))
