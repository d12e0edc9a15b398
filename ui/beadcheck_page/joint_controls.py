"""The part of the page that writes a coupon file, and fills the form in from one."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck.coupon import GrooveForm
from beadcheck_page.controls import CHOOSE, NOT_SAID
from beadcheck_page.field_kinds import choices_of, list_field, name_field
from beadcheck_page.folds import asset, fold

GROOVE_WORDS: Final = {
    GrooveForm.SINGLE_V: "Single V",
    GrooveForm.DOUBLE_V: "Double V",
    GrooveForm.SINGLE_BEVEL: "Single bevel",
    GrooveForm.SINGLE_U: "Single U",
    GrooveForm.SINGLE_J: "Single J",
    GrooveForm.SQUARE: "Square",
    GrooveForm.NONE: "None",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class JointParts:
    """What is shown of coupon files.

    Attributes
    ----------
    sent
        Its value holds the file that was chosen last.
    passes
        Which pass of it fills the form; shown where it has several.
    told
        What came of it.
    groove, angle, gap, face, filler
        What the form above has no field for.
    written
        The file of what stands in the form.
    """

    sent: gr.HTML
    passes: gr.Dropdown
    told: gr.HTML
    name: gr.Textbox
    person: gr.Textbox
    groove: gr.Dropdown
    angle: gr.Textbox
    gap: gr.Textbox
    face: gr.Textbox
    filler: gr.Textbox
    button: gr.Button
    written: gr.HTML


def joint_parts() -> JointParts:
    """Draw the part where it is called."""
    fold("Coupon file", "joint")
    with gr.Column(elem_id="joint-fields", elem_classes="bc-folded"):
        sent = gr.HTML(
            "",
            html_template=asset("joint.html"),
            js_on_load=asset("joint.js"),
            elem_id="joint-file",
        )
        passes = list_field("joint_pass", "Which pass of it", [CHOOSE], shown=False)
        told = gr.HTML("", html_template="<div role='status'>${value}</div>", elem_id="joint-told")
        name = name_field("joint_name", "What the coupon is called")
        person = name_field("joint_person", "Who welds it; may stay empty")
        groove = list_field("joint_groove", "Groove", [NOT_SAID, *choices_of(GROOVE_WORDS)])
        with gr.Row():
            angle = name_field("joint_angle", "Included angle, such as 60°")
            gap = name_field("joint_gap", "Root gap, such as 3 mm or 1/8 in")
            face = name_field("joint_face", "Root face, such as 2 mm or 1/16 in")
        filler = name_field("joint_filler", "Filler: electrode or wire")
        button = gr.Button("Write the coupon file", elem_id="joint-write")
        written = gr.HTML(
            "", html_template="<div role='status'>${value}</div>", elem_id="joint-written"
        )
    return JointParts(
        sent=sent,
        passes=passes,
        told=told,
        name=name,
        person=person,
        groove=groove,
        angle=angle,
        gap=gap,
        face=face,
        filler=filler,
        button=button,
        written=written,
    )
