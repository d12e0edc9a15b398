"""The part of the page where gauge readings are typed beside the photo's values."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck_page import show
from beadcheck_page.field_kinds import choices_of, name_field, switch_field
from beadcheck_page.folds import asset, fold
from beadcheck_page.gauge_places import Compared

COMPARED_WORDS: Final = {Compared.WIDTH: "Width", Compared.REINFORCEMENT: "Reinforcement"}


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeParts:
    """What is shown of photo against gauge; the value of `places` holds what was typed."""

    fold: gr.HTML
    compared: gr.Radio
    places: gr.HTML
    by: gr.Textbox
    button: gr.Button
    found: gr.HTML


def gauge_parts() -> GaugeParts:
    """Draw the part where it is called."""
    opened = fold("Photo against gauge", "gauge")
    with gr.Column(elem_id="gauge-fields", elem_classes="bc-folded"):
        gr.HTML(show.gauge_help(), elem_id="gauge-help")
        compared = switch_field(
            "gauge_compared", "What", choices_of(COMPARED_WORDS), value=Compared.WIDTH.value
        )
        places = gr.HTML(
            "",
            rows="",
            html_template="${rows}",
            js_on_load=asset("gauge.js"),
            elem_id="gauge-places",
        )
        by = name_field("gauge_by", "Who or which phone took the photos; may stay empty")
        button = gr.Button("Compare", variant="primary", elem_id="gauge-compare")
        found = gr.HTML(
            "", html_template="<div role='status'>${value}</div>", elem_id="gauge-found"
        )
    return GaugeParts(
        fold=opened, compared=compared, places=places, by=by, button=button, found=found
    )
