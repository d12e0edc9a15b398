"""The form while it is being filled in: what it shows, and what it means so far."""

from typing import Final, Literal

import gradio as gr

from beadcheck.coupon import Coupon, Position, Process, Shape
from beadcheck.errors import BeadcheckError
from beadcheck.report.wording import LengthUnit
from beadcheck.units import inches, millimetres
from beadcheck_page.controls import NOT_SAID, Fields
from beadcheck_page.entries import UNSAID, Entries, coupon_of_target
from beadcheck_page.lookout import Wanted
from beadcheck_page.parts import Updates
from beadcheck_page.sizes import schedule_choices, size_mm

BARE: Final = Wanted(coupon=Coupon(), without_target=True)
"""A photo without a target is looked at in the same way whatever the coupon."""
WITH_PROGRESSION: Final = (
    Position.VERTICAL.value,
    Position.FIXED_HORIZONTAL.value,
    Position.FIXED_INCLINED.value,
)


def field_updates(fields: Fields, entries: Entries) -> Updates:
    """Show the fields that the entries call for, and hide the others."""
    size = entries.pipe_size
    pipe = entries.shape == Shape.PIPE.value
    pulsed = entries.process == Process.GTAW_PULSED.value
    choices = schedule_choices(size) if isinstance(size, str) else []
    known = entries.schedule in {choice for _, choice in choices}
    return {
        fields.pipe_size: gr.Dropdown(visible=_shown(pipe)),
        fields.schedule: gr.Dropdown(
            choices=[NOT_SAID, *choices],
            value=str(entries.schedule) if known else UNSAID,
            visible=_shown(pipe and bool(choices)),
        ),
        fields.outside_diameter: gr.Number(
            value=_number(entries.outside_diameter), visible=_shown(pipe)
        ),
        fields.peak_s: gr.Number(value=_number(entries.peak_s), visible=_shown(pulsed)),
        fields.background_s: gr.Number(value=_number(entries.background_s), visible=_shown(pulsed)),
        fields.check_bar: gr.Number(
            value=_number(entries.check_bar), visible=_shown(not entries.no_target)
        ),
        fields.unit: gr.Radio(visible=_shown(not entries.no_target)),
        fields.progression: gr.Radio(visible=_shown(entries.position in WITH_PROGRESSION)),
    }


def wanted_look(entries: Entries) -> Wanted | None:
    """What to look for in the photos, as far as the form says it yet."""
    if entries.no_target is True:
        return BARE
    try:
        return Wanted(coupon=coupon_of_target(entries))
    except BeadcheckError:
        return None


def _shown(wanted: object) -> Literal[True, "hidden"]:
    """Return Gradio's word: "hidden" keeps a field in the page, and so what was entered."""
    return True if wanted else "hidden"


def _number(entered: object) -> float | None:
    """Number as entered; told anew with each change, for Gradio shows 0 for an unhidden blank."""
    if isinstance(entered, bool) or not isinstance(entered, int | float):
        return None
    return float(entered)


def entered_unit(entries: Entries) -> LengthUnit:
    """Unit in which lengths are entered and shown."""
    return LengthUnit.INCH if entries.unit == LengthUnit.INCH.value else LengthUnit.MM


def converted(entered: object, unit: LengthUnit) -> float | None:
    """Return a length entered in the other unit, in this one."""
    number = _number(entered)
    if number is None:
        return None
    return round(inches(number), 4) if unit is LengthUnit.INCH else round(millimetres(number), 3)


def entered_diameter_mm(entries: Entries) -> float | None:
    """Outside diameter of a pipe as far as it has been entered, for the links to the strip."""
    if entries.shape != Shape.PIPE.value:
        return None
    free = _number(entries.outside_diameter)
    if free:
        return millimetres(free) if entered_unit(entries) is LengthUnit.INCH else free
    if not isinstance(entries.pipe_size, str) or entries.pipe_size == UNSAID:
        return None
    return size_mm(entries.pipe_size, None)[0]
