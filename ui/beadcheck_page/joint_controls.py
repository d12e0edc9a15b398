"""The part of the page that writes a coupon file, and fills the form in from one."""

from dataclasses import dataclass

import gradio as gr

from beadcheck_page.controls import CHOOSE
from beadcheck_page.field_kinds import list_field, name_field
from beadcheck_page.folds import asset, fold


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
    filler
        What the form above has no field for.
    written
        The file of what stands in the form.
    """

    sent: gr.HTML
    passes: gr.Dropdown
    told: gr.HTML
    name: gr.Textbox
    person: gr.Textbox
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
        filler=filler,
        button=button,
        written=written,
    )
