"""The form's fields, built once, in the order of the entries."""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from itertools import chain
from typing import Final

import gradio as gr
from gradio.components import Component

from beadcheck.coupon import (
    GrooveForm,
    Polarity,
    Position,
    Process,
    Progression,
    Shape,
    StripSide,
    WeldPass,
)
from beadcheck.limits import DecisionRule
from beadcheck.report.wording import LengthUnit
from beadcheck_page.entries import UNSAID
from beadcheck_page.field_kinds import (
    choices_of,
    count_field,
    length_field,
    list_field,
    name_field,
    switch_field,
)
from beadcheck_page.limit_choices import GUARD_CHOICES, LimitChoices
from beadcheck_page.settings_controls import SettingsFields
from beadcheck_page.sizes import size_choices

PROCESS_WORDS: Final = {
    Process.GTAW: "GTAW (TIG)",
    Process.GTAW_PULSED: "GTAW (TIG), pulsed",
    Process.SMAW: "SMAW (stick)",
    Process.GMAW: "GMAW (MIG/MAG)",
}
POLARITY_WORDS: Final = {
    Polarity.DCEN: "DCEN (−)",
    Polarity.DCEP: "DCEP (+)",
    Polarity.AC: "AC",
}
STRIP_SIDE_WORDS: Final = {
    StripSide.HIGH: "High side",
    StripSide.LOW: "Low side",
}
PASS_WORDS: Final = {
    WeldPass.FIT_UP: "Fit-up",
    WeldPass.ROOT: "Root, from the face side",
    WeldPass.ROOT_SIDE: "Root, from the root side",
    WeldPass.SECOND: "Second (hot) pass",
    WeldPass.FILL: "Fill",
    WeldPass.CAP: "Cap",
}
GROOVE_WORDS: Final = {
    GrooveForm.SINGLE_V: "Single V",
    GrooveForm.DOUBLE_V: "Double V",
    GrooveForm.SINGLE_BEVEL: "Single bevel",
    GrooveForm.SINGLE_U: "Single U",
    GrooveForm.SINGLE_J: "Single J",
    GrooveForm.SQUARE: "Square",
    GrooveForm.NONE: "None",
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
CHOOSE: Final = ("Choose", UNSAID)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """The form, a component for each entry, in the order of `Entries`."""

    unit: gr.Radio
    shape: gr.Radio
    pipe_size: gr.Dropdown
    schedule: gr.Dropdown
    outside_diameter: gr.Number
    wall_thickness: gr.Number
    bore: gr.Number
    groove_width: gr.Number
    process: gr.Dropdown
    polarity: gr.Radio
    weld_pass: gr.Dropdown
    layer: gr.Number
    bead: gr.Number
    beads: gr.Number
    pass_depth: gr.Number
    least_root_gap: gr.Number
    most_root_gap: gr.Number
    groove: gr.Dropdown
    groove_angle: gr.Textbox
    root_gap: gr.Textbox
    root_face: gr.Textbox
    position: gr.Dropdown
    progression: gr.Radio
    strip_side: gr.Radio
    sectors: gr.Number
    check_bar: gr.Number
    limits_of: gr.Dropdown
    limits: gr.Dropdown
    guard: gr.Radio
    no_target: gr.Checkbox
    calibrated: gr.Checkbox
    used: SettingsFields

    def __iter__(self) -> Iterator[Component]:
        """Yield the components in the order of the entries: what was used comes last."""
        own = (getattr(self, field.name) for field in fields(self) if field.name != "used")
        return chain(own, self.used)


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


def calibrated_field() -> gr.Checkbox:
    """Return the switch for a stored calibration, shown where a photo's camera has one."""
    return gr.Checkbox(
        value=True,
        label="Use the stored calibration of the camera",
        elem_id="calibrated",
        elem_classes="bc-check",
        interactive=True,
        render=False,
        visible="hidden",
    )


def coupon_fields(
    unit: gr.Radio,
    no_target: gr.Checkbox,
    calibrated: gr.Checkbox,
    used: SettingsFields,
    *,
    limit_choices: LimitChoices,
) -> Fields:
    """Draw the fields of the coupon and the pass where they are called."""
    shape = switch_field(
        "shape",
        "Coupon",
        [("Plate", Shape.PLATE.value), ("Pipe", Shape.PIPE.value)],
        value=Shape.PLATE.value,
    )
    with gr.Row():
        sizes = [CHOOSE, *size_choices()]
        pipe_size = list_field("pipe_size", "Pipe size", sizes, shown=False)
        schedule = list_field("schedule", "Schedule", [NOT_SAID], shown=False)
    with gr.Row():
        outside_diameter = length_field("outside_diameter", shown=False)
        wall_thickness = length_field("wall_thickness")
    bore = length_field("bore", shown=False)
    with gr.Row():
        weld_pass = list_field("weld_pass", "Pass", [NOT_SAID, *choices_of(PASS_WORDS)])
        process = list_field("process", "Process", [NOT_SAID, *choices_of(PROCESS_WORDS)])
    polarity = switch_field(
        "polarity",
        "Polarity",
        [*choices_of(POLARITY_WORDS), NOT_SAID],
        value=UNSAID,
        shown=False,
    )
    with gr.Row():
        layer = count_field("layer", "Layer, if you count them; the root is 1")
        bead = count_field("bead", "Bead of that layer")
    with gr.Row():
        beads = count_field("beads", "Beads side by side on top, if you know")
        groove_width = length_field("groove_width", shown=False)
    pass_depth = length_field("pass_depth", shown=False)
    with gr.Row():
        least_root_gap = length_field("least_root_gap", shown=False)
        most_root_gap = length_field("most_root_gap", shown=False)
    with gr.Row():
        grooves = [NOT_SAID, *choices_of(GROOVE_WORDS)]
        groove = list_field("groove", "Groove", grooves, shown=False)
        groove_angle = name_field("groove_angle", "Included angle, such as 60°", shown=False)
    with gr.Row():
        root_gap = name_field("root_gap", "Root gap, such as 3 mm or 1/8 in", shown=False)
        root_face = name_field("root_face", "Root face, such as 2 mm or 1/16 in", shown=False)
    with gr.Row():
        position = list_field("position", "Position", [NOT_SAID, *choices_of(POSITION_WORDS)])
        families = [("Usual for this coupon", UNSAID), *limit_choices.families]
        limits_of = list_field("limits_of", "Limits", families)
    limits = list_field("limits", "Limit set", [CHOOSE], shown=False)
    guard = switch_field(
        "guard",
        "Guard band w, kept on either side of a limit (U is the uncertainty)",
        GUARD_CHOICES,
        value=DecisionRule.FULL.value,
    )
    progression = switch_field(
        "progression",
        "Progression",
        [("Uphill", Progression.UP.value), ("Downhill", Progression.DOWN.value), NOT_SAID],
        value=UNSAID,
        shown=False,
    )
    strip_side = switch_field(
        "strip_side",
        "The strip lies on the",
        [*choices_of(STRIP_SIDE_WORDS), NOT_SAID],
        value=UNSAID,
        shown=False,
    )
    sectors = count_field("sectors", "Sectors round the clock, if not 12")
    check_bar = length_field("check_bar")
    return Fields(
        unit=unit,
        shape=shape,
        pipe_size=pipe_size,
        schedule=schedule,
        outside_diameter=outside_diameter,
        wall_thickness=wall_thickness,
        bore=bore,
        groove_width=groove_width,
        process=process,
        polarity=polarity,
        weld_pass=weld_pass,
        layer=layer,
        bead=bead,
        beads=beads,
        pass_depth=pass_depth,
        least_root_gap=least_root_gap,
        most_root_gap=most_root_gap,
        groove=groove,
        groove_angle=groove_angle,
        root_gap=root_gap,
        root_face=root_face,
        position=position,
        progression=progression,
        strip_side=strip_side,
        sectors=sectors,
        check_bar=check_bar,
        limits_of=limits_of,
        limits=limits,
        guard=guard,
        no_target=no_target,
        calibrated=calibrated,
        used=used,
    )
