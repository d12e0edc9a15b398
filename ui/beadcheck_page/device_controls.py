"""The line that says what this device remembers, and lets it be forgotten."""

from dataclasses import dataclass
from typing import Final

import gradio as gr

from beadcheck_page import show
from beadcheck_page.folds import asset
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.parts import Updates
from beadcheck_page.remembered import Remembered

STORAGE_KEY: Final = "beadcheck-device"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceParts:
    """What is shown of it.

    Attributes
    ----------
    store
        The browser's own storage.
    arrived
        Opens the page to presses once it says anything.
    """

    store: gr.BrowserState
    arrived: gr.HTML
    row: gr.Row
    line: gr.HTML
    forget: gr.Button


def device_parts() -> DeviceParts:
    """Draw the part where it is called."""
    # Gradio scrambles what it stores. The word is the same in every run, so that it can be read
    # again, and hides nothing: what is stored is shown in plain words beside it.
    store = gr.BrowserState({}, storage_key=STORAGE_KEY, secret=STORAGE_KEY)
    arrived = gr.HTML("", js_on_load=asset("arrived.js"), elem_id="arrived")
    with gr.Row(visible=False, elem_id="device") as row:
        line = gr.HTML("", elem_id="device-line")
        forget = gr.Button("Forget", elem_id="forget", elem_classes="bc-small")
    return DeviceParts(store=store, arrived=arrived, row=row, line=line, forget=forget)


def stored_device(device: DeviceParts, told: Remembered, limits: LimitChoices) -> Updates:
    """Have the browser keep it, and show it."""
    return {device.store: told.stored(), **shown_device(device, told, limits)}


def shown_device(device: DeviceParts, told: Remembered, limits: LimitChoices) -> Updates:
    """Show what the device remembers."""
    line = show.remembered_here(told, limits)
    return {device.line: line, device.row: gr.Row(visible=bool(line))}
