"""The form's fields, built once, in the order of the entries."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Final

import gradio as gr
from gradio.components import Component

from beadcheck.coupon import Position, Process, Progression, Shape, WeldPass
from beadcheck.report.wording import LengthUnit
from beadcheck_page.entries import UNSAID, Choice
from beadcheck_page.sizes import Choices, size_choices

PROCESS_WORDS: Final = {
    Process.GTAW: "GTAW (TIG)",
    Process.GTAW_PULSED: "GTAW (TIG), pulsed",
    Process.SMAW: "SMAW (stick)",
    Process.GMAW: "GMAW (MIG/MAG)",
}
PASS_WORDS: Final = {
    WeldPass.FIT_UP: "Fit-up",
    WeldPass.ROOT: "Root, from the face side",
    WeldPass.ROOT_SIDE: "Root, from the root side",
    WeldPass.SECOND: "Second (hot) pass",
    WeldPass.FILL: "Fill",
    WeldPass.CAP: "Cap",
}
POSITION_WORDS: Final = {
    Position.FLAT: "1G, flat",
    Position.HORIZONTAL: "2G, horizontal",
    Position.VERTICAL: "3G, vertical",
    Position.OVERHEAD: "4G, overhead",
    Position.FIXED_HORIZONTAL: "5G, pipe fixed, level",
    Position.FIXED_INCLINED: "6G, pipe fixed, 45°",
}
NOT_SAID: Final = ("Not said", UNSAID)
LENGTH_LABELS: Final = {
    "outside_diameter": "Outside diameter, if not in the list",
    "wall_thickness": "Wall thickness",
    "check_bar": "Check bar on your print, by steel rule",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """The form, a component for each entry, in the order of `Entries`."""

    unit: gr.Radio
    shape: gr.Radio
    pipe_size: gr.Dropdown
    schedule: gr.Dropdown
    outside_diameter: gr.Number
    wall_thickness: gr.Number
    process: gr.Dropdown
    weld_pass: gr.Dropdown
    position: gr.Dropdown
    progression: gr.Radio
    peak_s: gr.Number
    background_s: gr.Number
    check_bar: gr.Number
    limits: gr.Dropdown
    no_target: gr.Checkbox

    def __iter__(self) -> Iterator[Component]:
        """Yield the components in the order of the entries."""
        return (getattr(self, field.name) for field in fields(self))


def unit_field() -> gr.Radio:
    """Return the switch between millimetres and inches, to be rendered beside the result."""
    return gr.Radio(
        [("mm", LengthUnit.MM.value), ("inch", LengthUnit.INCH.value)],
        value=LengthUnit.MM.value,
        label="Show lengths in",
        elem_id="unit",
        elem_classes="bc-switch",
        interactive=True,
        render=False,
    )


def no_target_field() -> gr.Checkbox:
    """Return the switch for photos without a target, to be rendered beside the Measure button."""
    return gr.Checkbox(
        value=False,
        label="No target in the photo: pixels and percent, not mm",
        elem_id="no_target",
        elem_classes="bc-check",
        interactive=True,
        render=False,
    )


def coupon_fields(unit: gr.Radio, no_target: gr.Checkbox, *, limit_choices: Choices) -> Fields:
    """Draw the fields of the coupon and the pass where they are called."""
    shape = gr.Radio(
        [("Plate", Shape.PLATE.value), ("Pipe", Shape.PIPE.value)],
        value=Shape.PLATE.value,
        label="Coupon",
        elem_id="shape",
        elem_classes="bc-switch",
        interactive=True,
    )
    with gr.Row():
        sizes = [("Choose", UNSAID), *size_choices()]
        pipe_size = _list("pipe_size", "Pipe size", sizes, shown=False)
        schedule = _list("schedule", "Schedule", [NOT_SAID], shown=False)
    with gr.Row():
        outside_diameter = _length("outside_diameter", shown=False)
        wall_thickness = _length("wall_thickness")
    with gr.Row():
        weld_pass = _list("weld_pass", "Pass", [NOT_SAID, *_words(PASS_WORDS)])
        process = _list("process", "Process", [NOT_SAID, *_words(PROCESS_WORDS)])
    with gr.Row():
        peak_s = _number("peak_s", "Peak time (s)", shown=False)
        background_s = _number("background_s", "Background time (s)", shown=False)
    with gr.Row():
        position = _list("position", "Position", [NOT_SAID, *_words(POSITION_WORDS)])
        limits = _list("limits", "Limits", [("Usual for this coupon", UNSAID), *limit_choices])
    progression = gr.Radio(
        [("Uphill", Progression.UP.value), ("Downhill", Progression.DOWN.value), NOT_SAID],
        value=UNSAID,
        label="Progression",
        elem_id="progression",
        elem_classes="bc-switch",
        interactive=True,
        visible="hidden",
    )
    check_bar = _length("check_bar")
    return Fields(
        unit=unit,
        shape=shape,
        pipe_size=pipe_size,
        schedule=schedule,
        outside_diameter=outside_diameter,
        wall_thickness=wall_thickness,
        process=process,
        weld_pass=weld_pass,
        position=position,
        progression=progression,
        peak_s=peak_s,
        background_s=background_s,
        check_bar=check_bar,
        limits=limits,
        no_target=no_target,
    )


def length_label(name: str, unit: str) -> str:
    """Label of a field for a length, with its unit.

    Examples
    --------
    >>> length_label("wall_thickness", "inch")
    'Wall thickness (inch)'
    """
    return f"{LENGTH_LABELS[name]} ({unit})"


def _words(words: Mapping[Choice, str]) -> Choices:
    return [(shown, choice.value) for choice, shown in words.items()]


def _list(name: str, label: str, choices: Choices, *, shown: bool = True) -> gr.Dropdown:
    return gr.Dropdown(
        choices,
        value=UNSAID,
        label=label,
        elem_id=name,
        filterable=False,  # else a phone raises its keyboard over the list
        interactive=True,
        visible=True if shown else "hidden",
    )


def _length(name: str, *, shown: bool = True) -> gr.Number:
    return _number(name, length_label(name, LengthUnit.MM.value), shown=shown)


def _number(name: str, label: str, *, shown: bool = True) -> gr.Number:
    return gr.Number(
        value=None,
        label=label,
        elem_id=name,
        step=0.01,
        interactive=True,
        visible=True if shown else "hidden",
    )
