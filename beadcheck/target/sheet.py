"""What every printed page carries beside its target: title, steps, check corner, caution."""

from collections.abc import Sequence
from typing import Final

from beadcheck.target.catalogue import CHECK_BAR_MM
from beadcheck.target.fonts import MM_PER_POINT, Face, wrapped
from beadcheck.target.ink import Anchor, Box, Ink, Words
from beadcheck.target.rulers import level_bar, upright_bar

TITLE_PT: Final = 15.0
SMALL_PT: Final = 8.0
STEP_PT: Final = 8.5
LEADING: Final = 1.32
"""Distance of two base lines over the size of the type."""
CAUTION: Final = (
    "A practice aid: the final judgement is a qualified inspector's, under the governing code and "
    "procedure."
)
PRINTING_STEPS: Final = (
    "Print at 100 % (“actual size”, never “fit to page”), on white matt paper.",
    "Lay a steel rule on both check bars: each is 100 mm long. Are both off alike? Then tell the "
    "length when you measure: --print-scale MM. Do they differ by more than 0.3 mm? Then print on "
    "another printer.",
)
WELD_STEPS: Final = (
    "Arc off, electrode out, weld cold and brushed. Steel that scorches paper looks cold: check "
    "by instrument, never quench for a photo.",
    "Photo from about 200 mm, square on, the whole target sharp and in the picture, lamp low from "
    "one side.",
    "Take target, tape, magnets and their residue away before the next arc.",
)


def heading(title: str, below: str, *, x_mm: float, y_mm: float) -> list[Ink]:
    """Title on a short thick rule, a line of facts below it."""
    return [
        Box(x_mm=x_mm, y_mm=y_mm, width_mm=18.0, height_mm=1.2),
        Words(text=title, x_mm=x_mm, y_mm=y_mm + 7.8, size_pt=TITLE_PT, face=Face.BOLD),
        Words(text=below, x_mm=x_mm, y_mm=y_mm + 12.2, size_pt=SMALL_PT),
    ]


def steps(
    texts: Sequence[str], *, x_mm: float, y_mm: float, width_mm: float, first: int = 1
) -> list[Ink]:
    """Numbered steps, one below the other, broken to a width; `y_mm` is the first base line."""
    indent_mm = 5.0
    leading_mm = STEP_PT * MM_PER_POINT * LEADING
    ink: list[Ink] = []
    for number, text in enumerate(texts, start=first):
        ink.append(Words(text=str(number), x_mm=x_mm, y_mm=y_mm, size_pt=STEP_PT, face=Face.BOLD))
        for row in wrapped(text, width_mm=width_mm - indent_mm, size_pt=STEP_PT):
            ink.append(Words(text=row, x_mm=x_mm + indent_mm, y_mm=y_mm, size_pt=STEP_PT))
            y_mm += leading_mm
        y_mm += 0.45 * leading_mm
    return ink


def caution(*, x_mm: float, y_mm: float, width_mm: float) -> list[Ink]:
    """Who has the last word, at the foot of every page; `y_mm` is the last base line."""
    rows = wrapped(CAUTION, width_mm=width_mm, size_pt=SMALL_PT, face=Face.BOLD)
    leading_mm = SMALL_PT * MM_PER_POINT * LEADING
    return [
        Words(
            text=row,
            x_mm=x_mm,
            y_mm=y_mm - leading_mm * (len(rows) - 1 - k),
            size_pt=SMALL_PT,
            face=Face.BOLD,
        )
        for k, row in enumerate(rows)
    ]


def check_corner(*, x_mm: float, y_mm: float) -> list[Ink]:
    """Both check bars from one corner, the lower left; they point right and up."""
    length_mm = round(CHECK_BAR_MM)
    return [
        *upright_bar(x_mm, y_mm, length_mm),
        *level_bar(x_mm + 6.0, y_mm, length_mm),
        Words(
            text="check bars: 100 mm each",
            x_mm=x_mm + 6.0 + 0.5 * length_mm,
            y_mm=y_mm - 8.0,
            size_pt=SMALL_PT,
            face=Face.BOLD,
            anchor=Anchor.MIDDLE,
        ),
    ]
