"""The printed pages of the strip for pipe."""

import math
from itertools import pairwise
from typing import Final

from beadcheck.target.catalogue import (
    PIPE_CLOCK_ZERO_MM,
    PIPE_MARKER_MM,
    PIPE_PITCH_MM,
    PIPE_STRIP_HEIGHT_MM,
)
from beadcheck.target.design import TargetDesign
from beadcheck.target.fonts import Face, text_width_mm
from beadcheck.target.ink import (
    HAIRLINE_MM,
    Anchor,
    Box,
    Cells,
    Ink,
    Page,
    Paper,
    Polygon,
    Words,
    arrow_head,
    cut_line,
    line,
    marker_cells,
    moved,
    scissors,
)
from beadcheck.target.pipe_steps import laying_steps, whole_turn_mm
from beadcheck.target.rulers import TickLengths
from beadcheck.target.sheet import (
    PRINTING_STEPS,
    WELD_STEPS,
    caution,
    check_corner,
    heading,
    steps,
)
from beadcheck.target.sketches import bore_sketch, pipe_sketch

_ROWS_PER_PAGE: Final = 3
_ROW_PITCH_MM: Final = 23.0
_FIRST_ROW_Y_MM: Final = 28.0
_TAB_MM: Final = 6.0
_MARGIN_MM: Final = 12.0
_CLOCK_BASE_MM: Final = 14.7
_NUMBER_BASE_MM: Final = 16.6
_CLOCK_PT: Final = 6.5
_SMALL_PT: Final = 4.5
_NUMBER_PT: Final = 3.8
_MM_TICKS: Final = TickLengths(short_mm=0.7, middle_mm=1.1, long_mm=1.7)
_CLOCK_TICK_MM: Final = 0.9
_ROOM_FOR_DEGREES_MM: Final = 14.0
_ROOM_FOR_WORDS_MM: Final = 46.0
_ROOM_FOR_THREE_MM: Final = 110.0


def pipe_pages(design: TargetDesign, paper: Paper) -> tuple[Page, ...]:
    """Pages of a strip, turned sideways: up to three segments on each, check bars below them."""
    height_mm, width_mm = paper.size_mm
    ends_mm = (0.0, *design.joints_mm, design.width_mm)
    segments = list(pairwise(ends_mm))
    whole = _strip_ink(design)
    left_mm = 0.5 * (width_mm - max(end - start for start, end in segments) - _TAB_MM)
    groups = [
        list(enumerate(segments))[k : k + _ROWS_PER_PAGE]
        for k in range(0, len(segments), _ROWS_PER_PAGE)
    ]
    title = _title(design)
    pages: list[Page] = []
    for number, group in enumerate(groups, start=1):
        facts = f"{_facts(design)}; page {number} of {len(groups)}"
        ink: list[Ink] = heading(title, facts, x_mm=_MARGIN_MM, y_mm=10.0)
        for row, (index, (start_mm, end_mm)) in enumerate(group):
            segment = _segment_ink(whole, index, len(segments), start_mm, end_mm)
            ink += moved(segment, left_mm - start_mm, _FIRST_ROW_Y_MM + _ROW_PITCH_MM * row)
        ink += _foot(design, width_mm=width_mm, height_mm=height_mm)
        pages.append(Page(title=title, width_mm=width_mm, height_mm=height_mm, ink=tuple(ink)))
    return tuple(pages)


def _title(design: TargetDesign) -> str:
    if design.bore_mm is not None:
        return f"beadcheck strip for the inside of a pipe, bore {design.bore_mm:g} mm"
    return f"beadcheck strip for pipe of {design.outside_diameter_mm:g} mm outside diameter"


def _facts(design: TargetDesign) -> str:
    return (
        f"markers {design.dictionary} {design.markers[0].id} to {design.markers[-1].id}, "
        f"{PIPE_MARKER_MM:g} mm; paper {design.thickness_mm:g} mm thick"
    )


def _foot(design: TargetDesign, *, width_mm: float, height_mm: float) -> list[Ink]:
    """Check bars and steps under the segments."""
    glue = (
        "Cut along the dashed lines. Glue each segment's cut end on the tab of the one before, "
        "edge on the line, both weld edges in one line."
    )
    wrap, close, photo = laying_steps(design)
    cut = "Cut along the dashed lines." if not design.joints_mm else glue
    texts = (*PRINTING_STEPS, cut, wrap, close, WELD_STEPS[0], photo, *WELD_STEPS[2:])
    sketch = pipe_sketch() if design.bore_mm is None else bore_sketch()
    column_mm = 0.5 * (width_mm - 2.0 * _MARGIN_MM - 124.0 - 6.0)
    left_mm = _MARGIN_MM + 124.0
    y_mm = _FIRST_ROW_Y_MM + _ROWS_PER_PAGE * _ROW_PITCH_MM + 8.0
    return [
        *moved(sketch, _MARGIN_MM + 17.0, height_mm - 88.0),
        *check_corner(x_mm=_MARGIN_MM + 5.0, y_mm=height_mm - 13.0),
        *steps(texts[:4], x_mm=left_mm, y_mm=y_mm, width_mm=column_mm),
        *steps(texts[4:], x_mm=left_mm + column_mm + 6.0, y_mm=y_mm, width_mm=column_mm, first=5),
        *caution(x_mm=left_mm, y_mm=height_mm - 12.0, width_mm=width_mm - _MARGIN_MM - left_mm),
    ]


def _segment_ink(
    whole: list[Ink], index: int, count: int, start_mm: float, end_mm: float
) -> list[Ink]:
    """One segment in the strip's frame: its part of the strip, its cut lines and its glue tab."""
    last = index == count - 1
    right_mm = end_mm if last else end_mm + _TAB_MM
    height_mm = PIPE_STRIP_HEIGHT_MM
    ink: list[Ink] = [mark for mark in whole if start_mm <= _middle_x_mm(mark) < end_mm + last]
    ink += cut_line((start_mm, 0.0), (right_mm, 0.0))
    ink += cut_line((start_mm, height_mm), (right_mm, height_mm))
    ink += cut_line((start_mm, 0.0), (start_mm, height_mm))
    ink += cut_line((right_mm, 0.0), (right_mm, height_mm))
    ink.append(scissors(start_mm + 5.0, 0.0))
    name = f"segment {index + 1} of {count}" if count > 1 else "one segment"
    ink.append(
        Words(text=name, x_mm=start_mm + 32.0, y_mm=height_mm + 3.2, size_pt=7.0, face=Face.BOLD)
    )
    middle_mm = 0.5 * (start_mm + end_mm)
    long = end_mm - start_mm > _ROOM_FOR_THREE_MM
    for x_mm in (start_mm + 20.0, middle_mm, end_mm - 20.0) if long else (middle_mm,):
        ink.append(arrow_head(x_mm - 9.0, -3.1, width_mm=2.4, height_mm=2.2))
        ink.append(Words(text="weld edge", x_mm=x_mm - 7.0, y_mm=-1.1, size_pt=7.0))
    if not last:
        ink.append(line((end_mm, 0.0), (end_mm, height_mm), width_mm=HAIRLINE_MM))
        ink.append(
            Words(
                text=f"glue {index + 2} here",
                x_mm=end_mm + 0.5 * _TAB_MM + 0.8,
                y_mm=0.5 * height_mm,
                size_pt=6.0,
                anchor=Anchor.MIDDLE,
                upward=True,
            )
        )
    return ink


def _middle_x_mm(mark: Ink) -> float:
    """Where along the strip a mark belongs."""
    match mark:
        case Box():
            return mark.x_mm + 0.5 * mark.width_mm
        case Words():
            return mark.x_mm
        case Cells():
            return mark.boxes[0].x_mm
        case Polygon():
            return mark.points_mm[0][0]


def _strip_ink(design: TargetDesign) -> list[Ink]:
    """Everything on the strip, in the design's frame, joints disregarded."""
    return [
        *marker_cells(design),
        *_millimetres(design),
        *_clock(design),
        *_tail(design),
    ]


def _millimetres(design: TargetDesign) -> list[Ink]:
    """Ticks along the far edge from the start edge on, numbered every 10 mm."""
    height_mm = PIPE_STRIP_HEIGHT_MM
    ink: list[Ink] = []
    for k in range(1, math.floor(design.width_mm) + 1):
        if k in design.joints_mm:
            continue
        top_mm = height_mm - _MM_TICKS.of(k, middle=5, long=10)
        ink.append(line((k, height_mm), (k, top_mm), width_mm=HAIRLINE_MM))
        if k % 10 == 0 and k + 3.0 < design.width_mm:
            number = Words(
                text=str(k), x_mm=k + 0.3, y_mm=_NUMBER_BASE_MM - 0.2, size_pt=_NUMBER_PT
            )
            ink += _clear_of_joints(design, number)
    return ink


def _clock(design: TargetDesign) -> list[Ink]:
    """The 12 o'clock line, ticks at the weld edge every 10 degrees, and the hours."""
    ink: list[Ink] = [
        line((PIPE_CLOCK_ZERO_MM, 0.5), (PIPE_CLOCK_ZERO_MM, 12.4), width_mm=0.4),
        arrow_head(PIPE_CLOCK_ZERO_MM, 0.0, width_mm=2.0, height_mm=2.6),
    ]
    for tens in range(36):
        x_mm = _clock_x_mm(design, 10.0 * tens)
        hour = tens % 3 == 0
        if tens:
            length_mm, thick_mm = (_CLOCK_TICK_MM, 0.35) if hour else (0.5, HAIRLINE_MM)
            ink.append(line((x_mm, 0.0), (x_mm, length_mm), width_mm=thick_mm))
        if hour:
            ink += _hour(design, tens // 3)
    return ink


def _clock_x_mm(design: TargetDesign, angle_deg: float) -> float:
    """Where a clock position lies along the strip; some lie before the 12 o'clock line."""
    whole_mm = whole_turn_mm(design)
    return (PIPE_CLOCK_ZERO_MM + design.clock_sense * whole_mm * angle_deg / 360.0) % whole_mm


def _hour(design: TargetDesign, hour: int) -> list[Ink]:
    """Name of an hour, with as much around it as the pipe's size leaves room for."""
    x_mm = _clock_x_mm(design, 30.0 * hour)
    space_mm = whole_turn_mm(design) / 12.0
    if space_mm < 6.0 and hour % 3:
        return []
    label = Words(
        text=str(hour or 12),
        x_mm=x_mm,
        y_mm=_CLOCK_BASE_MM,
        size_pt=_CLOCK_PT,
        face=Face.BOLD,
        anchor=Anchor.MIDDLE,
    )
    ink = _clear_of_joints(design, label)
    beside = ""
    if hour == 0 and space_mm > 32.0:
        beside = "o'clock: set to the punch mark"
    elif hour and space_mm > _ROOM_FOR_DEGREES_MM:
        beside = f"{30 * hour}°"
    if beside:
        small = Words(text=beside, x_mm=x_mm + 2.4, y_mm=_CLOCK_BASE_MM, size_pt=_SMALL_PT)
        ink += _clear_of_joints(design, small)
    if hour and space_mm > _ROOM_FOR_WORDS_MM:
        text = "▲ weld side" if hour % 2 else "remove before the next arc"
        middle = Words(text=text, x_mm=x_mm + 12.0, y_mm=_CLOCK_BASE_MM, size_pt=_SMALL_PT)
        ink += _clear_of_joints(design, middle)
    return ink


def _clear_of_joints(design: TargetDesign, words: Words) -> list[Ink]:
    """The words, or nothing where they would not fit before the tail, or a joint would cut them."""
    length_mm = text_width_mm(words.text, size_pt=words.size_pt, face=words.face)
    start_mm = words.x_mm - (0.5 * length_mm if words.anchor is Anchor.MIDDLE else 0.0)
    end_mm = start_mm + length_mm
    cut = any(start_mm - 0.3 < joint < end_mm + 0.3 for joint in design.joints_mm)
    return [] if cut or start_mm < 0.3 else [words]


def _tail(design: TargetDesign) -> list[Ink]:
    """The scale that the start edge is read on, and the line where it lies on the nominal pipe."""
    height_mm, whole_mm = PIPE_STRIP_HEIGHT_MM, whole_turn_mm(design)
    first_mm = max(whole_mm - 8.0, PIPE_PITCH_MM * len(design.markers) - 1.0)
    ink: list[Ink] = [
        line((whole_mm, 0.6), (whole_mm, height_mm), width_mm=0.35),
        Words(
            text="1 turn",
            x_mm=whole_mm + 2.6,
            y_mm=8.6,
            size_pt=_CLOCK_PT,
            anchor=Anchor.MIDDLE,
            upward=True,
        ),
    ]
    for k in range(math.ceil(first_mm), math.floor(design.width_mm) + 1):
        long = _MM_TICKS.of(k, middle=5, long=10) * 1.6
        ink.append(line((k, 1.1), (k, 1.1 + long), width_mm=HAIRLINE_MM))
    return ink
