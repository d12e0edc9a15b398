"""What a browser sent of the form: raw values, and how each kind of them is read."""

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Final, TypeGuard, TypeVar

from beadcheck.advice import StatedBy
from beadcheck.coupon import Shape, TorchMotion, Weave
from beadcheck.limits import DecisionRule
from beadcheck.report.wording import LengthUnit
from beadcheck.units import millimetres
from beadcheck_page.refusals import UnusableEntryError

Choice = TypeVar("Choice", bound=StrEnum)

LARGEST: Final = 2.0**53
"""Beyond it a browser loses the last digit of a whole number, and Gradio sends none."""
LONGEST_TEXT: Final = 80
"""Characters; no choice of the form is longer."""


UNSAID: Final = "-"
"""Choice of a list that stands for no answer; Gradio shows an empty one as a blank field."""


class BackgroundIn(StrEnum):
    """What the background current is entered in."""

    AMPERE = "A"
    PERCENT = "%"


@dataclass(frozen=True, slots=True)
class Entries:
    """The form as a browser sent it: nothing in it has been believed yet.

    Lengths are in the entered unit; what was left empty is None or `UNSAID`. Nobody knows what the
    two pulse times count until `times_are` says it.
    """

    unit: object = LengthUnit.MM.value
    shape: object = Shape.PLATE.value
    pipe_size: object = UNSAID
    schedule: object = UNSAID
    outside_diameter: object = None
    wall_thickness: object = None
    bore: object = None
    groove_width: object = None
    process: object = UNSAID
    polarity: object = UNSAID
    weld_pass: object = UNSAID
    layer: object = None
    bead: object = None
    beads: object = None
    pass_depth: object = None
    least_root_gap: object = None
    most_root_gap: object = None
    groove: object = UNSAID
    groove_angle: object = ""
    root_gap: object = ""
    root_face: object = ""
    position: object = UNSAID
    progression: object = UNSAID
    strip_side: object = UNSAID
    sectors: object = None
    check_bar: object = None
    limits_of: object = UNSAID
    limits: object = UNSAID
    guard: object = DecisionRule.FULL.value
    no_target: object = False
    calibrated: object = True
    current: object = None
    peak_current: object = None
    background_current: object = None
    background_in: object = BackgroundIn.AMPERE.value
    volts: object = None
    background_volts: object = None
    lowest_current: object = None
    highest_current: object = None
    allowed_by: object = StatedBy.PROCEDURE.value
    peak_s: object = None
    background_s: object = None
    times_are: object = None
    motion: object = TorchMotion.STEPPED.value
    weave: object = Weave.NONE.value
    wanted_overlap: object = None
    run_length: object = None
    arc_time: object = None

    def values(self) -> tuple[object, ...]:
        """Return the raw values in the form's order."""
        return tuple(getattr(self, field.name) for field in fields(self))


ENTRY_NAMES: Final = tuple(field.name for field in fields(Entries))


def choice(kind: type[Choice], entered: object, what: str) -> Choice | None:
    """One of a closed set; None where nothing was said.

    Raises
    ------
    UnusableEntryError
        It is none of them.
    """
    chosen = text(entered, what)
    if chosen is None:
        return None
    try:
        return kind(chosen)
    except ValueError:
        raise UnusableEntryError(what.capitalize(), "it is not one of the choices") from None


def text(entered: object, what: str) -> str | None:
    """Chosen text; None where nothing was said.

    Raises
    ------
    UnusableEntryError
        It is no text of a choice.
    """
    # A tuple, not a set: what a browser sends may have no hash.
    if entered is None or entered in ("", UNSAID):
        return None
    if not is_short_text(entered):
        raise UnusableEntryError(what.capitalize(), "it is not one of the choices")
    return entered


def is_short_text(entered: object) -> TypeGuard[str]:
    """Whether this is a text as long as a choice may be, of characters that a page can show."""
    return isinstance(entered, str) and len(entered) <= LONGEST_TEXT and entered.isprintable()


def showable(entered: object) -> str | float | bool | None:
    """What was entered as its field shows it again; None of what no field can hold."""
    if isinstance(entered, bool) or is_short_text(entered):
        return entered
    return finite(entered)


def length_mm(entered: object, what: str, unit: LengthUnit) -> float | None:
    """Length in mm; None where nothing was entered.

    Raises
    ------
    UnusableEntryError
        It is no number above 0.
    """
    entered_length = number(entered, what)
    if entered_length is None:
        return None
    return millimetres(entered_length) if unit is LengthUnit.INCH else entered_length


def number(entered: object, what: str) -> float | None:
    """Number above 0; None where nothing was entered.

    Raises
    ------
    UnusableEntryError
        It is neither.
    """
    if entered is None or entered == "":
        return None
    if not is_number(entered):
        raise UnusableEntryError(what, "it is not a number")
    found = finite(entered)
    if found is None or found <= 0.0:
        raise UnusableEntryError(what, "it must be a number above 0")
    return found


def count(entered: object, what: str, span: tuple[int, int]) -> int | None:
    """Whole number between two, both included; None where nothing was entered.

    Raises
    ------
    UnusableEntryError
        It is none.
    """
    if entered is None or entered == "":
        return None
    found = finite(entered)
    lowest, highest = span
    if found is None or found != int(found) or not lowest <= found <= highest:
        raise UnusableEntryError(what, f"it must be a whole number from {lowest} to {highest}")
    return int(found)


def finite(entered: object) -> float | None:
    """Number as entered; None of anything else, and of what no field could show again."""
    if not is_number(entered):
        return None
    try:
        found = float(entered)
    except OverflowError:
        # JSON knows whole numbers of any length.
        return None
    return found if abs(found) <= LARGEST else None


def is_number(entered: object) -> TypeGuard[int | float]:
    """Whether this is a number, which true and false are not."""
    return isinstance(entered, int | float) and not isinstance(entered, bool)
