"""Pages made on demand, ready to print: the targets."""

import math
from dataclasses import dataclass

from beadcheck.target.catalogue import bore_strip, pipe_strip, plate_card, plate_strips
from beadcheck.target.design import TargetDesign
from beadcheck.target.ink import Paper
from beadcheck.target.pages import draw_pdf
from beadcheck_page.refusals import MissingEntryError, UnusableEntryError


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedPages:
    """A PDF file and its name."""

    name: str
    pdf: bytes


def printed_target(kind: str, *, paper: str, diameter: str | None) -> PrintedPages:
    """Draw the target that an address names.

    Parameters
    ----------
    diameter
        Of the pipe, or of its bore, in mm, as it stands in the address.

    Raises
    ------
    BeadcheckError
        There is no such target, or none for that pipe.
    """
    size = entered_paper(paper)
    return PrintedPages(
        name=f"beadcheck-{kind}-{paper}.pdf", pdf=draw_pdf(_design(kind, diameter), size)
    )


def entered_paper(named: str) -> Paper:
    """Paper that an address names.

    Raises
    ------
    UnusableEntryError
        There is none of that name.
    """
    try:
        return Paper(named)
    except ValueError:
        raise UnusableEntryError("The paper", "it is A4 or Letter") from None


def _design(kind: str, diameter: str | None) -> TargetDesign:
    match kind:
        case "card":
            return plate_card()
        case "strips":
            return plate_strips()
        case "pipe":
            return pipe_strip(_diameter_mm(diameter))
        case "bore":
            return bore_strip(_diameter_mm(diameter))
    raise UnusableEntryError("The target", "there is none of that name")


def _diameter_mm(diameter: str | None) -> float:
    if not diameter:
        raise MissingEntryError("The diameter of the pipe", "Enter it, in mm.")
    try:
        diameter_mm = float(diameter)
    except ValueError:
        diameter_mm = math.nan
    if not math.isfinite(diameter_mm):
        raise UnusableEntryError("The diameter", "it is not a number")
    return diameter_mm
