"""From one of beadcheck's own designs to a file that can be printed."""

from beadcheck.target.catalogue import (
    CARD_FIRST_ID,
    PIPE_FIRST_ID,
    STRIPS_FIRST_ID,
)
from beadcheck.target.design import TargetDesign
from beadcheck.target.draw import PNG_DPI, pdf_bytes, png_bytes
from beadcheck.target.ink import Page, Paper
from beadcheck.target.pipe_pages import pipe_pages
from beadcheck.target.plate_pages import card_pages, strips_pages
from beadcheck.target.seam import turn_mm


def pages(design: TargetDesign, paper: Paper) -> tuple[Page, ...]:
    """Printed pages of one of the catalogue's designs.

    Raises
    ------
    ValueError
        If the design is not from the catalogue.
    """
    match design.markers[0].id:
        case id_ if id_ == CARD_FIRST_ID:
            return card_pages(design, paper)
        case id_ if id_ == STRIPS_FIRST_ID:
            return strips_pages(design, paper)
        case id_ if id_ == PIPE_FIRST_ID and turn_mm(design) is not None:
            return pipe_pages(design, paper)
        case _:
            msg = f"{design.name!r} is not one of beadcheck's own targets"
            raise ValueError(msg)


def draw_pdf(design: TargetDesign, paper: Paper) -> bytes:
    """PDF file of a design, true to scale; the same design always gives the same bytes."""
    return pdf_bytes(pages(design, paper))


def draw_png(design: TargetDesign, paper: Paper, *, dpi: int = PNG_DPI) -> tuple[bytes, ...]:
    """PNG files of a design, one a page, true to scale at the resolution written into them."""
    return tuple(png_bytes(page, dpi=dpi) for page in pages(design, paper))
