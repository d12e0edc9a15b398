"""The kinds of fields that the form is made of."""

from collections.abc import Mapping
from typing import Final

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page.entries import UNSAID, Choice
from beadcheck_page.sizes import Choices

LENGTH_LABELS: Final = {
    "outside_diameter": "Outside diameter, if not in the list",
    "wall_thickness": "Wall thickness",
    "bore": "Bore, if you measured it",
    "groove_width": "Groove's width at the surface, if you know",
    "pass_depth": "Depth of the pass, surface to its edge",
    "least_root_gap": "Root opening, at least",
    "most_root_gap": "Root opening, at most",
    "check_bar": "Check bar on your print, by steel rule",
    "run_length": "Length of the run",
}


def length_label(name: str, unit: str) -> str:
    """Label of a field for a length, with its unit.

    Examples
    --------
    >>> length_label("wall_thickness", "inch")
    'Wall thickness (inch)'
    """
    return f"{LENGTH_LABELS[name]} ({unit})"


def choices_of(words: Mapping[Choice, str]) -> Choices:
    """Choices of a closed set in words."""
    return [(shown, choice.value) for choice, shown in words.items()]


def list_field(
    name: str, label: str, choices: Choices, *, value: str = UNSAID, shown: bool = True
) -> gr.Dropdown:
    """List of which one is chosen; nothing is until somebody does, unless said here."""
    return gr.Dropdown(
        choices,
        value=value,
        label=label,
        elem_id=name,
        filterable=False,  # else a phone raises its keyboard over the list
        interactive=True,
        visible=True if shown else "hidden",
    )


def switch_field(
    name: str, label: str, choices: Choices, *, value: str | None = None, shown: bool = True
) -> gr.Radio:
    """Large buttons of which one is chosen."""
    return gr.Radio(
        choices,
        value=value,
        label=label,
        elem_id=name,
        elem_classes="bc-switch",
        interactive=True,
        visible=True if shown else "hidden",
    )


def length_field(name: str, *, shown: bool = True) -> gr.Number:
    """Number of a length, in mm until somebody changes the unit."""
    return number_field(name, length_label(name, LengthUnit.MM.value), shown=shown)


def number_field(name: str, label: str, *, shown: bool = True) -> gr.Number:
    """Number, empty until somebody enters one."""
    return gr.Number(
        value=None,
        label=label,
        elem_id=name,
        step=0.01,
        interactive=True,
        visible=True if shown else "hidden",
    )


def count_field(name: str, label: str) -> gr.Number:
    """Whole number, hidden until something calls for it."""
    return gr.Number(
        value=None,
        label=label,
        elem_id=name,
        precision=0,
        step=1,
        minimum=1,
        interactive=True,
        visible="hidden",
    )


def name_field(name: str, label: str, *, shown: bool = True) -> gr.Textbox:
    """Name or measure that is written; a browser does not offer what others wrote there before."""
    return gr.Textbox(
        value="",
        label=label,
        elem_id=name,
        elem_classes="bc-name",
        interactive=True,
        html_attributes=gr.InputHTMLAttributes(autocomplete="off", autocapitalize="off"),
        visible=True if shown else "hidden",
    )
