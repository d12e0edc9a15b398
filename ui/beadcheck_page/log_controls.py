"""The part of the page that shows what has been kept."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck_page import show
from beadcheck_page.controls import CHOOSE
from beadcheck_page.entries import UNSAID
from beadcheck_page.field_kinds import list_field, name_field
from beadcheck_page.folds import asset, fold

ANYBODY: Final = ("Everybody", UNSAID)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogParts:
    """What is shown of the log.

    Attributes
    ----------
    fold
        Tells when somebody opens the part.
    help
        Who can read the log here.
    listed
        The list; its value says which page of it is shown, and which measurement.
    chosen
        The chosen measurement.
    welder, newcomer, coupon
        The right names of it.
    told
        What became of putting them right.
    """

    fold: gr.HTML
    help: gr.HTML
    people: gr.Dropdown
    listed: gr.HTML
    chosen: gr.HTML
    welder: gr.Dropdown
    newcomer: gr.Textbox
    coupon: gr.Textbox
    button: gr.Button
    told: gr.HTML


def log_parts() -> LogParts:
    """Draw the part where it is called; nothing of the log stands in it until it is opened."""
    opened = fold("Log", "log")
    with gr.Column(elem_id="log-fields", elem_classes="bc-folded"):
        help_ = gr.HTML("", elem_id="log-help")
        people = list_field("log_person", "Whose", [ANYBODY])
        listed = gr.HTML(
            value="",
            lines="",
            html_template="${lines}",
            js_on_load=asset("log.js"),
            elem_id="log-list",
        )
        chosen = gr.HTML("", js_on_load=asset("log_chosen.js"), elem_id="log-chosen")
        # Shown by the style sheet while a measurement is shown whose names can be put right.
        with gr.Column(elem_id="log-names"):
            gr.HTML(show.names_help())
            welder = list_field("right_welder", "Who really welded it", [CHOOSE])
            newcomer = name_field("right_newcomer", "Or somebody new: nickname or number")
            coupon = name_field("right_coupon", "Which coupon it really is, if that is wrong")
            button = gr.Button("Put the names right", elem_id="names-right")
        told = gr.HTML("", html_template="<div role='status'>${value}</div>", elem_id="log-told")
    return LogParts(
        fold=opened,
        help=help_,
        people=people,
        listed=listed,
        chosen=chosen,
        welder=welder,
        newcomer=newcomer,
        coupon=coupon,
        button=button,
        told=told,
    )
