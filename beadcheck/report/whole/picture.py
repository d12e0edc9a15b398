"""The picture of the unrolled weld: cut into rows that a phone shows, with ruler and marks."""

import math
from functools import partial
from itertools import pairwise
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import INK, ORANGE, Drawing, blank, text_width_px
from beadcheck.report.legend import Sample, crest_sample, set_out, toe_sample, valley_sample
from beadcheck.report.panel import caution_panel
from beadcheck.report.weld_lines import ToeState
from beadcheck.report.whole.marks import (
    PHOTOGRAPH_HERE,
    Row,
    draw_gaps,
    draw_label,
    draw_start_stops,
    draw_weld,
    labels_of,
    lanes_of,
)
from beadcheck.report.whole.ruler import draw_ruler, ruler_height_px
from beadcheck.report.whole.unrolled import Unrolled
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result, WholeWeldRecord

ROW_PX: Final = 1300
"""Greatest length of a row."""
ROW_MM: Final = 120.0
"""About how much of a weld a row holds."""
MOST_ROWS: Final = 4
FEWEST_ROWS: Final = {"pipe": 2, "plate": 1}
MARGIN_PX: Final = 40
NARROWEST_PX: Final = 900
TEXT_PX: Final = 36
"""Ten pixels on a phone 390 px wide."""
LINE_PX: Final = 3.0


def row_count(whole: WholeWeldRecord) -> int:
    """Rows that the picture is cut into: two to four round a pipe.

    Its unrolled weld need be no longer than that many times `ROW_PX`.
    """
    return max(FEWEST_ROWS[whole.shape], min(MOST_ROWS, math.ceil(whole.length_mm / ROW_MM)))


def unrolled_picture(
    result: Result, unrolled: Unrolled, *, unit: LengthUnit, rows: int, caution: bool = True
) -> NDArray[np.uint8]:
    """Draw the unrolled weld with toes, ripples, starts, stops and gaps.

    Parameters
    ----------
    result
        That from which the unrolled weld was made; it has a whole weld.
    rows
        How many it is cut into.
    caution
        Whether the result's caution stands under it.

    Returns
    -------
    NDArray
        (H, W, 3) uint8, sRGB-coded, blue green red.
    """
    whole = _whole(result)
    columns = unrolled.bgr.shape[1]
    edges = np.round(np.linspace(0, columns, rows + 1)).astype(int)
    width_px = max(NARROWEST_PX, int(np.diff(edges).max()) + 2 * MARGIN_PX)
    unseen = _unseen(whole, unrolled)
    parts = [_header(whole, width_px)]
    for first, last in pairwise(edges.tolist()):
        parts.append(
            _row(whole, unrolled, unseen, span=(first, last), unit=unit, width_px=width_px)
        )
    parts.append(_legend(whole, unseen, width_px))
    if caution:
        parts.append(caution_panel(result, width_px=width_px))
    rgb = np.concatenate([part.finished_rgb() for part in parts])
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), dtype=np.uint8)


def _whole(result: Result) -> WholeWeldRecord:
    if result.whole_weld is None:
        msg = "the photos of this result were not joined"
        raise ValueError(msg)
    return result.whole_weld


def _unseen(whole: WholeWeldRecord, unrolled: Unrolled) -> NDArray[np.bool_]:
    """(W,) columns to photograph: no picture of them, or none good enough to measure in."""
    arc_mm = (np.arange(unrolled.shown_by.size) + 0.5) / unrolled.px_per_mm
    unseen = unrolled.shown_by < 0
    for gap in whole.gaps:
        long_mm = gap.to_arc_mm - gap.from_arc_mm
        unseen |= np.mod(arc_mm - gap.from_arc_mm, whole.length_mm) < long_mm
    return np.asarray(unseen, dtype=np.bool_)


def _header(whole: WholeWeldRecord, width_px: int) -> Drawing:
    drawing = blank(width_px, round(2.2 * TEXT_PX))
    way = "all the way round" if whole.shape == "pipe" else "from end to end"
    words = f"The weld {way}, laid flat, from {len(whole.photos)} photos"
    size = TEXT_PX
    while text_width_px(words, size, bold=True) > width_px - 2 * MARGIN_PX:
        size -= 1
    drawing.text((MARGIN_PX, 0.6 * TEXT_PX), words, size, bold=True)
    return drawing


def _row(
    whole: WholeWeldRecord,
    unrolled: Unrolled,
    unseen: NDArray[np.bool_],
    *,
    span: tuple[int, int],
    unit: LengthUnit,
    width_px: int,
) -> Drawing:
    """Draw a row: ruler, weld, and what is said of places under it."""
    first, last = span
    row = Row(
        first_mm=first / unrolled.px_per_mm,
        last_mm=last / unrolled.px_per_mm,
        px_per_mm=unrolled.px_per_mm,
        top_mm=unrolled.top_mm,
    )
    labels = labels_of(whole, unseen[first:last], row)
    lanes = lanes_of(labels, TEXT_PX, float(last - first))
    top = round(ruler_height_px(whole, TEXT_PX))
    bottom = top + unrolled.bgr.shape[0]
    deepest = max((lane for lane, _ in lanes), default=-1) + 1
    drawing = blank(width_px, round(bottom + (0.8 + 1.25 * deepest + 0.6) * TEXT_PX))
    strip = cv2.cvtColor(unrolled.bgr[:, first:last], cv2.COLOR_BGR2RGB)
    weld = Drawing(np.ascontiguousarray(strip, dtype=np.uint8))
    draw_gaps(weld, unseen[first:last], line_px=LINE_PX)
    draw_weld(weld, whole, row, line_px=LINE_PX)
    draw_start_stops(weld, whole.start_stops, row, line_px=LINE_PX)
    drawing.pixels_rgb[top:bottom, MARGIN_PX : MARGIN_PX + last - first] = weld.pixels_rgb
    foot = (float(MARGIN_PX), float(top))
    draw_ruler(drawing, whole, row, foot=foot, unit=unit, size_px=TEXT_PX)
    for label, (lane, left) in zip(labels, lanes, strict=True):
        shifted = label.moved(MARGIN_PX)
        corner = (MARGIN_PX + left, bottom + (0.7 + 1.25 * lane) * TEXT_PX)
        draw_label(drawing, shifted, corner=corner, top_px=float(bottom), size_px=TEXT_PX)
    _name_sides(drawing, whole, top=top, bottom=bottom)
    return drawing


def _name_sides(drawing: Drawing, whole: WholeWeldRecord, *, top: int, bottom: int) -> None:
    """Say which toe is the high one, where that is known."""
    size = round(0.8 * TEXT_PX)
    for words, y, anchor in (
        (whole.left_is, top + 0.2 * size, "la"),
        (whole.right_is, bottom - 0.2 * size, "ld"),
    ):
        if words is not None:
            at = (MARGIN_PX + 0.3 * size, y)
            drawing.text(at, words, size, halo=(255, 255, 255), anchor=anchor)


def _legend(whole: WholeWeldRecord, unseen: NDArray[np.bool_], width_px: int) -> Drawing:
    size = round(0.85 * TEXT_PX)
    entries: list[tuple[Sample, str]] = [(partial(toe_sample, ToeState.SURE, size, LINE_PX), "toe")]
    if whole.layer is not None:
        entries.append((partial(valley_sample, size, LINE_PX), "valley between beads"))
    if whole.crests:
        entries.append((partial(crest_sample, size, LINE_PX), "ripple crest"))
    if whole.start_stops:
        entries.append((partial(_start_sample, size), "looks like a start, stop or tie-in"))
    if unseen.any():
        entries.append((partial(_gap_sample, size), f"not seen well: {PHOTOGRAPH_HERE}"))
    return set_out(entries, size, width_px=width_px)


def _start_sample(size: int, drawing: Drawing, left: float, middle: float) -> None:
    x, half = left + 1.3 * size, 0.4 * size
    tip = np.array([[x, middle - half], [x - half, middle + half], [x + half, middle + half]])
    drawing.polygon(tip, ORANGE)
    drawing.line(tip[[0, 1, 2, 0]], INK, max(2.0, size / 10))


def _gap_sample(size: int, drawing: Drawing, left: float, middle: float) -> None:
    first, last = round(left), round(left + 2.4 * size)
    top, bottom = round(middle - 0.5 * size), round(middle + 0.5 * size)
    cell = Drawing(np.full((bottom - top, last - first, 3), 222, dtype=np.uint8))
    draw_gaps(cell, np.ones(last - first, dtype=np.bool_), line_px=LINE_PX)
    drawing.pixels_rgb[top:bottom, first:last] = cell.pixels_rgb
