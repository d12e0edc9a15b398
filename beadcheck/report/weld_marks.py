"""What is drawn onto the weld itself, in the photo and in the close-up."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import (
    INK,
    ORANGE,
    PAPER,
    SKY,
    YELLOW,
    Colour,
    Drawing,
    Points,
    text_width_px,
)
from beadcheck.report.weld_lines import ToeState, WeldLines
from beadcheck.report.wording import clock_words

HALF_HOUR_DEG: Final = 15.0
"""Half an hour on the clock face."""
HALO: Final[Colour] = (16, 18, 22)
TOE_COLOURS: Final = {ToeState.SURE: SKY, ToeState.UNSURE: ORANGE, ToeState.LEFT_OUT: PAPER}
BEADS_APART: Final = 16.0
"""Distance between the beads that mark a toe placed by hand, in line widths."""
DASHES: Final = {ToeState.UNSURE: (5.0, 5.5), ToeState.LEFT_OUT: (0.6, 5.0)}
"""Length of dash and gap in line widths: the line's style alone tells the states apart."""


VALLEY_DASHES: Final = (10.0, 4.0)


def draw_toes(drawing: Drawing, weld: WeldLines, width_px: float) -> None:
    """Draw both toe lines: solid where sure, dashed where unsure, dotted where left out."""
    for stretch in weld.stretches():
        for toe in (stretch.left_px, stretch.right_px):
            draw_toe_sample(drawing, toe, stretch.state, width_px)
    for toe in weld.hand_lines():
        draw_hand_beads(drawing, toe, width_px)


def draw_hand_beads(drawing: Drawing, points: Points, width_px: float) -> None:
    """Thread ringed beads on a toe that a person placed, from its first to its last station."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    count = max(2, round(float(along[-1]) / (BEADS_APART * width_px)))
    for place in np.linspace(0.0, along[-1], count):
        at = (
            float(np.interp(place, along, points[:, 0])),
            float(np.interp(place, along, points[:, 1])),
        )
        drawing.disc(at, 2.3 * width_px, HALO)
        drawing.disc(at, 1.5 * width_px, PAPER)


def draw_toe_sample(drawing: Drawing, points: Points, state: ToeState, width_px: float) -> None:
    """Draw a line in the style of one state."""
    colour = TOE_COLOURS[state]
    if state is ToeState.SURE:
        drawing.line(points, colour, width_px, halo=HALO)
        return
    dash, gap = (each * width_px for each in DASHES[state])
    drawing.dashes(points, colour, width_px, dash_px=dash, gap_px=gap, halo=HALO)


def draw_valleys(drawing: Drawing, weld: WeldLines, width_px: float) -> None:
    """Draw the valleys between beads side by side, where they are seen, in long dashes."""
    for valley in weld.valleys_px:
        draw_valley_sample(drawing, valley, width_px)


def draw_valley_sample(drawing: Drawing, points: Points, width_px: float) -> None:
    """Draw a stretch of a valley."""
    dash, gap = (each * width_px for each in VALLEY_DASHES)
    drawing.dashes(points, PAPER, width_px, dash_px=dash, gap_px=gap, halo=HALO)


def draw_crests(drawing: Drawing, weld: WeldLines, width_px: float) -> None:
    """Draw a short tick across the weld at each ripple crest, in the middle of the bead."""
    if len(weld.crests_px) == 0:
        return
    half = 0.11 * weld.width_px
    across = _unit(weld.right_px - weld.left_px)
    for crest in weld.crests_px:
        nearest = int(np.argmin(np.hypot(*(weld.middle_px - crest).T)))
        ends = np.stack([crest - half * across[nearest], crest + half * across[nearest]])
        drawing.line(ends, PAPER, width_px, halo=HALO)


def draw_tacks(drawing: Drawing, weld: WeldLines, *, width_px: float, size_px: int) -> None:
    """Draw a bar across the joint at both ends of each tack, and its length between them."""
    for tack in weld.tacks:
        left, right = weld.at(np.array([*tack.s_range_mm, sum(tack.s_range_mm) / 2.0]))
        over = 0.6 * (right - left)
        for k in (0, 1):
            ends = np.stack([left[k] - over[k], right[k] + over[k]])
            drawing.line(ends, YELLOW, 1.4 * width_px, halo=HALO)
        at = right[2] + 1.2 * size_px * _unit(right[2:] - left[2:])[0]
        place = (float(at[0]), float(at[1]))
        words = f"tack {tack.length_mm:.0f} mm"
        drawing.text(place, words, size_px, colour=PAPER, halo=HALO, anchor="mm", bold=True)


def draw_station_numbers(
    drawing: Drawing,
    weld: WeldLines,
    *,
    width_px: float,
    size_px: int,
    clear_of: Sequence[Points] = (),
) -> None:
    """Draw ticks with numbers outside the left toe: clock positions on pipe, else stations in mm.

    A number that would touch the one before it, or one of the boxes that it must keep clear of, is
    left out. The first number that is drawn carries the unit.
    """
    marks, words, unit = _numbered_stations(weld)
    left, right = weld.at(marks)
    outward = _unit(left - right)
    last = np.array([-np.inf, -np.inf])
    last_width = 0.0
    for word, toe, out in zip(words, left, outward, strict=True):
        ends = np.stack([toe + 2.0 * width_px * out, toe + 6.0 * width_px * out])
        drawing.line(ends, PAPER, width_px, halo=HALO)
        with_unit = word + unit if np.isinf(last).all() else word
        text_width = text_width_px(with_unit, size_px, bold=True)
        # Beside a weld that runs down the picture, half the word's width keeps it off the tick.
        away = 0.75 * size_px + 0.5 * max(0.0, text_width - size_px) * abs(out[0])
        place = ends[1] + away * out
        apart = np.abs(place - last)
        if apart[0] < 0.5 * (text_width + last_width) + 0.4 * size_px and apart[1] < 1.3 * size_px:
            continue
        half = 0.5 * np.array([text_width, size_px])
        if any(_touches(place, half, box) for box in clear_of):
            continue
        last, last_width = place, text_width
        at = (float(place[0]), float(place[1]))
        drawing.text(at, with_unit, size_px, colour=PAPER, halo=HALO, anchor="mm", bold=True)


def _touches(middle: Points, half: Points, box: Points) -> bool:
    """Whether an upright rectangle touches the one about a box's corners."""
    gap = np.maximum(box.min(axis=0) - (middle + half), (middle - half) - box.max(axis=0))
    return bool((gap < 0.0).all())


def _numbered_stations(weld: WeldLines) -> tuple[NDArray[np.float64], list[str], str]:
    """Places along the weld, a word for each, and the unit."""
    if weld.clock_deg is None:
        marks = weld.marks(weld.numbered_step)
        return marks, [f"{s:.0f}" for s in marks], f" {weld.unit}"
    marks, clock = weld.clock_marks(HALF_HOUR_DEG)
    return marks, [clock_words(float(each)).split(" ")[0] for each in clock], ""


def draw_arrow(
    drawing: Drawing,
    tip: Points,
    backwards: Points,
    *,
    length_px: float,
    width_px: float,
    colour: Colour = PAPER,
) -> Points:
    """Draw an arrow whose tip touches a point; return its other end."""
    tip = tip + 1.0 * width_px * backwards
    side = np.array([-backwards[1], backwards[0]])
    head = 5.0 * width_px
    tail = tip + length_px * backwards
    wings = np.stack(
        [tip + head * backwards + 0.45 * head * side, tip + head * backwards - 0.45 * head * side]
    )
    edge = np.stack([tip, wings[0], wings[1], tip])
    drawing.line(np.stack([tip + head * backwards, tail]), colour, width_px, halo=HALO)
    drawing.line(edge, HALO, width_px)
    drawing.polygon(edge[:3], colour)
    return np.asarray(tail, dtype=np.float64)


def draw_scale_bar(
    drawing: Drawing, corner: tuple[float, float], px_per_mm: float, *, size_px: int, room_px: float
) -> None:
    """Draw a bar in mm over a bar in inches on white paper; `corner` is its bottom left."""
    longest_mm = room_px / px_per_mm
    steps = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
    bar_mm = max((step for step in steps if step <= longest_mm), default=None)
    inch_steps = ((0.125, "1/8"), (0.25, "1/4"), (0.5, "1/2"), (1.0, "1"), (2.0, "2"), (4.0, "4"))
    inches = [each for each in inch_steps if each[0] * 25.4 <= longest_mm]
    if bar_mm is None or not inches:
        return
    bars = (
        (bar_mm * px_per_mm, f"{bar_mm:g} mm"),
        (inches[-1][0] * 25.4 * px_per_mm, f"{inches[-1][1]} in"),
    )
    pad, row = 0.5 * size_px, 1.6 * size_px
    width = max(bars[0][0], bars[1][0]) + 2.0 * pad
    height = 2.0 * row + 1.2 * pad
    x, y = corner[0], corner[1] - height
    drawing.box((x, y), (width, height), PAPER)
    for index, (length, words) in enumerate(bars):
        bottom = y + 0.6 * pad + (index + 1) * row
        ends = np.array([[x + pad, bottom], [x + pad + length, bottom]])
        drawing.line(ends, INK, max(2.0, 0.1 * size_px))
        for end in ends:
            drawing.line(np.stack([end, end - [0.0, 0.45 * size_px]]), INK, max(2.0, 0.1 * size_px))
        drawing.text((x + pad + length / 2.0, bottom - 0.2 * size_px), words, size_px, anchor="ms")


def _unit(vectors: Points) -> Points:
    lengths = np.hypot(*vectors.T)[:, None]
    return np.asarray(vectors / np.maximum(lengths, 1e-9), dtype=np.float64)
