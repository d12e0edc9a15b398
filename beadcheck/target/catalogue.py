"""beadcheck's own targets: the window card and the two strips for plate, the strip for pipe.

All three share one dictionary and keep to id ranges of their own, so that a photo tells which of
them lies beside the weld. What each carries besides markers is drawn in `beadcheck.target.pages`.
"""

import math
from dataclasses import replace
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.errors.bore import BoreBeyondStripError
from beadcheck.errors.setting import PipeBeyondStripError
from beadcheck.target.design import Marker, Patch, TargetDesign, rectangle_mm

DICTIONARY: Final = "DICT_5X5_250"
"""Of ArUco's dictionaries the smallest that gives every place round a 1 m pipe an id of its own."""
MARKER_MODULES: Final = 7
"""Modules along a marker's side: five of code, and the black border."""
PAPER_THICKNESS_MM: Final = 0.1
"""Plain copying paper of 80 g/m² (common practice, no published source)."""
CHECK_BAR_MM: Final = 100.0

PLATE_MARKER_MM: Final = 12.0
PLATE_PITCH_MM: Final = 28.0
PLATE_MARKERS_IN_A_ROW: Final = 4

CARD_FIRST_ID: Final = 230
CARD_WIDTH_MM: Final = 120.0
CARD_HEIGHT_MM: Final = 112.0
CARD_FIRST_MARKER_X_MM: Final = 12.0
CARD_ROWS_Y_MM: Final = (7.0, 69.0)
CARD_WINDOW_MM: Final = (10.0, 24.0, 100.0, 40.0)
"""x, y, width and height. A 20 mm cap leaves 10 mm of base metal in view on each side."""
CARD_STEP_MM: Final = (80.0, 24.0, 16.0, 10.0)
"""x, y, width and height of the place for a known step: in the window, on the bare metal, under the
last gap between two markers."""

STRIPS_FIRST_ID: Final = 240
STRIPS_WIDTH_MM: Final = 112.0
STRIPS_HEIGHT_MM: Final = 52.0
STRIPS_PIECE_HEIGHT_MM: Final = 22.0
STRIPS_FIRST_MARKER_X_MM: Final = 8.0
STRIPS_ROWS_Y_MM: Final = (5.0, 35.0)
"""Each row stands 5 mm from its strip's weld edge; the weld edges face each other."""
STRIPS_STEP_MM: Final = (76.0, 22.0, 16.0, 8.0)
"""Of the known step: on the bare metal, against the weld edge of strip A."""

PIPE_FIRST_ID: Final = 0
PIPE_MARKER_MM: Final = 9.0
PIPE_PITCH_MM: Final = 14.0
"""One pitch for every pipe, so that no millimetre hangs on the diameter that was entered."""
PIPE_STRIP_HEIGHT_MM: Final = 17.0
PIPE_ROW_Y_MM: Final = 2.2
"""From the weld edge: a clock tick of 0.9 mm, and a quiet zone of one module."""
PIPE_CLOCK_ZERO_MM: Final = PIPE_PITCH_MM
"""The 12 o'clock line stands in the first gap between two markers."""
PIPE_TAIL_MM: Final = 12.0
"""How far the strip reaches beyond one turn: the tail is tucked under the start and read there."""
PIPE_SEGMENT_PITCHES: Final = 18
"""Longest segment, in pitches: 252 mm and its glue tab fit both A4 and Letter."""
PIPE_SMALLEST_MM: Final = 20.0
BORE_SMALLEST_MM: Final = 45.0
"""In a smaller one a photo through the open end looks along the metal (an estimate by geometry: 30
degrees are reached 1.7 bores deep)."""
PIPE_LARGEST_MM: Final = 1000.0
"""Beyond it the ids of the dictionary no longer reach all the way round."""


def plate_card(*, thickness_mm: float = PAPER_THICKNESS_MM) -> TargetDesign:
    """Window card for plate: the bead runs inside the window, between two rows of four markers."""
    x_mm, y_mm, width_mm, height_mm = CARD_WINDOW_MM
    right_mm, below_mm = x_mm + width_mm, y_mm + height_mm
    paper = (
        rectangle_mm(0.0, 0.0, CARD_WIDTH_MM, y_mm),
        rectangle_mm(right_mm, y_mm, CARD_WIDTH_MM - right_mm, height_mm),
        rectangle_mm(0.0, below_mm, CARD_WIDTH_MM, CARD_HEIGHT_MM - below_mm),
        rectangle_mm(0.0, y_mm, x_mm, height_mm),
    )
    return TargetDesign(
        name="beadcheck window card for plate",
        dictionary=DICTIONARY,
        width_mm=CARD_WIDTH_MM,
        height_mm=CARD_HEIGHT_MM,
        thickness_mm=thickness_mm,
        markers=tuple(
            _plate_marker(
                CARD_FIRST_ID + PLATE_MARKERS_IN_A_ROW * row + column,
                x_mm=CARD_FIRST_MARKER_X_MM + PLATE_PITCH_MM * column,
                y_mm=row_y_mm,
                piece=0,
            )
            for row, row_y_mm in enumerate(CARD_ROWS_Y_MM)
            for column in range(PLATE_MARKERS_IN_A_ROW)
        ),
        check_bar_mm=CHECK_BAR_MM,
        paper=tuple(Patch(corners_mm=corners) for corners in paper),
        step_corners_mm=rectangle_mm(*CARD_STEP_MM),
    )


def plate_strips(*, thickness_mm: float = PAPER_THICKNESS_MM) -> TargetDesign:
    """Two strips for plate, cut from one sheet and laid one on each side of the bead."""
    tops_mm = (0.0, STRIPS_HEIGHT_MM - STRIPS_PIECE_HEIGHT_MM)
    return TargetDesign(
        name="beadcheck two strips for plate",
        dictionary=DICTIONARY,
        width_mm=STRIPS_WIDTH_MM,
        height_mm=STRIPS_HEIGHT_MM,
        thickness_mm=thickness_mm,
        markers=tuple(
            _plate_marker(
                STRIPS_FIRST_ID + PLATE_MARKERS_IN_A_ROW * piece + column,
                x_mm=STRIPS_FIRST_MARKER_X_MM + PLATE_PITCH_MM * column,
                y_mm=row_y_mm,
                piece=piece,
            )
            for piece, row_y_mm in enumerate(STRIPS_ROWS_Y_MM)
            for column in range(PLATE_MARKERS_IN_A_ROW)
        ),
        check_bar_mm=CHECK_BAR_MM,
        paper=tuple(
            Patch(
                corners_mm=rectangle_mm(0.0, top_mm, STRIPS_WIDTH_MM, STRIPS_PIECE_HEIGHT_MM),
                piece=piece,
            )
            for piece, top_mm in enumerate(tops_mm)
        ),
        step_corners_mm=rectangle_mm(*STRIPS_STEP_MM),
    )


def _plate_marker(marker_id: int, *, x_mm: float, y_mm: float, piece: int) -> Marker:
    corners_mm = rectangle_mm(x_mm, y_mm, PLATE_MARKER_MM, PLATE_MARKER_MM)
    return Marker(id=marker_id, corners_mm=corners_mm, piece=piece)


def paper_circumference_mm(outside_diameter_mm: float, *, thickness_mm: float) -> float:
    """Length of one turn of a strip, measured on the flat paper.

    Paper bends about its middle, so one turn is as long as a circle through it; inside a bore that
    is smaller than the bore, and the thickness counts as negative.

    Examples
    --------
    >>> round(paper_circumference_mm(219.1, thickness_mm=0.1), 2)
    688.64
    """
    return math.pi * (outside_diameter_mm + thickness_mm)


def pipe_strip(
    outside_diameter_mm: float, *, thickness_mm: float = PAPER_THICKNESS_MM
) -> TargetDesign:
    """Strip that wraps once round a pipe, its weld edge (y = 0) beside the weld.

    Raises
    ------
    PipeBeyondStripError
        If the pipe is smaller or larger than a strip can go round.
    """
    if not PIPE_SMALLEST_MM <= outside_diameter_mm <= PIPE_LARGEST_MM:
        raise PipeBeyondStripError(outside_diameter_mm, PIPE_SMALLEST_MM, PIPE_LARGEST_MM)
    strip = _strip(
        f"beadcheck strip for pipe, outside diameter {outside_diameter_mm:g} mm",
        paper_circumference_mm(outside_diameter_mm, thickness_mm=thickness_mm),
        thickness_mm,
    )
    return replace(strip, outside_diameter_mm=outside_diameter_mm)


def bore_strip(bore_mm: float, *, thickness_mm: float = PAPER_THICKNESS_MM) -> TargetDesign:
    """Strip that lies once round the inside of a pipe, printed side inward.

    Its weld edge (y = 0) points into the pipe, towards the root. Seen from inside the clock runs
    the other way along it.

    Raises
    ------
    BoreBeyondStripError
        If no photo through the open end shows a strip in such a bore.
    """
    if not BORE_SMALLEST_MM <= bore_mm <= PIPE_LARGEST_MM:
        raise BoreBeyondStripError(bore_mm, BORE_SMALLEST_MM, PIPE_LARGEST_MM)
    strip = _strip(
        f"beadcheck strip for the inside of a pipe, bore {bore_mm:g} mm",
        paper_circumference_mm(bore_mm, thickness_mm=-thickness_mm),
        thickness_mm,
    )
    return replace(strip, bore_mm=bore_mm, clock_sense=-1)


def _strip(name: str, turn_mm: float, thickness_mm: float) -> TargetDesign:
    """Strip whose turn is this long on the flat paper."""
    length_mm = round(turn_mm + PIPE_TAIL_MM, 3)
    margin_mm = 0.5 * (PIPE_PITCH_MM - PIPE_MARKER_MM)
    return TargetDesign(
        name=name,
        dictionary=DICTIONARY,
        width_mm=length_mm,
        height_mm=PIPE_STRIP_HEIGHT_MM,
        thickness_mm=thickness_mm,
        markers=tuple(
            Marker(
                id=PIPE_FIRST_ID + place,
                corners_mm=rectangle_mm(
                    PIPE_PITCH_MM * place + margin_mm, PIPE_ROW_Y_MM, PIPE_MARKER_MM, PIPE_MARKER_MM
                ),
            )
            for place in range(int(turn_mm / PIPE_PITCH_MM))
        ),
        check_bar_mm=CHECK_BAR_MM,
        clock_zero_mm=PIPE_CLOCK_ZERO_MM,
        clock_sense=1,
        joints_mm=_joints_mm(length_mm),
    )


def _joints_mm(length_mm: float) -> tuple[float, ...]:
    """Where a strip is glued: between markers, in segments as equal as whole pitches allow."""
    pitches = math.ceil(length_mm / PIPE_PITCH_MM)
    segments = math.ceil(pitches / PIPE_SEGMENT_PITCHES)
    shorter, longer = divmod(pitches, segments)
    ends = (shorter * k + min(k, longer) for k in range(1, segments))
    return tuple(PIPE_PITCH_MM * end for end in ends)


def default_targets(coupon: Coupon) -> tuple[TargetDesign, ...]:
    """Targets to look for when the user names none; their ids tell which is in the photo.

    Raises
    ------
    SettingError
        If the pipe or its bore is smaller or larger than a strip can go round, or is not known.
    """
    diameter_mm = coupon.strip_diameter_mm
    if diameter_mm is None:
        return (plate_card(), plate_strips())
    return (bore_strip(diameter_mm) if coupon.seen_from_inside else pipe_strip(diameter_mm),)
