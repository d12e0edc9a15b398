"""The part under the result that keeps it in the log."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck_page.controls import CHOOSE
from beadcheck_page.field_kinds import list_field, name_field
from beadcheck_page.folds import fold

WHO_LABEL: Final = "Who welded it: nickname or number"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepParts:
    """What is shown of keeping a result.

    Attributes
    ----------
    fold
        Tells when somebody opens the part.
    help
        What is kept, and where.
    own
        Whether the device is to remember who was named.
    told
        What became of the last press of the button.
    """

    fold: gr.HTML
    help: gr.HTML
    people: gr.Dropdown
    newcomer: gr.Textbox
    coupon: gr.Textbox
    own: gr.Checkbox
    button: gr.Button
    told: gr.HTML


def keep_parts() -> KeepParts:
    """Draw the part where it is called; nobody is chosen in it."""
    # Shown by the style sheet while there is a result to keep: Gradio forgets which of its fields
    # are hidden where it hides or shows them all.
    with gr.Column(elem_id="keeping"):
        opened = fold("Keep in the log", "keep")
        with gr.Column(elem_id="keep-fields", elem_classes="bc-folded"):
            help_ = gr.HTML("", elem_id="keep-help")
            people = list_field("welder", "Who welded it", [CHOOSE], shown=False)
            newcomer = name_field("newcomer", WHO_LABEL)
            coupon = name_field("coupon_name", "Coupon; left empty, the day and time name it")
            own = gr.Checkbox(
                value=False,
                label="This is my own device: remember my name on it",
                elem_id="own",
                elem_classes="bc-check",
                interactive=True,
            )
            button = gr.Button("Keep", variant="primary", elem_id="keep-it")
            told = gr.HTML("", html_template="<div role='status'>${value}</div>", elem_id="kept")
    return KeepParts(
        fold=opened,
        help=help_,
        people=people,
        newcomer=newcomer,
        coupon=coupon,
        own=own,
        button=button,
        told=told,
    )
