"""Groove and filler, which only a coupon file holds: as entered, and as a file fills them in."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from beadcheck.coupon_file import Groove, GrooveForm
from beadcheck.units import millimetres
from beadcheck_page.entries import LONGEST_TEXT, UNSAID, choice, number
from beadcheck_page.refusals import UnusableEntryError

_INCH: Final = re.compile(r"(?:(\d+)[ -])?(\d+/\d+|\d*\.?\d+) *(?:in|inch|\")")


@dataclass(frozen=True, slots=True, kw_only=True)
class JointEntries:
    """What a browser sent of groove and filler: nothing in it has been believed yet."""

    groove: object = UNSAID
    angle_deg: object = None
    root_gap: object = ""
    root_face: object = ""
    filler: object = ""

    def understood_groove(self) -> Groove | None:
        """Groove as entered; None where no form was chosen.

        Raises
        ------
        UnusableEntryError
        """
        form = choice(GrooveForm, self.groove, "the groove")
        if form is None:
            return None
        return Groove(
            form=form,
            angle_deg=number(self.angle_deg, "The included angle"),
            root_gap_mm=length_said_mm(self.root_gap, "The root gap"),
            root_face_mm=length_said_mm(self.root_face, "The root face"),
        )

    def understood_filler(self) -> str | None:
        """Filler as entered; None where nothing was."""
        said = self.filler[:LONGEST_TEXT].strip() if isinstance(self.filler, str) else ""
        return said or None


def length_said_mm(entered: object, what: str) -> float | None:
    """Length in mm of words that may name inches; None where nothing was entered.

    Raises
    ------
    UnusableEntryError
        It is no length above 0.

    Examples
    --------
    >>> length_said_mm("3,2", "The root gap"), length_said_mm("2 mm", "The root gap")
    (3.2, 2.0)
    >>> length_said_mm("1/8 in", "The root gap"), length_said_mm('1 1/4"', "The root gap")
    (3.175, 31.75)
    """
    if not isinstance(entered, str) or not entered.strip():
        return None
    said = entered[:LONGEST_TEXT].strip().replace(",", ".")
    in_inches = _INCH.fullmatch(said)
    try:
        if in_inches is None:
            length_mm = float(said.removesuffix("mm"))
        else:
            whole, part = in_inches.groups()
            length_mm = millimetres(float(int(whole or 0) + Fraction(part)))
    except (ValueError, ZeroDivisionError):
        raise UnusableEntryError(what, "it is no length such as 3, 3 mm or 1/8 in") from None
    return number(length_mm, what)


def filled_joint(groove: Groove | None, filler: str | None) -> JointEntries:
    """Return what the fields show of what a file says.

    Examples
    --------
    >>> filled_joint(Groove(form=GrooveForm.SINGLE_V, root_gap_mm=3.0), "E7018").root_gap
    '3 mm'
    """
    if groove is None:
        return JointEntries(filler=filler or "")
    return JointEntries(
        groove=groove.form.value,
        angle_deg=groove.angle_deg,
        root_gap=_shown(groove.root_gap_mm),
        root_face=_shown(groove.root_face_mm),
        filler=filler or "",
    )


def _shown(length_mm: float | None) -> str:
    return "" if length_mm is None else f"{length_mm:g} mm"
