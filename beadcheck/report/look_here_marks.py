"""Numbered boxes about the places to look at; the number stands beside, clear of the toes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import INK, YELLOW, Drawing, Points, text_width_px
from beadcheck.report.weld_lines import WeldLines
from beadcheck.report.weld_marks import HALO
from beadcheck.result import Result

TAG: Final = 36.0
"""Size of a number, as a part of the picture's width: 11 px on a phone 390 px wide."""
NUMBERS_ROOM: Final = (1.8, 1.4)
"""Room outside the left toe for the stations' numbers, and how much more where they stand beside a
weld that runs down the picture, in sizes of the tags."""
ROWS_ROOM: Final = 2.8
"""Room for two rows of numbers, in their sizes."""
REACH: Final = 6.0
"""How far from its box a number may stand, in its sizes."""
PAD: Final = 0.22
TOO_NEAR: Final = 1e3
ON_FACE: Final = 5.0
BY_NUMBERS: Final = 3.0
ACROSS: Final = 4.0
"""What a place costs that lies on something else, on the weld face, on the stations' numbers, or on
the other side of the weld, in sizes of the number."""
BESIDE: Final = 0.75
"""From here on, in half widths of the weld, a box belongs to one side of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LookHereMark:
    """A number and the (4, 2) corners of its box, in pixels."""

    number: int
    corners_px: Points

    def moved(self, matrix: NDArray[np.float64]) -> "LookHereMark":
        """Return the same mark after a (2, 3) affine map of its pixels."""
        return replace(self, corners_px=self.corners_px @ matrix[:, :2].T + matrix[:, 2])


def look_here_marks(result: Result, photo_index: int) -> tuple[LookHereMark, ...]:
    """Marks of one photo in its own pixels."""
    return tuple(
        LookHereMark(number=each.number, corners_px=np.array(each.box_px, dtype=np.float64))
        for each in result.indications
        if each.photo == photo_index
    )


def number_room_px(width_px: int) -> float:
    """Room that two rows of numbers need beside the weld in a picture of this width."""
    return ROWS_ROOM * width_px / TAG


def draw_look_here(
    drawing: Drawing,
    marks: Sequence[LookHereMark],
    weld: WeldLines,
    *,
    frame: tuple[float, float],
    width_px: float,
    arrows: Iterable[Points] = (),
) -> None:
    """Draw boxes and their numbers, joined by a line.

    Numbers keep off the toes, the boxes, each other, and arrows, given as their (2, 2) ends. Boxes
    and numbers stay between the rows of the `frame`; what lies outside it is not drawn.
    """
    marks = [mark for mark in marks if frame[0] <= mark.corners_px[:, 1].mean() <= frame[1]]
    size = round(drawing.width_px / TAG)
    boxes = [_box(mark.corners_px, 0.3 * size) for mark in marks]
    for box in boxes:
        box[:, 1] = box[:, 1].clip(frame[0] + width_px, frame[1] - 1.0 - width_px)
    taken = [(each.mean(axis=0), 0.5 * np.ptp(each, axis=0)) for each in (*boxes, *arrows)]
    for box in boxes:
        drawing.line(np.concatenate([box, box[:1]]), YELLOW, width_px, halo=HALO)
    for mark, box in zip(marks, boxes, strict=True):
        half = _tag_half(mark.number, size)
        place = _place(box, half, taken, weld, size, (float(drawing.width_px), frame[0], frame[1]))
        taken.append((place, half))
        nearest = box[int(np.argmin(np.hypot(*(box - place).T)))]
        drawing.line(np.stack([nearest, place]), YELLOW, width_px, halo=HALO)
        draw_tag(drawing, (float(place[0]), float(place[1])), str(mark.number), size)


def draw_tag(drawing: Drawing, centre: tuple[float, float], number: str, size_px: int) -> None:
    """Draw a number on a plate: dark on yellow, with a dark edge."""
    half = _tag_half(number, size_px)
    edge = max(1.0, size_px / 12)
    for grown, colour in ((edge, HALO), (0.0, YELLOW)):
        corner = (centre[0] - half[0] - grown, centre[1] - half[1] - grown)
        drawing.box(corner, (2.0 * (half[0] + grown), 2.0 * (half[1] + grown)), colour)
    drawing.text(centre, number, size_px, colour=INK, bold=True, anchor="mm")


def _tag_half(number: int | str, size_px: int) -> Points:
    width = text_width_px(str(number), size_px, bold=True)
    return np.array([0.5 * width + PAD * size_px, 0.5 * size_px + 0.5 * PAD * size_px])


def _box(corners: Points, least_half: float) -> Points:
    """Corners, moved apart where the box would be too small to see."""
    middle = corners.mean(axis=0)
    along, across = corners[1] - corners[0], corners[3] - corners[0]
    halves = []
    for side in (along, across):
        length = float(np.hypot(*side))
        halves.append(0.5 * side * max(1.0, 2.0 * least_half / max(length, 1e-9)))
    return np.stack(
        [middle + a * halves[0] + b * halves[1] for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    )


def _place(
    box: Points,
    half: Points,
    taken: Iterable[tuple[Points, Points]],
    weld: WeldLines,
    size: int,
    limits: tuple[float, float, float],
) -> Points:
    """Nearest place for a number about its box that lies on nothing else."""
    middle = box.mean(axis=0)
    grid = 0.5 * size * np.arange(-2.0 * REACH, 2.0 * REACH + 0.5)
    reach = 0.5 * np.ptp(box, axis=0)
    x = np.sign(grid) * np.minimum(reach[0], 8.0 * size) + grid
    y = np.sign(grid) * np.minimum(reach[1], 8.0 * size) + grid
    places = middle + np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    lowest = np.array([half[0], limits[1] + half[1]])
    highest = np.array([limits[0] - half[0], limits[2] - half[1]])
    places = np.clip(places, lowest, np.maximum(lowest, highest))
    away = np.maximum(0.0, np.abs(places - middle) - reach)
    cost = np.hypot(*away.T) / size
    for centre, taken_half in taken:
        gap = np.abs(places - centre) - taken_half - half
        cost = cost + TOO_NEAR * (gap.max(axis=1) < 0.1 * size)
    for toe in (weld.left_px, weld.right_px):
        line = _dense(toe, 0.4 * size)
        x_gap, y_gap = (np.abs(places[:, [i]] - line[:, i]) - half[i] for i in (0, 1))
        cost = cost + TOO_NEAR * (np.maximum(x_gap, y_gap) < 0.15 * size).any(axis=1)
    off, outward = _off(places, weld)
    cost = cost + _in_the_way(off, outward, size)
    off_box = float(_off(middle[None], weld)[0][0])
    if abs(off_box) > BESIDE:
        cost = cost + ACROSS * (np.sign(off) != np.sign(off_box))
    return np.asarray(places[int(np.argmin(cost))])


def _in_the_way(off: NDArray[np.float64], outward: Points, size: int) -> NDArray[np.float64]:
    """(N,) what it costs to stand on the weld face, or where the stations' numbers are."""
    half = np.maximum(np.hypot(*outward.T), 1e-9)
    room = NUMBERS_ROOM[0] + NUMBERS_ROOM[1] * np.abs(outward[:, 0]) / half
    by_numbers = (off > half) & (off < half + room * size)
    return np.where(np.abs(off) < half, ON_FACE, np.where(by_numbers, BY_NUMBERS, 0.0))


def _off(places: Points, weld: WeldLines) -> tuple[NDArray[np.float64], Points]:
    """(N,) places off the weld's middle in half widths, left positive; (N, 2) a half width."""
    middle = weld.middle_px
    x_away, y_away = (places[:, [i]] - middle[:, i] for i in (0, 1))
    nearest = np.argmin(x_away * x_away + y_away * y_away, axis=1)
    outward = weld.left_px[nearest] - middle[nearest]
    half = np.maximum(np.hypot(*outward.T), 1e-9)
    return ((places - middle[nearest]) * outward).sum(axis=1) / half, outward


def _dense(line: Points, step_px: float) -> Points:
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.arange(0.0, along[-1] + step_px, step_px)
    return np.stack([np.interp(at, along, line[:, i]) for i in (0, 1)], axis=1)
