"""The parts of the page that answer to a press."""

from dataclasses import dataclass
from typing import Any

import gradio as gr
from gradio.blocks import Block

from beadcheck_page.controls import Fields
from beadcheck_page.keep_controls import KeepParts

Updates = dict[Block, Any]
"""Gradio's own shape for "change these, leave the rest"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """Everything on the page that a handler changes."""

    fields: Fields
    coupon: gr.HTML
    used: gr.HTML
    question: gr.HTML
    tray: gr.HTML
    measure: gr.Button
    status: gr.HTML
    results: gr.HTML
    keep: KeepParts
    pointing: gr.Column
    picture: gr.HTML
    correcting: gr.Column
    boards: gr.HTML
    asking: gr.Column
    ways: gr.HTML
    further: gr.HTML
    further_measure: gr.Button
    targets: gr.HTML
    timer: gr.Timer
    looking: gr.Timer
