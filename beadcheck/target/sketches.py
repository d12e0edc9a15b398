"""Line drawings of how each target lies beside the weld."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from beadcheck.target.ink import Anchor, Box, Ink, Polygon, Words, arrow_head, line

PLATE_SKETCH_MM: Final = (70.0, 44.0)
_PEN_MM: Final = 0.25
_LABEL_PT: Final = 7.0
_MARKERS_DRAWN: Final = 4


def card_sketch() -> list[Ink]:
    """A plate, its weld inside the window of the card; the frame's top left is the sketch's."""
    return [
        *_outline(0.0, 0.0, *PLATE_SKETCH_MM),
        *_bead(17.0, 53.0, y_mm=22.0),
        *_outline(11.0, 4.0, 48.0, 36.0),
        *_outline(15.0, 13.0, 40.0, 18.0),
        *_squares(16.5, 6.5),
        *_squares(16.5, 33.5),
        _label("weld", 35.0, 29.2),
        _label("plate", 64.5, 42.2),
    ]


def strips_sketch() -> list[Ink]:
    """A plate, a strip on each side of its weld, both weld sides inward."""
    return [
        *_outline(0.0, 0.0, *PLATE_SKETCH_MM),
        *_bead(3.0, 67.0, y_mm=22.0),
        *_outline(11.0, 4.0, 48.0, 10.0),
        *_outline(11.0, 30.0, 48.0, 10.0),
        *_squares(16.5, 7.0),
        *_squares(16.5, 33.0),
        _label("strip A", 5.5, 9.8),
        _label("strip B", 5.5, 35.8),
    ]


def pipe_sketch() -> list[Ink]:
    """A pipe from the side: the strip left of the weld, so that 3 o'clock faces the viewer."""
    top_mm, foot_mm, middle_mm = 8.0, 38.0, 23.0
    radius_mm = 0.5 * (foot_mm - top_mm)
    ink: list[Ink] = [
        *_stroke([(8.0, top_mm), (76.0, top_mm)]),
        *_stroke([(8.0, foot_mm), (76.0, foot_mm)]),
        *_stroke(_arc(8.0, middle_mm, 4.0, radius_mm, 0.0, 360.0)),
        *_stroke(_arc(76.0, middle_mm, 4.0, radius_mm, -90.0, 90.0)),
        *_outline(30.0, top_mm - 0.3, 8.0, foot_mm - top_mm + 0.6),
    ]
    for angle_deg in range(-75, 90, 30):
        near, far = (
            middle_mm + radius_mm * math.sin(math.radians(angle_deg + turn)) for turn in (-9.0, 9.0)
        )
        ink.append(Box(x_mm=33.0, y_mm=near, width_mm=4.0, height_mm=far - near))
    for k in range(25):
        y_mm = middle_mm - radius_mm * math.cos(math.pi * (k + 0.5) / 25.0)
        ink += _stroke(_arc(48.0, y_mm - 0.5, 3.2, 1.2, 0.0, 180.0))
    ink += [
        arrow_head(34.0, top_mm - 0.8, width_mm=2.2, height_mm=-2.6),
        _label("12 o'clock line at the punch mark", 34.0, top_mm - 4.4),
        _label("weld", 48.0, foot_mm + 3.6),
        _label("strip", 34.0, foot_mm + 3.6),
        _label("3 o'clock", 23.0, middle_mm + 0.9),
    ]
    return ink


def bore_sketch() -> list[Ink]:
    """A pipe cut open along its axis: the phone before its open end, looking over its near edge."""
    top_mm, foot_mm = 8.0, 38.0
    ink: list[Ink] = [
        *_stroke([(22.0, top_mm), (76.0, top_mm)]),
        *_stroke([(22.0, foot_mm), (76.0, foot_mm)]),
        *_outline(1.0, 2.0, 3.0, 14.0),
        Box(x_mm=4.0, y_mm=8.2, width_mm=1.2, height_mm=1.6),
        Box(x_mm=36.0, y_mm=foot_mm - 0.8, width_mm=13.0, height_mm=0.8),
        *_stroke([(5.4, 9.0), (58.0, foot_mm - 1.4)]),
        *_stroke(_arc(58.0, foot_mm, 3.0, 1.4, 180.0, 360.0)),
        *_stroke(_arc(58.0, top_mm, 3.0, 1.4, 0.0, 180.0)),
    ]
    ink += [
        _label("phone", 2.5, 20.0),
        _label("open end", 22.0, top_mm - 1.6),
        _label("strip inside", 42.5, foot_mm + 3.6),
        _label("root", 58.0, foot_mm + 3.6),
        _label("pipe, cut open", 50.0, top_mm + 6.4),
    ]
    return ink


def _label(text: str, x_mm: float, y_mm: float) -> Words:
    return Words(text=text, x_mm=x_mm, y_mm=y_mm, size_pt=_LABEL_PT, anchor=Anchor.MIDDLE)


def _outline(x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> list[Ink]:
    right_mm, foot_mm = x_mm + width_mm, y_mm + height_mm
    return [
        line((x_mm, y_mm), (right_mm, y_mm), width_mm=_PEN_MM),
        line((x_mm, foot_mm), (right_mm, foot_mm), width_mm=_PEN_MM),
        line((x_mm, y_mm), (x_mm, foot_mm), width_mm=_PEN_MM),
        line((right_mm, y_mm), (right_mm, foot_mm), width_mm=_PEN_MM),
    ]


def _squares(x_mm: float, y_mm: float) -> list[Ink]:
    """A row of markers, too small to be read."""
    return [
        Box(x_mm=x_mm + 11.0 * k, y_mm=y_mm, width_mm=4.0, height_mm=4.0)
        for k in range(_MARKERS_DRAWN)
    ]


def _bead(start_mm: float, end_mm: float, *, y_mm: float) -> list[Ink]:
    """Ripples of a level weld."""
    ink: list[Ink] = []
    for k in range(round((end_mm - start_mm) / 1.4)):
        ink += _stroke(_arc(start_mm + 1.4 * k, y_mm, 1.8, 3.4, -90.0, 90.0))
    return ink


def _arc(
    x_mm: float, y_mm: float, across_mm: float, down_mm: float, first_deg: float, last_deg: float
) -> list[tuple[float, float]]:
    """Part of an ellipse, from one angle to another, 0 to the right."""
    count = max(8, round((last_deg - first_deg) / 8.0))
    angles = [
        math.radians(first_deg + (last_deg - first_deg) * k / count) for k in range(count + 1)
    ]
    return [(x_mm + across_mm * math.cos(a), y_mm + down_mm * math.sin(a)) for a in angles]


def _stroke(points_mm: Sequence[tuple[float, float]]) -> list[Ink]:
    """Thin line through points, a polygon for each stretch."""
    half = 0.5 * _PEN_MM
    ink: list[Ink] = []
    for (x0, y0), (x1, y1) in pairwise(points_mm):
        length = math.hypot(x1 - x0, y1 - y0)
        dx, dy = half * (y1 - y0) / length, half * (x0 - x1) / length
        corners = ((x0 + dx, y0 + dy), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy), (x0 - dx, y0 - dy))
        ink.append(Polygon(points_mm=corners))
    return ink
