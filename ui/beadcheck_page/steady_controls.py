"""The part of the page that shows how steady the logged welds are."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck_page.controls import CHOOSE
from beadcheck_page.entries import UNSAID
from beadcheck_page.field_kinds import choices_of, list_field
from beadcheck_page.folds import fold
from beadcheck_page.steadiness import SteadyValue

EVERYBODY: Final = ("Everybody, side by side", UNSAID)
VALUE_WORDS: Final = {
    SteadyValue.WIDTH_SPREAD: "Width spread",
    SteadyValue.WIDTH: "Mean width",
    SteadyValue.RIPPLE_SPACING: "Ripple spacing",
    SteadyValue.OVERLAP: "Overlap",
    SteadyValue.REINFORCEMENT: "Reinforcement",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyParts:
    """What is shown of many welds; `fold` tells when somebody opens it."""

    fold: gr.HTML
    help: gr.HTML
    people: gr.Dropdown
    value: gr.Dropdown
    drawn: gr.HTML


def steady_parts() -> SteadyParts:
    """Draw the part where it is called; nobody's welds stand in it until it is opened."""
    opened = fold("Steadiness", "steady")
    with gr.Column(elem_id="steady-fields", elem_classes="bc-folded"):
        help_ = gr.HTML("", elem_id="steady-help")
        people = list_field("steady_person", "Whose welds", [CHOOSE])
        value = list_field(
            "steady_value",
            "What",
            choices_of(VALUE_WORDS),
            value=SteadyValue.WIDTH_SPREAD.value,
        )
        drawn = gr.HTML("", elem_id="steady-drawn")
    return SteadyParts(fold=opened, help=help_, people=people, value=value, drawn=drawn)
