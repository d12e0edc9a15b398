"""The groove: as entered, in words that may name inches, and as a file fills it in."""

import math
import re
from fractions import Fraction
from typing import Final

from beadcheck.coupon import Groove, GrooveForm
from beadcheck.units import millimetres
from beadcheck_page.entries import LONGEST_TEXT, Entries, choice
from beadcheck_page.refusals import NoMeasureError

_INCH: Final = re.compile(r"(?:(\d+)[ -])?(\d+/\d+|\d*\.?\d+) *(?:in|inch|\")")


def entered_groove(
    entries: Entries, root_gap_range_mm: tuple[float, float] | None
) -> Groove | None:
    """Groove as entered, with the root opening that is allowed; None where no form was chosen.

    Raises
    ------
    UnusableEntryError, NoMeasureError
    """
    form = choice(GrooveForm, entries.groove, "the groove")
    if form is None:
        return None
    if form is GrooveForm.NONE:
        return Groove(form=form)  # the fields of its sizes do not show
    return Groove(
        form=form,
        angle_deg=angle_said_deg(entries.groove_angle),
        root_gap_mm=length_said_mm(entries.root_gap, "The root gap"),
        root_face_mm=length_said_mm(entries.root_face, "The root face"),
        root_gap_range_mm=root_gap_range_mm,
    )


def length_said_mm(entered: object, what: str) -> float | None:
    """Length in mm of words that may name inches; None where nothing was entered.

    Raises
    ------
    NoMeasureError

    Examples
    --------
    >>> length_said_mm("3,2", "The root gap"), length_said_mm("2 mm", "The root gap")
    (3.2, 2.0)
    >>> length_said_mm("1/8 in", "The root gap"), length_said_mm('1 1/4"', "The root gap")
    (3.175, 31.75)
    """
    said = _said(entered).replace(",", ".")
    if not said:
        return None
    refusal = NoMeasureError(what, said, "length", "3, 3 mm or 1/8 in")
    in_inches = _INCH.fullmatch(said)
    if in_inches is None:
        return _above_zero(said.removesuffix("mm"), refusal)
    whole, part = in_inches.groups()
    try:
        length_in = int(whole or 0) + Fraction(part)
    except ZeroDivisionError:
        raise refusal from None
    return _above_zero(str(millimetres(float(length_in))), refusal)


def angle_said_deg(entered: object) -> float | None:
    """Angle in degrees; None where nothing was entered.

    Raises
    ------
    NoMeasureError

    Examples
    --------
    >>> angle_said_deg("60°"), angle_said_deg("37.5"), angle_said_deg(" ")
    (60.0, 37.5, None)
    """
    said = _said(entered).replace(",", ".")
    if not said:
        return None
    refusal = NoMeasureError("The included angle", said, "angle", "60 or 60°")
    return _above_zero(said.removesuffix("°"), refusal)


def _said(entered: object) -> str:
    return entered[:LONGEST_TEXT].strip() if isinstance(entered, str) else ""


def _above_zero(said: str, refusal: NoMeasureError) -> float:
    try:
        found = float(said)
    except ValueError:
        raise refusal from None
    if not math.isfinite(found) or found <= 0.0:
        raise refusal
    return found


def filled_groove(groove: Groove) -> dict[str, str]:
    """Return what the fields show of what a file says.

    Examples
    --------
    >>> filled_groove(Groove(form=GrooveForm.SINGLE_V, root_gap_mm=3.0))["root_gap"]
    '3 mm'
    """
    return {
        "groove": groove.form.value,
        "groove_angle": "" if groove.angle_deg is None else f"{groove.angle_deg:g}°",
        "root_gap": _shown(groove.root_gap_mm),
        "root_face": _shown(groove.root_face_mm),
    }


def _shown(length_mm: float | None) -> str:
    return "" if length_mm is None else f"{length_mm:g} mm"
