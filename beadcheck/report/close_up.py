"""The weld turned level and enlarged, between two rulers."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.report.drawing import INK, MUTED, Colour, Drawing, blank, text_width_px
from beadcheck.report.look_here_marks import LookHereMark, draw_look_here, number_room_px
from beadcheck.report.weld_lines import Extreme, WeldLines
from beadcheck.report.weld_marks import (
    HALF_HOUR_DEG,
    draw_arrow,
    draw_crests,
    draw_tacks,
    draw_toes,
    draw_valleys,
)
from beadcheck.report.wording import LengthUnit, clock_words, value_lines
from beadcheck.units import MM_PER_INCH

TALLEST: Final = 0.5
"""Greatest height of the close-up, as a part of its width."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CloseUpView:
    """How the photo is turned and enlarged: a (2, 3) map of pixels, and the picture's height."""

    matrix: NDArray[np.float64]
    scale: float
    height_px: int


def close_up_view(weld: WeldLines, width_px: int, *, room_px: float = 0.0) -> CloseUpView:
    """View in which the weld runs level from left to right over the whole width.

    At least `room_px` are left free above it and below.
    """
    middle = weld.middle_px
    run = middle[-1] - middle[0]
    length = float(np.hypot(*run))
    along = run / max(length, 1e-9)
    rotation = np.array([[along[0], along[1]], [-along[1], along[0]]])
    toes = np.concatenate([weld.left_px, weld.right_px]) @ rotation.T
    lowest, highest = toes.min(axis=0), toes.max(axis=0)
    extent_along = highest[0] - lowest[0] + 0.06 * length
    around = max(0.55 * weld.width_px, room_px * extent_along / width_px)
    extent = np.array([extent_along, highest[1] - lowest[1] + 2.0 * around])
    scale = min(width_px / extent[0], TALLEST * width_px / extent[1])
    height_px = round(scale * extent[1])
    centre = np.array([width_px / 2.0, height_px / 2.0])
    shift = centre - scale * (lowest + highest) / 2.0
    return CloseUpView(
        matrix=np.column_stack([scale * rotation, shift]), scale=float(scale), height_px=height_px
    )


def close_up(
    photo: Photo,
    weld: WeldLines,
    marks: Sequence[LookHereMark] = (),
    *,
    width_px: int,
    unit: LengthUnit,
) -> Drawing:
    """Weld turned level, with toes, crests, narrowest and widest place, between two rulers."""
    view = close_up_view(weld, width_px, room_px=number_room_px(width_px) if marks else 0.0)
    size = max(10, round(width_px / 52))
    above = round(size * (1.9 if weld.clock_deg is None else 3.4))
    one_line = unit is LengthUnit.MM or weld.unit != "mm"
    below = round(size * (3.6 if one_line else 4.8))
    drawing = blank(width_px, above + view.height_px + below)
    turned = cv2.warpAffine(
        photo.pixels_bgr,
        view.matrix,
        (width_px, view.height_px),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(225, 225, 225),
    )
    bottom = above + view.height_px
    drawing.pixels_rgb[above:bottom] = cv2.cvtColor(turned, cv2.COLOR_BGR2RGB)
    down = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, float(above)]])
    level = weld.moved(view.matrix).moved(down)
    line = max(2.0, width_px / 600)
    draw_toes(drawing, level, line)
    draw_valleys(drawing, level, 0.75 * line)
    draw_crests(drawing, level, 0.75 * line)
    draw_tacks(drawing, level, width_px=line, size_px=size)
    draw_look_here(
        drawing,
        [mark.moved(view.matrix).moved(down) for mark in marks],
        level,
        frame=(float(above), float(bottom)),
        width_px=0.75 * line,
        arrows=_arrows(level, bottom, size),
    )
    _draw_ruler(drawing, level, above, size)
    if weld.unit == "mm":
        _draw_inch_ruler(drawing, level, bottom, size)
    _draw_extremes(drawing, level, bottom, size, unit)
    return drawing


def _draw_ruler(drawing: Drawing, weld: WeldLines, edge: int, size: int) -> None:
    """Draw stations, and clock positions over them, along the upper edge of the close-up."""
    step = weld.numbered_step
    ticks = ((0.1 * step, -0.18), (0.5 * step, -0.32), (step, -0.5))
    _draw_ticks(drawing, weld, edge, ticks, size, INK)
    marks = weld.marks(step)
    words = [f"{s:.0f}" for s in marks]
    places = _middle_x(weld, marks)
    _draw_spaced(drawing, words, places, edge - 0.65 * size, size, unit=f" {weld.unit}")
    clock_s, clock_deg = weld.clock_marks(HALF_HOUR_DEG)
    places = _middle_x(weld, clock_s)
    top = edge - 1.75 * size
    for x in places:
        wedge = np.array([[0.0, 0.0], [-0.25, -0.35], [0.25, -0.35]])
        drawing.polygon([x, top] + size * wedge, INK)
    words = [clock_words(float(each)) for each in clock_deg]
    _draw_spaced(drawing, words, places, top - 0.5 * size, size, bold=True)


def _draw_inch_ruler(drawing: Drawing, weld: WeldLines, edge: int, size: int) -> None:
    """Draw the same distances in inches along the lower edge."""
    steps = ((0.125 * MM_PER_INCH, 0.18), (0.5 * MM_PER_INCH, 0.5))
    _draw_ticks(drawing, weld, edge, steps, size, MUTED)
    marks = weld.marks(0.5 * MM_PER_INCH)
    words = [f"{s_mm / MM_PER_INCH:.1f}" for s_mm in marks]
    keep_off = [float(weld.middle_px[each.station, 0]) for each in weld.extremes]
    _draw_spaced(
        drawing,
        words,
        _middle_x(weld, marks),
        edge + 1.4 * size,
        size,
        colour=MUTED,
        unit=" in",
        keep_off=keep_off,
    )


def _draw_ticks(
    drawing: Drawing,
    weld: WeldLines,
    edge: int,
    steps_and_lengths: Sequence[tuple[float, float]],
    size: int,
    colour: Colour,
) -> None:
    """Draw ticks outward from an edge, longer ones at wider steps; crowded steps are left out."""
    for step, length in steps_and_lengths:
        places = _middle_x(weld, weld.marks(step))
        if len(places) > 1 and np.abs(np.diff(places)).mean() < 0.2 * size:
            continue
        for x in places:
            ends = np.array([[x, edge], [x, edge + length * size]])
            drawing.line(ends, colour, max(2.0, size / 18))


def _draw_spaced(
    drawing: Drawing,
    words: Sequence[str],
    places_px: NDArray[np.float64],
    base_line: float,
    size: int,
    *,
    colour: Colour = INK,
    bold: bool = False,
    unit: str = "",
    keep_off: Sequence[float] = (),
) -> None:
    """Put words centred at places along a line; one that would touch another is left out.

    The unit stands at the first of them alone.
    """
    taken = 0.0
    for word, x in sorted(zip(words, places_px, strict=True), key=lambda each: each[1]):
        text = word + unit
        half = 0.5 * text_width_px(text, size, bold=bold)
        fits = x - half >= taken and x + half <= drawing.width_px
        if not fits or any(abs(x - each) < half + 0.3 * size for each in keep_off):
            continue
        drawing.text((x, base_line), text, size, colour=colour, bold=bold, anchor="ms")
        taken = x + half + 0.5 * size
        unit = ""


def _draw_extremes(
    drawing: Drawing, weld: WeldLines, edge: int, size: int, unit: LengthUnit
) -> None:
    """Draw arrows at the narrowest and the widest station, and their words below the inches."""
    words = [_extreme_lines(each, unit) for each in weld.extremes]
    widths = [max(text_width_px(line, size, bold=True) for line in lines) for lines in words]
    middles = [float(weld.right_px[each.station, 0]) for each in weld.extremes]
    down = np.array([0.0, 1.0])
    lefts = _lefts(middles, widths, drawing.width_px, size)
    for extreme, lines, left in zip(weld.extremes, words, lefts, strict=True):
        toe = weld.right_px[extreme.station]
        opposite = weld.left_px[extreme.station]
        room = max(1.2 * size, edge - toe[1] - size / 14)
        draw_arrow(drawing, opposite, -down, length_px=1.2 * size, width_px=size / 14)
        tail = draw_arrow(drawing, toe, down, length_px=room, width_px=size / 14)
        foot = np.array([tail[0], edge + 1.9 * size])
        drawing.line(np.stack([tail, foot]), INK, size / 10)
        for row, line in enumerate(lines):
            at = (left, foot[1] + (0.25 + 1.25 * row) * size)
            drawing.text(at, line, size, bold=row == 0)


def _arrows(weld: WeldLines, edge: int, size: int) -> list[NDArray[np.float64]]:
    """(2, 2) both ends of each arrow at the narrowest and the widest station."""
    arrows = []
    for extreme in weld.extremes:
        toe, opposite = weld.right_px[extreme.station], weld.left_px[extreme.station]
        arrows.append(np.stack([toe, [toe[0], float(edge)]]))
        arrows.append(np.stack([opposite, opposite - [0.0, 1.2 * size]]))
    return arrows


def _extreme_lines(extreme: Extreme, unit: LengthUnit) -> list[str]:
    metric, *inches = value_lines(extreme.width, extreme.expanded, extreme.unit, unit)
    return [f"{extreme.word} {metric}", *inches]


def _lefts(
    middles: Sequence[float], widths: Sequence[float], drawn_width: int, size: int
) -> list[float]:
    """Left ends of words centred at places, moved so that they stay apart and inside."""
    margin = 0.5 * size
    lefts = [middle - width / 2.0 for middle, width in zip(middles, widths, strict=True)]
    right = drawn_width - margin
    for i in reversed(range(len(lefts))):
        lefts[i] = max(margin, min(lefts[i], right - widths[i]))
        right = lefts[i] - size
    for i in range(1, len(lefts)):
        lefts[i] = max(lefts[i], lefts[i - 1] + widths[i - 1] + size)
    return lefts


def _middle_x(weld: WeldLines, s: NDArray[np.float64]) -> NDArray[np.float64]:
    left, right = weld.at(s)
    return np.asarray(0.5 * (left[:, 0] + right[:, 0]), dtype=np.float64)
