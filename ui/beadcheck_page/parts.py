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

    @property
    def standing(self) -> list[Block]:
        """What changes with the photos and the result."""
        return [
            self.tray,
            self.measure,
            self.fields.calibrated,
            self.status,
            self.results,
            self.keep.people,
            self.keep.newcomer,
            self.keep.coupon,
            self.keep.own,
            self.keep.told,
            self.pointing,
            self.picture,
            self.correcting,
            self.boards,
            self.asking,
            self.ways,
            self.further,
            self.further_measure,
            self.timer,
            self.looking,
            self.question,
        ]

    @property
    def form(self) -> list[Block]:
        """The form, and what says what it holds."""
        return [*self.fields, self.targets, self.coupon, self.used]
