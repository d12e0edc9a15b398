"""The printed pages of the two targets for plate."""

from typing import Final

from beadcheck.target.catalogue import (
    CARD_WINDOW_MM,
    CHECK_BAR_MM,
    PLATE_MARKER_MM,
    PLATE_MARKERS_IN_A_ROW,
    PLATE_PITCH_MM,
    STRIPS_FIRST_MARKER_X_MM,
    STRIPS_PIECE_HEIGHT_MM,
    STRIPS_ROWS_Y_MM,
)
from beadcheck.target.design import TargetDesign
from beadcheck.target.fonts import Face
from beadcheck.target.ink import (
    Anchor,
    Ink,
    Page,
    Paper,
    Words,
    arrow_head,
    cut_frame,
    marker_cells,
    moved,
    scissors,
)
from beadcheck.target.rulers import edge_ticks, level_bar, upright_bar
from beadcheck.target.sheet import (
    PRINTING_STEPS,
    STEP_PT,
    WELD_STEPS,
    caution,
    check_corner,
    heading,
    steps,
)
from beadcheck.target.sketches import card_sketch, strips_sketch

_MARGIN_MM: Final = 15.0
_TARGET_TOP_MM: Final = 38.0
_ON_TARGET_PT: Final = 6.0
_REMOVE: Final = "Remove before the next arc."
_CARD_STEPS: Final = (
    "Cut along the dashed lines, the window too.",
    "Lay the card flat, the weld inside the window. Its ends must not ride on the weld: where the "
    "weld is longer than the window, use two strips (beadcheck target --strips). Hold it down "
    "with magnets or tape beside the markers.",
)
_STRIPS_STEPS: Final = (
    "Cut along the dashed lines, so that there are two strips.",
    "Lay one strip flat on each side of the weld, weld side inward, 5 to 15 mm from the toes, "
    "about level with each other. Hold them down with magnets or tape beside the markers.",
)


def card_pages(design: TargetDesign, paper: Paper) -> tuple[Page, ...]:
    """Page of the window card, upright."""
    width_mm, height_mm = paper.size_mm
    left_mm = 0.5 * (width_mm - design.width_mm)
    below_mm = _TARGET_TOP_MM + design.height_mm
    column_mm = 0.5 * (width_mm - 2.0 * _MARGIN_MM - 8.0)
    right_mm = _MARGIN_MM + column_mm + 8.0
    title = "beadcheck window card for plate"
    ink: list[Ink] = [
        *heading(title, _facts(design), x_mm=_MARGIN_MM, y_mm=14.0),
        *moved(_card_ink(design), left_mm, _TARGET_TOP_MM),
        *_columns(
            _CARD_STEPS,
            left_mm=_MARGIN_MM,
            right_mm=right_mm,
            y_mm=below_mm + 14.0,
            width_mm=column_mm,
        ),
        *moved(card_sketch(), _MARGIN_MM + 5.0, below_mm + 56.0),
        *caution(x_mm=_MARGIN_MM, y_mm=height_mm - 14.0, width_mm=width_mm - 2.0 * _MARGIN_MM),
    ]
    return (Page(title=title, width_mm=width_mm, height_mm=height_mm, ink=tuple(ink)),)


def strips_pages(design: TargetDesign, paper: Paper) -> tuple[Page, ...]:
    """Page of the two strips, upright, with the check bars below them."""
    width_mm, height_mm = paper.size_mm
    below_mm = _TARGET_TOP_MM + design.height_mm
    column_mm = width_mm - 2.0 * _MARGIN_MM - 126.0
    title = "beadcheck two strips for plate"
    texts = (*PRINTING_STEPS, *_STRIPS_STEPS, *WELD_STEPS)
    ink: list[Ink] = [
        *heading(title, _facts(design), x_mm=_MARGIN_MM, y_mm=14.0),
        *moved(_strips_ink(design), 0.5 * (width_mm - design.width_mm), _TARGET_TOP_MM),
        *check_corner(x_mm=_MARGIN_MM + 6.0, y_mm=below_mm + 130.0),
        *moved(strips_sketch(), _MARGIN_MM + 28.0, below_mm + 54.0),
        *steps(texts, x_mm=_MARGIN_MM + 126.0, y_mm=below_mm + 16.0, width_mm=column_mm),
        *caution(x_mm=_MARGIN_MM, y_mm=height_mm - 14.0, width_mm=width_mm - 2.0 * _MARGIN_MM),
    ]
    return (Page(title=title, width_mm=width_mm, height_mm=height_mm, ink=tuple(ink)),)


def _columns(
    own: tuple[str, ...], *, left_mm: float, right_mm: float, y_mm: float, width_mm: float
) -> list[Ink]:
    """How to print on the left, how to use on the right."""
    before = (*PRINTING_STEPS, own[0])
    after = (*own[1:], *WELD_STEPS)
    titles = (("On the printer", left_mm), ("At the weld", right_mm))
    return [
        *(
            Words(text=text, x_mm=x_mm, y_mm=y_mm, size_pt=STEP_PT + 1.5, face=Face.BOLD)
            for text, x_mm in titles
        ),
        *steps(before, x_mm=left_mm, y_mm=y_mm + 6.0, width_mm=width_mm),
        *steps(after, x_mm=right_mm, y_mm=y_mm + 6.0, width_mm=width_mm, first=len(before) + 1),
    ]


def _facts(design: TargetDesign) -> str:
    first, last = design.markers[0].id, design.markers[-1].id
    return (
        f"markers {design.dictionary} {first} to {last}, {PLATE_MARKER_MM:g} mm; "
        f"paper {design.thickness_mm:g} mm thick"
    )


def _card_ink(design: TargetDesign) -> list[Ink]:
    """Everything on the card, in the design's frame."""
    x_mm, y_mm, width_mm, height_mm = CARD_WINDOW_MM
    bar_mm = round(CHECK_BAR_MM)
    first_id, last_id = design.markers[0].id, design.markers[-1].id
    text_x_mm = design.markers[0].corners_mm[0, 0]
    return [
        *cut_frame(0.0, 0.0, design.width_mm, design.height_mm),
        *cut_frame(x_mm, y_mm, width_mm, height_mm),
        scissors(14.0, 0.0),
        *marker_cells(design),
        *edge_ticks((x_mm, y_mm), round(width_mm), upward=True),
        *edge_ticks((x_mm, y_mm + height_mm), round(width_mm), upward=False),
        *upright_bar(4.9, 106.0, bar_mm),
        *level_bar(x_mm, 92.5, bar_mm),
        *_window_words(),
        *_step_marks(design, 20.2),
        _on_target(f"beadcheck window card {first_id}–{last_id}", text_x_mm, 3.9, face=Face.BOLD),
        _on_target(_REMOVE, design.width_mm - text_x_mm, 3.9, anchor=Anchor.END),
        _on_target(
            f"Both bars 100 mm?  measured ______ and ______ mm     "
            f"paper {design.thickness_mm:g} mm, or ______ mm",
            text_x_mm,
            103.0,
        ),
        _on_target("A practice aid: a qualified inspector decides.", text_x_mm, 107.8),
    ]


def _window_words() -> list[Ink]:
    """What the window says until it is cut out."""
    x_mm, y_mm, width_mm, height_mm = CARD_WINDOW_MM
    middle_x_mm, middle_y_mm = x_mm + 0.5 * width_mm, y_mm + 0.5 * height_mm
    size_pt = 10.0
    texts = (
        ("\u2702 Cut this window out.", Face.BOLD),
        ("The whole weld lies inside it.", Face.PLAIN),
    )
    return [
        Words(
            text=text,
            x_mm=middle_x_mm,
            y_mm=middle_y_mm - 0.8 + 5.0 * k,
            size_pt=size_pt,
            face=face,
            anchor=Anchor.MIDDLE,
        )
        for k, (text, face) in enumerate(texts)
    ]


def _step_marks(design: TargetDesign, tip_y_mm: float) -> list[Ink]:
    """Words over the place of the known step, and an arrow whose tip points at it."""
    if design.step_corners_mm is None:
        return []
    x_mm = float(design.step_corners_mm[:, 0].mean())
    texts = ("known step", "3 to 6 mm", "here: ____")
    first_y_mm = tip_y_mm - 3.2 - 2.9 * len(texts) + 1.3
    return [
        *(
            _on_target(text, x_mm, first_y_mm + 2.9 * k, anchor=Anchor.MIDDLE, size_pt=5.0)
            for k, text in enumerate(texts)
        ),
        arrow_head(x_mm, tip_y_mm, width_mm=3.6, height_mm=-3.2),
    ]


def _strips_ink(design: TargetDesign) -> list[Ink]:
    """Everything on both strips, in the design's frame."""
    bar_mm = round(CHECK_BAR_MM)
    ticks_x_mm = 0.5 * (design.width_mm - bar_mm)
    lower_top_mm = design.height_mm - STRIPS_PIECE_HEIGHT_MM
    ink: list[Ink] = [
        *cut_frame(0.0, 0.0, design.width_mm, STRIPS_PIECE_HEIGHT_MM),
        *cut_frame(0.0, lower_top_mm, design.width_mm, STRIPS_PIECE_HEIGHT_MM),
        scissors(3.0, STRIPS_PIECE_HEIGHT_MM),
        scissors(3.0, lower_top_mm),
        *marker_cells(design),
        *edge_ticks((ticks_x_mm, STRIPS_PIECE_HEIGHT_MM), bar_mm, upward=True),
        *edge_ticks((ticks_x_mm, lower_top_mm), bar_mm, upward=False),
        *_strip_words(design, 0, words_y_mm=2.6, tip_y_mm=18.0, arrow_mm=-3.2),
        *_step_marks(design, 18.0),
        *_strip_words(design, 1, words_y_mm=50.9, tip_y_mm=34.0, arrow_mm=3.2),
    ]
    return ink


def _strip_words(
    design: TargetDesign, piece: int, *, words_y_mm: float, tip_y_mm: float, arrow_mm: float
) -> list[Ink]:
    """Words of one strip: its name along the far edge, and arrows to the weld between markers."""
    ids = [marker.id for marker in design.markers if marker.piece == piece]
    middle_y_mm = STRIPS_ROWS_Y_MM[piece] + 0.5 * PLATE_MARKER_MM
    first_x_mm = STRIPS_FIRST_MARKER_X_MM
    ink: list[Ink] = [
        _on_target(
            f"beadcheck strip {'AB'[piece]}, {ids[0]}–{ids[-1]}",
            first_x_mm,
            words_y_mm,
            face=Face.BOLD,
            size_pt=5.0,
        ),
        _on_target(
            _REMOVE, design.width_mm - first_x_mm, words_y_mm, anchor=Anchor.END, size_pt=5.0
        ),
    ]
    gaps = range(PLATE_MARKERS_IN_A_ROW - (2 if piece == 0 else 1))
    for gap in gaps:  # the last one of strip A shows where the known step goes
        x_mm = first_x_mm + PLATE_PITCH_MM * gap + 0.5 * (PLATE_PITCH_MM + PLATE_MARKER_MM)
        ink.append(
            _on_target("weld side", x_mm, middle_y_mm + 0.7, anchor=Anchor.MIDDLE, size_pt=5.0)
        )
        ink.append(arrow_head(x_mm, tip_y_mm, width_mm=3.6, height_mm=arrow_mm))
    return ink


def _on_target(
    text: str,
    x_mm: float,
    y_mm: float,
    *,
    anchor: Anchor = Anchor.START,
    face: Face = Face.PLAIN,
    size_pt: float = _ON_TARGET_PT,
) -> Words:
    return Words(text=text, x_mm=x_mm, y_mm=y_mm, size_pt=size_pt, face=face, anchor=anchor)
