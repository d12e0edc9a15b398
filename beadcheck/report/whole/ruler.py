"""The ruler over a row of the unrolled weld: clock positions, and lengths from its beginning."""

import math
from typing import Final

import numpy as np

from beadcheck.report.drawing import INK, MUTED, Drawing, text_width_px
from beadcheck.report.whole.marks import Row
from beadcheck.report.wording import LengthUnit
from beadcheck.result import WholeWeldRecord
from beadcheck.units import MM_PER_INCH

HOURS: Final = 12
STEPS: Final = {
    LengthUnit.MM: (1.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0),
    LengthUnit.INCH: (0.25, 0.5, 1.0, 2.0, 5.0, 10.0),
}
MARGIN: Final = 0.4
"""Between an hour and the edge of the picture, in sizes of its letters."""
APART: Final = 1.8
"""Numbers stand this many of their own widths apart at least."""


def ruler_height_px(whole: WholeWeldRecord, size_px: int) -> float:
    """Room that the ruler takes."""
    return (3.4 if whole.shape == "pipe" else 1.9) * size_px


def draw_ruler(
    drawing: Drawing,
    whole: WholeWeldRecord,
    row: Row,
    *,
    foot: tuple[float, float],
    unit: LengthUnit,
    size_px: int,
) -> None:
    """Draw over a row, whose upper left corner is `foot`."""
    _draw_lengths(drawing, row, foot=foot, unit=unit, size_px=round(0.85 * size_px))
    if whole.shape == "pipe":
        _draw_hours(drawing, whole, row, foot=foot, size_px=size_px)


def _draw_lengths(
    drawing: Drawing, row: Row, *, foot: tuple[float, float], unit: LengthUnit, size_px: int
) -> None:
    in_mm = MM_PER_INCH if unit is LengthUnit.INCH else 1.0
    sign = "in" if unit is LengthUnit.INCH else "mm"
    widest = APART * text_width_px(f"{row.last_mm / in_mm:g}"[:4] + " ", size_px)
    step = next(
        (each for each in STEPS[unit] if each * in_mm * row.px_per_mm >= widest), STEPS[unit][-1]
    )
    first, last = math.ceil(row.first_mm / in_mm / step), math.floor(row.last_mm / in_mm / step)
    free_from = -math.inf
    for count in range(first, last + 1):
        value = count * step
        x = foot[0] + float(row.x_px(np.array([value * in_mm]))[0]) + 0.5
        ends = np.array([[x, foot[1] - 0.35 * size_px], [x, foot[1]]])
        drawing.line(ends, INK, max(2.0, size_px / 14))
        number = f"{value:g}"
        left = x - 0.5 * text_width_px(number, size_px)
        if left < free_from:
            continue
        words = f"{number} {sign}" if count == first else number
        drawing.text((left, foot[1] - 0.55 * size_px), words, size_px, colour=MUTED, anchor="ls")
        free_from = left + text_width_px(f"{words} ", size_px)


def _draw_hours(
    drawing: Drawing,
    whole: WholeWeldRecord,
    row: Row,
    *,
    foot: tuple[float, float],
    size_px: int,
) -> None:
    """Draw the full hours; 12 o'clock stands at both ends of the weld."""
    every_mm = whole.length_mm / HOURS
    # A row ends with a whole pixel, an hour on its edge not.
    pixel_mm = 1.0 / row.px_per_mm
    first = math.ceil((row.first_mm - pixel_mm) / every_mm)
    last = math.floor((row.last_mm + pixel_mm) / every_mm)
    for count in range(first, last + 1):
        hour = whole.clock_sense * count % HOURS or HOURS
        x = foot[0] + float(row.x_px(np.array([count * every_mm]))[0]) + 0.5
        words = f"{hour} o'clock" if count == first else f"{hour}"
        half = 0.5 * text_width_px(words, size_px, bold=True) + MARGIN * size_px
        middle = min(max(x, half), drawing.width_px - half)
        drawing.text((middle, foot[1] - 2.1 * size_px), words, size_px, bold=True, anchor="ms")
        # Two ticks, so that no line runs through the lengths between them.
        for top, low in ((1.95, 1.5), (0.38, 0.0)):
            ends = np.array([[x, foot[1] - top * size_px], [x, foot[1] - low * size_px]])
            drawing.line(ends, INK, max(3.0, size_px / 8))
