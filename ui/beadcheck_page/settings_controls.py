"""The form's fields for what was used: arc, pulses, run."""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Final

import gradio as gr
from gradio.components import Component

from beadcheck.advice import StatedBy
from beadcheck.coupon import TimesAre, TorchMotion, Weave
from beadcheck_page.entries import BackgroundIn
from beadcheck_page.field_kinds import choices_of, length_field, number_field, switch_field

TIMES_WORDS: Final = {
    TimesAre.SECONDS: "Seconds",
    TimesAre.DIAL_MARKS: "Marks of a dial",
}
MOTION_WORDS: Final = {
    TorchMotion.STEPPED: "Stands on the peak, steps on the background",
    TorchMotion.STEADY: "Travels steadily",
}
WEAVE_WORDS: Final = {
    Weave.NONE: "None",
    Weave.ALTERNATING: "Pauses at the edges in turn",
}
ALLOWED_BY_WORDS: Final = {
    StatedBy.PROCEDURE: "Procedure (WPS)",
    StatedBy.ELECTRODE: "Electrode's box",
}
BACKGROUND_WORDS: Final = {
    BackgroundIn.AMPERE: "A",
    BackgroundIn.PERCENT: "% of the peak",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsFields:
    """What was used, a component for each entry, in the order of `Entries`."""

    current: gr.Number
    peak_current: gr.Number
    background_current: gr.Number
    background_in: gr.Radio
    volts: gr.Number
    background_volts: gr.Number
    lowest_current: gr.Number
    highest_current: gr.Number
    allowed_by: gr.Radio
    peak_s: gr.Number
    background_s: gr.Number
    times_are: gr.Radio
    motion: gr.Radio
    weave: gr.Radio
    wanted_overlap: gr.Number
    run_length: gr.Number
    arc_time: gr.Number

    def __iter__(self) -> Iterator[Component]:
        """Yield the components in the order of the entries."""
        return (getattr(self, field.name) for field in fields(self))

    @property
    def of_pulses(self) -> tuple[gr.Number | gr.Radio, ...]:
        """Fields that only a pulsed pass shows, but for the answer on its times."""
        return (
            self.peak_current,
            self.background_current,
            self.background_in,
            self.background_volts,
            self.peak_s,
            self.background_s,
            self.motion,
            self.weave,
            self.wanted_overlap,
        )


def settings_fields(question: gr.HTML) -> SettingsFields:
    """Draw the fields where they are called, the question on the pulse times beside these."""
    current = number_field("current", "Current (A)")
    with gr.Row():
        peak_current = number_field("peak_current", "Peak current (A)", shown=False)
        background_current = number_field("background_current", "Background current", shown=False)
    background_in = switch_field(
        "background_in",
        "Background current in",
        choices_of(BACKGROUND_WORDS),
        value=BackgroundIn.AMPERE.value,
        shown=False,
    )
    with gr.Row():
        volts = number_field("volts", "Arc voltage (V)")
        background_volts = number_field(
            "background_volts", "Voltage on the background, if it differs (V)", shown=False
        )
    with gr.Row():
        peak_s = number_field("peak_s", "Peak time, as the panel shows it", shown=False)
        background_s = number_field(
            "background_s", "Background time, as the panel shows it", shown=False
        )
    question.render()  # type: ignore[no-untyped-call]  # Gradio leaves it bare
    times_are = switch_field(
        "times_are", "What are these two numbers?", choices_of(TIMES_WORDS), shown=False
    )
    motion = switch_field(
        "motion",
        "Torch",
        choices_of(MOTION_WORDS),
        value=TorchMotion.STEPPED.value,
        shown=False,
    )
    weave = switch_field(
        "weave", "Weave", choices_of(WEAVE_WORDS), value=Weave.NONE.value, shown=False
    )
    wanted_overlap = number_field("wanted_overlap", "Overlap wanted (%)", shown=False)
    with gr.Row():
        run_length = length_field("run_length")
        arc_time = number_field("arc_time", "Arc time for that length (s)")
    with gr.Row():
        lowest_current = number_field("lowest_current", "Lowest current allowed (A)")
        highest_current = number_field("highest_current", "Highest current allowed (A)")
    allowed_by = switch_field(
        "allowed_by",
        "Allowed by",
        choices_of(ALLOWED_BY_WORDS),
        value=StatedBy.PROCEDURE.value,
    )
    return SettingsFields(
        current=current,
        peak_current=peak_current,
        background_current=background_current,
        background_in=background_in,
        volts=volts,
        background_volts=background_volts,
        lowest_current=lowest_current,
        highest_current=highest_current,
        allowed_by=allowed_by,
        peak_s=peak_s,
        background_s=background_s,
        times_are=times_are,
        motion=motion,
        weave=weave,
        wanted_overlap=wanted_overlap,
        run_length=run_length,
        arc_time=arc_time,
    )
