"""Typefaces and styles of the sheet."""

from typing import Final

from reportlab.lib.styles import ParagraphStyle

from beadcheck.target.fonts import Face

PLAIN: Final = Face.PLAIN.value
BOLD: Final = Face.BOLD.value
SMALL_PT: Final = 7.0
BODY_PT: Final = 8.2

BODY: Final = ParagraphStyle("body", fontName=PLAIN, fontSize=BODY_PT, leading=1.28 * BODY_PT)
STRONG: Final = ParagraphStyle("strong", parent=BODY, fontName=BOLD)
SMALL: Final = ParagraphStyle("small", parent=BODY, fontSize=SMALL_PT, leading=1.25 * SMALL_PT)
HEADING: Final = ParagraphStyle(
    "heading", parent=STRONG, fontSize=10.0, leading=12.5, spaceBefore=5.0, spaceAfter=2.0
)
