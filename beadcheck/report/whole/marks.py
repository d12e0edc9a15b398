"""What is drawn onto one row of the unrolled weld, and under it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import (
    INK,
    MUTED,
    ORANGE,
    PAPER,
    Drawing,
    text_width_px,
)
from beadcheck.report.weld_lines import ToeState
from beadcheck.report.weld_marks import HALO, draw_toe_sample, draw_valley_sample
from beadcheck.result import StartStopRecord, WholeLayerRecord, WholeWeldRecord
from beadcheck.whole_weld.cover import runs_of

Floats = NDArray[np.float64]

PHOTOGRAPH_HERE: Final = "photograph here"
CREST: Final = 0.11
"""Half the length of a crest's tick, as a part of the weld's width."""
HATCH_PX: Final = 26
DOUBTFUL: Final = 0.2
"""From this doubt on, a start or stop carries a question mark."""
STEP_MM: Final = 1.5
"""Stations farther apart than this have nothing between them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A stretch of the whole weld as one row: its first and last place, and its scale."""

    first_mm: float
    last_mm: float
    px_per_mm: float
    top_mm: float

    def x_px(self, arc_mm: Floats) -> Floats:
        """(N,) columns of places along; the centre of the first is 0."""
        return np.asarray((arc_mm - self.first_mm) * self.px_per_mm - 0.5)

    def points_px(self, arc_mm: Floats, across_mm: Floats) -> Floats:
        """(N, 2) pixels of places along and across."""
        return np.stack([self.x_px(arc_mm), (across_mm - self.top_mm) * self.px_per_mm], axis=1)

    def holds(self, arc_mm: float) -> bool:
        """Whether a place lies in it."""
        return self.first_mm <= arc_mm < self.last_mm


def draw_weld(drawing: Drawing, whole: WholeWeldRecord, row: Row, *, line_px: float) -> None:
    """Draw toes and crests onto the pixels of a row."""
    arc_mm = np.array([station.arc_mm for station in whole.stations])
    left_mm = np.array([station.left_across_mm for station in whole.stations])
    right_mm = np.array([station.right_across_mm for station in whole.stations])
    for run in np.split(np.arange(arc_mm.size), np.flatnonzero(np.diff(arc_mm) > STEP_MM) + 1):
        for toe_mm in (left_mm, right_mm):
            points = row.points_px(arc_mm[run], toe_mm[run])
            draw_toe_sample(drawing, points, ToeState.SURE, line_px)
    if whole.layer is not None:
        _draw_valleys(drawing, whole.layer, row, line_px=line_px)
    half_px = CREST * row.px_per_mm * float(np.median(right_mm - left_mm))
    for crest in whole.crests:
        middle_mm = np.interp([crest.arc_mm], arc_mm, 0.5 * (left_mm + right_mm))
        ((x, y),) = row.points_px(np.array([crest.arc_mm]), middle_mm)
        ends = np.array([[x, y - half_px], [x, y + half_px]])
        drawing.line(ends, PAPER, 0.75 * line_px, halo=HALO)


def _draw_valleys(drawing: Drawing, layer: WholeLayerRecord, row: Row, *, line_px: float) -> None:
    arc_mm = np.array([station.arc_mm for station in layer.stations])
    across_mm = np.array([station.valleys_across_mm for station in layer.stations])
    for run in np.split(np.arange(arc_mm.size), np.flatnonzero(np.diff(arc_mm) > STEP_MM) + 1):
        for valley in range(layer.count - 1):
            if run.size > 1:
                points = row.points_px(arc_mm[run], across_mm[run, valley])
                draw_valley_sample(drawing, points, 0.75 * line_px)


def draw_gaps(drawing: Drawing, unseen: NDArray[np.bool_], *, line_px: float) -> None:
    """Hatch the columns that nobody photographed well enough."""
    height = drawing.height_px
    for first, last in runs_of(unseen, closed=False):
        cell = Drawing(np.ascontiguousarray(drawing.pixels_rgb[:, first:last]))
        for x in np.arange(-height, last - first + HATCH_PX, HATCH_PX):
            ends = np.array([[x, height], [x + height, 0.0]], dtype=np.float64)
            cell.line(ends, MUTED, line_px)
        drawing.pixels_rgb[:, first:last] = cell.pixels_rgb


def draw_start_stops(
    drawing: Drawing, starts: Sequence[StartStopRecord], row: Row, *, line_px: float
) -> None:
    """Draw a dashed line across the weld where it seems to start or stop."""
    for each in starts:
        if row.holds(each.arc_mm):
            x = float(row.x_px(np.array([each.arc_mm]))[0])
            ends = np.array([[x, 0.0], [x, float(drawing.height_px)]])
            drawing.dashes(ends, ORANGE, line_px, dash_px=12.0, gap_px=8.0, halo=HALO)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words under a row, with the columns that they speak of: one place, or from where to where."""

    words: str
    first_px: float
    last_px: float

    def moved(self, by_px: float) -> "Label":
        """Return the same, farther to the right."""
        return replace(self, first_px=self.first_px + by_px, last_px=self.last_px + by_px)


def labels_of(whole: WholeWeldRecord, unseen: NDArray[np.bool_], row: Row) -> tuple[Label, ...]:
    """Return what stands under a row, from left to right: gaps, starts and stops."""
    gaps = [
        Label(words=PHOTOGRAPH_HERE, first_px=float(first), last_px=float(last))
        for first, last in runs_of(unseen, closed=False)
    ]
    places = [
        (each, float(row.x_px(np.array([each.arc_mm]))[0]))
        for each in whole.start_stops
        if row.holds(each.arc_mm)
    ]
    starts = [Label(words=start_words(each), first_px=x_px, last_px=x_px) for each, x_px in places]
    return tuple(sorted([*gaps, *starts], key=lambda each: each.first_px))


def start_words(record: StartStopRecord) -> str:
    """Its kind, with a question mark where it is doubtful.

    A candidate that is certainly none has a doubt of 1.
    """
    return record.kind + ("?" if record.doubt >= DOUBTFUL else "")


def lanes_of(
    labels: Sequence[Label], size_px: int, width_px: float
) -> tuple[tuple[int, float], ...]:
    """Line under the row, from 0, and left edge of each label, so that no two touch."""
    ends: list[float] = []
    found = []
    for label in labels:
        wide = text_width_px(label.words, size_px, bold=True)
        middle = 0.5 * (label.first_px + label.last_px)
        left = min(max(0.0, middle - 0.5 * wide), width_px - wide)
        lane = next((k for k, end in enumerate(ends) if end <= left), len(ends))
        ends[lane : lane + 1] = [left + wide + 0.6 * size_px]
        found.append((lane, left))
    return tuple(found)


def draw_label(
    drawing: Drawing, label: Label, *, corner: tuple[float, float], top_px: float, size_px: int
) -> None:
    """Put words with what points from them to the row: a triangle, or a bar under a gap.

    `corner` is the upper left of the words, `top_px` the lower edge of the row.
    """
    line_px = max(2.0, size_px / 10)
    if label.first_px == label.last_px:
        x, half = label.first_px, 0.34 * size_px
        tip = np.array([[x, top_px + 2.0], [x - half, top_px + 2.0 * half], [x + half, 0.0]])
        tip[2, 1] = tip[1, 1]
        drawing.polygon(tip, ORANGE)
        drawing.line(tip[[0, 1, 2, 0]], INK, line_px)
    else:
        y = top_px + 0.3 * size_px
        ends = np.array([[label.first_px, y], [label.last_px, y]])
        drawing.line(ends, INK, 2.0 * line_px)
    drawing.text(corner, label.words, size_px, bold=True)
