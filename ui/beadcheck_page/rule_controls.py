"""The parts of the page that need no photo: what the limits ask, and what the settings give."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck.coupon import RippleLine
from beadcheck_page.field_kinds import choices_of, name_field, switch_field
from beadcheck_page.folds import fold

LINE_WORDS: Final = {
    RippleLine.MIDDLE: "On the middle line",
    RippleLine.EDGE: "Along one edge",
}
_STATUS: Final = "<div role='status'>${value}</div>"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsParts:
    """What is shown of the limits; a width that stays empty is the one that was measured last."""

    width: gr.Textbox
    one: gr.Button
    every: gr.Button
    told: gr.HTML


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedParts:
    """What is shown of the arithmetic, and what the form has no field for."""

    spacing: gr.Textbox
    line: gr.Radio
    spot: gr.Textbox
    button: gr.Button
    told: gr.HTML


def limits_parts() -> LimitsParts:
    """Draw the part where it is called."""
    fold("What the limits ask", "asked")
    with gr.Column(elem_id="asked-fields", elem_classes="bc-folded"):
        gr.HTML("<p>For what stands under “Coupon and pass”, without a photo.</p>")
        width = name_field("asked_width", "Weld width, such as 14 mm or 9/16 in, if you know")
        one = gr.Button("Show the chosen limits", variant="primary", elem_id="asked-one")
        every = gr.Button("Compare every set", elem_id="asked-every")
        told = gr.HTML("", html_template=_STATUS, elem_id="asked-told")
    return LimitsParts(width=width, one=one, every=every, told=told)


def worked_parts() -> WorkedParts:
    """Draw the part where it is called."""
    fold("Heat, travel and overlap", "worked")
    with gr.Column(elem_id="worked-fields", elem_classes="bc-folded"):
        gr.HTML(
            "<p>Worked out from “Settings used”, without a photo. For pulsed GTAW, what you "
            "measured on the bead may go in here.</p>"
        )
        spacing = name_field("worked_spacing", "Ripple spacing, such as 1.6 mm or 1/16 in")
        line = switch_field(
            "worked_line", "Counted", choices_of(LINE_WORDS), value=RippleLine.MIDDLE.value
        )
        spot = name_field("worked_spot", "Length of one spot, such as 4 mm or 5/32 in")
        button = gr.Button("Work it out", variant="primary", elem_id="worked-out")
        told = gr.HTML("", html_template=_STATUS, elem_id="worked-told")
    return WorkedParts(spacing=spacing, line=line, spot=spot, button=button, told=told)
