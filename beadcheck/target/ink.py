"""What a printed page is made of: black shapes and words, in mm, x right and y down."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import cv2

from beadcheck.target.design import TargetDesign
from beadcheck.target.fonts import Face
from beadcheck.units import MM_PER_INCH

HAIRLINE_MM: Final = 0.15
CUT_LINE_MM: Final = 0.2
DASH_MM: Final = (2.4, 1.2)
"""Length of a dash of a cut line, and of the gap after it."""


class Paper(StrEnum):
    """Size of the sheet in the printer."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Short and long side: ISO 216 A4, or ANSI/ASME Y14.1 size A (8.5 by 11 in)."""
        if self is Paper.A4:
            return (210.0, 297.0)
        return (8.5 * MM_PER_INCH, 11.0 * MM_PER_INCH)


class Anchor(StrEnum):
    """Which end of a line of words stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A filled rectangle."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    def moved(self, dx_mm: float, dy_mm: float) -> "Box":
        """The same box elsewhere."""
        return replace(self, x_mm=self.x_mm + dx_mm, y_mm=self.y_mm + dy_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Rectangles that touch but do not overlap, filled as one, so that no seam shows."""

    boxes: tuple[Box, ...]

    def moved(self, dx_mm: float, dy_mm: float) -> "Cells":
        """The same cells elsewhere."""
        return Cells(boxes=tuple(box.moved(dx_mm, dy_mm) for box in self.boxes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Polygon:
    """A filled polygon."""

    points_mm: tuple[tuple[float, float], ...]

    def moved(self, dx_mm: float, dy_mm: float) -> "Polygon":
        """The same polygon elsewhere."""
        return Polygon(points_mm=tuple((x + dx_mm, y + dy_mm) for x, y in self.points_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of words; x and y are of its baseline.

    Attributes
    ----------
    upward
        The line runs from bottom to top, as on the spine of a book.
    """

    text: str
    x_mm: float
    y_mm: float
    size_pt: float
    face: Face = Face.PLAIN
    anchor: Anchor = Anchor.START
    upward: bool = False

    def moved(self, dx_mm: float, dy_mm: float) -> "Words":
        """The same words elsewhere."""
        return replace(self, x_mm=self.x_mm + dx_mm, y_mm=self.y_mm + dy_mm)


Ink = Box | Cells | Polygon | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page to print."""

    title: str
    width_mm: float
    height_mm: float
    ink: tuple[Ink, ...]


def moved(ink: Iterable[Ink], dx_mm: float, dy_mm: float) -> list[Ink]:
    """The same ink elsewhere."""
    return [mark.moved(dx_mm, dy_mm) for mark in ink]


def marker_cells(design: TargetDesign) -> list[Ink]:
    """Black cells of every marker of a design whose markers stand upright, in its own frame."""
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, design.dictionary))
    modules = dictionary.markerSize + 2
    cells: list[Ink] = []
    for marker in design.markers:
        black = cv2.aruco.generateImageMarker(dictionary, marker.id, modules) == 0
        x_mm, y_mm = marker.corners_mm[0].tolist()
        module_mm = (float(marker.corners_mm[2, 0]) - x_mm) / modules
        boxes = [
            Box(
                x_mm=x_mm + module_mm * first,
                y_mm=y_mm + module_mm * row,
                width_mm=module_mm * count,
                height_mm=module_mm,
            )
            for row, line in enumerate(black.tolist())
            for first, count in _runs(line)
        ]
        cells.append(Cells(boxes=tuple(boxes)))
    return cells


def _runs(line: Sequence[bool]) -> list[tuple[int, int]]:
    """First place and length of each run of true."""
    edges = [
        k for k, (a, b) in enumerate(zip([False, *line], [*line, False], strict=True)) if a != b
    ]
    return [(first, end - first) for first, end in zip(edges[::2], edges[1::2], strict=True)]


def line(start_mm: tuple[float, float], end_mm: tuple[float, float], *, width_mm: float) -> Box:
    """Level or upright line, its middle where the two points say."""
    (x0, y0), (x1, y1) = sorted((start_mm, end_mm))
    half = 0.5 * width_mm
    if y0 == y1:
        return Box(x_mm=x0, y_mm=y0 - half, width_mm=x1 - x0, height_mm=width_mm)
    return Box(x_mm=x0 - half, y_mm=min(y0, y1), width_mm=width_mm, height_mm=abs(y1 - y0))


def cut_line(start_mm: tuple[float, float], end_mm: tuple[float, float]) -> list[Ink]:
    """Dashed line to cut along, level or upright; it begins and ends with a dash."""
    dash_mm, gap_mm = DASH_MM
    (x0, y0), (x1, y1) = sorted((start_mm, end_mm))
    length_mm = (x1 - x0) + (y1 - y0)
    count = max(1, round((length_mm + gap_mm) / (dash_mm + gap_mm)))
    step = (length_mm - dash_mm) / (count - 1) / length_mm if count > 1 else 0.0
    dash = min(1.0, dash_mm / length_mm)
    return [
        line(
            (x0 + (x1 - x0) * step * k, y0 + (y1 - y0) * step * k),
            (x0 + (x1 - x0) * (step * k + dash), y0 + (y1 - y0) * (step * k + dash)),
            width_mm=CUT_LINE_MM,
        )
        for k in range(count)
    ]


def cut_frame(x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> list[Ink]:
    """Dashed rectangle to cut out."""
    right_mm, bottom_mm = x_mm + width_mm, y_mm + height_mm
    return [
        *cut_line((x_mm, y_mm), (right_mm, y_mm)),
        *cut_line((x_mm, bottom_mm), (right_mm, bottom_mm)),
        *cut_line((x_mm, y_mm), (x_mm, bottom_mm)),
        *cut_line((right_mm, y_mm), (right_mm, bottom_mm)),
    ]


def scissors(x_mm: float, y_mm: float) -> Words:
    """Scissors on a level cut line."""
    return Words(text="\u2702", x_mm=x_mm, y_mm=y_mm + 1.3, size_pt=11.0, anchor=Anchor.MIDDLE)


def arrow_head(x_mm: float, y_mm: float, *, width_mm: float, height_mm: float) -> Polygon:
    """Triangle with its tip at a point; it points up, or down where its height is negative."""
    base_mm = y_mm + height_mm
    half = 0.5 * width_mm
    return Polygon(points_mm=((x_mm, y_mm), (x_mm + half, base_mm), (x_mm - half, base_mm)))
