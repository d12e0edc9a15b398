"""What was entered about the coupon, from the form's raw values to what the library takes."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Final, TypeVar

from beadcheck.coupon import (
    Coupon,
    Position,
    Process,
    Progression,
    PulseCycle,
    Shape,
    WeldPass,
)
from beadcheck.report.wording import LengthUnit
from beadcheck.units import millimetres
from beadcheck_page.refusals import MissingEntryError, UnusableEntryError
from beadcheck_page.sizes import size_mm

Choice = TypeVar("Choice", bound=StrEnum)

LONGEST_TEXT: Final = 80
"""Characters; no choice of the form is longer."""


UNSAID: Final = "-"
"""Choice of a list that stands for no answer; Gradio shows an empty one as a blank field."""


@dataclass(frozen=True, slots=True)
class Entries:
    """The form as a browser sent it: nothing in it has been believed yet.

    Lengths are in the entered unit, times in seconds; what was left empty is None or `UNSAID`.
    """

    unit: object = LengthUnit.MM.value
    shape: object = Shape.PLATE.value
    pipe_size: object = UNSAID
    schedule: object = UNSAID
    outside_diameter: object = None
    wall_thickness: object = None
    process: object = UNSAID
    weld_pass: object = UNSAID
    position: object = UNSAID
    progression: object = UNSAID
    peak_s: object = None
    background_s: object = None
    check_bar: object = None
    limits: object = UNSAID
    no_target: object = False

    def values(self) -> tuple[object, ...]:
        """Return the raw values in the form's order."""
        return tuple(getattr(self, field.name) for field in fields(self))


ENTRY_NAMES: Final = tuple(field.name for field in fields(Entries))


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The form, understood."""

    coupon: Coupon
    limits: str | None
    measured_bar_mm: float | None
    unit: LengthUnit
    without_target: bool


def understood(entries: Entries, *, limit_names: Sequence[str]) -> Settings:
    """Check every entry, whatever the form offered: a browser may send anything.

    Raises
    ------
    SettingError
        Something is missing, or makes no sense.
    """
    unit = _choice(LengthUnit, entries.unit, "the unit") or LengthUnit.MM
    limits = _text(entries.limits, "the limits")
    if limits is not None and limits not in limit_names:
        raise UnusableEntryError("The limit set", "there is none of that name")
    if not isinstance(entries.no_target, bool):
        raise UnusableEntryError("The switch for no target", "it is neither on nor off")
    return Settings(
        coupon=_coupon(entries, unit),
        limits=limits,
        measured_bar_mm=_length_mm(entries.check_bar, "The measured check bar", unit),
        unit=unit,
        without_target=entries.no_target,
    )


def coupon_of_target(entries: Entries) -> Coupon:
    """Only what the target hangs on: the shape, and the outside diameter of a pipe.

    Raises
    ------
    SettingError
        That is missing, or makes no sense.
    """
    if _choice(Shape, entries.shape, "the shape") is not Shape.PIPE:
        return Coupon()
    unit = _choice(LengthUnit, entries.unit, "the unit") or LengthUnit.MM
    diameter_mm, _ = _pipe(entries, unit)
    try:
        return Coupon(shape=Shape.PIPE, outside_diameter_mm=diameter_mm)
    except ValueError as error:
        raise UnusableEntryError("The outside diameter", str(error)) from None


def _coupon(entries: Entries, unit: LengthUnit) -> Coupon:
    shape = _choice(Shape, entries.shape, "the shape") or Shape.PLATE
    process = _choice(Process, entries.process, "the process")
    position = _choice(Position, entries.position, "the position")
    diameter_mm, wall_mm = None, _length_mm(entries.wall_thickness, "The wall thickness", unit)
    if shape is Shape.PIPE:
        diameter_mm, wall_of_size_mm = _pipe(entries, unit)
        wall_mm = wall_mm or wall_of_size_mm
    elif position in {Position.FIXED_HORIZONTAL, Position.FIXED_INCLINED}:
        raise UnusableEntryError("The position", f"a plate has no {position.value}")
    try:
        return Coupon(
            shape=shape,
            outside_diameter_mm=diameter_mm,
            wall_thickness_mm=wall_mm,
            process=process,
            position=position,
            progression=_choice(Progression, entries.progression, "the progression"),
            weld_pass=_choice(WeldPass, entries.weld_pass, "the pass"),
            pulse=_pulse(entries) if process is Process.GTAW_PULSED else None,
        )
    except ValueError as error:
        raise UnusableEntryError("The coupon", str(error)) from None


def _pipe(entries: Entries, unit: LengthUnit) -> tuple[float, float | None]:
    """Outside diameter and, where the schedule is known, wall thickness of the pipe, in mm."""
    free_mm = _length_mm(entries.outside_diameter, "The outside diameter", unit)
    if free_mm is not None:
        return free_mm, None
    size = _text(entries.pipe_size, "the pipe size")
    if size is None:
        raise MissingEntryError(
            "The outside diameter of the pipe",
            "Choose a pipe size under “Coupon and pass”, or enter the diameter.",
        )
    return size_mm(size, _text(entries.schedule, "the schedule"))


def _pulse(entries: Entries) -> PulseCycle | None:
    peak_s = _number(entries.peak_s, "The peak time")
    background_s = _number(entries.background_s, "The background time")
    if peak_s is None and background_s is None:
        return None
    if peak_s is None or background_s is None:
        raise MissingEntryError(
            "One of the two pulse times", "Enter both, in seconds, or leave both empty."
        )
    try:
        return PulseCycle(peak_s=peak_s, background_s=background_s)
    except ValueError as error:
        raise UnusableEntryError("The pulse times", str(error)) from None


def _choice(kind: type[Choice], entered: object, what: str) -> Choice | None:
    text = _text(entered, what)
    if text is None:
        return None
    try:
        return kind(text)
    except ValueError:
        raise UnusableEntryError(what.capitalize(), "it is not one of the choices") from None


def _text(entered: object, what: str) -> str | None:
    if entered is None or entered in {"", UNSAID}:
        return None
    if not isinstance(entered, str) or len(entered) > LONGEST_TEXT:
        raise UnusableEntryError(what.capitalize(), "it is not one of the choices")
    return entered


def _length_mm(entered: object, what: str, unit: LengthUnit) -> float | None:
    number = _number(entered, what)
    if number is None:
        return None
    return millimetres(number) if unit is LengthUnit.INCH else number


def _number(entered: object, what: str) -> float | None:
    if entered is None or entered == "":
        return None
    if isinstance(entered, bool) or not isinstance(entered, int | float):
        raise UnusableEntryError(what, "it is not a number")
    if not (math.isfinite(entered) and entered > 0):
        raise UnusableEntryError(what, "it must be a number above 0")
    return float(entered)
