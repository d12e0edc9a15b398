"""The page itself: what stands where, and which handler each press calls."""

from collections.abc import Callable, Mapping
from typing import Final

import gradio as gr
from gradio.events import Dependency

from beadcheck.result import CAUTION
from beadcheck_page.controls import (
    Fields,
    calibrated_field,
    coupon_fields,
    no_target_field,
    unit_field,
)
from beadcheck_page.device_controls import device_parts
from beadcheck_page.device_handlers import DeviceHandlers
from beadcheck_page.events import on as _on
from beadcheck_page.events import reads_log
from beadcheck_page.folded_rooms import connect_rooms, folded_rooms
from beadcheck_page.folds import asset, fold
from beadcheck_page.handlers import Handlers
from beadcheck_page.keep_controls import keep_parts
from beadcheck_page.keep_handlers import KeepHandlers
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.lookout import Lookout
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.settings_controls import settings_fields
from beadcheck_page.steady_controls import steady_parts
from beadcheck_page.steady_handlers import SteadyHandlers
from beadcheck_page.used_so_far import COUPON_LABEL, USED_LABEL
from beadcheck_page.visits import Visits

POLL_S: Final = 1.0
LOOK_S: Final = 0.5
"""Between two glances at photos that are being checked: a look takes about as long."""
WAITING_PRESSES: Final = 40
"""Presses that may wait at once before Gradio calls itself busy: a class, twice over."""


def theme() -> gr.themes.Base:
    """Return the theme under the style sheet: system fonts, so that nothing is fetched."""
    fonts = ["system-ui", "-apple-system", "Segoe UI", "Roboto", "sans-serif"]
    return gr.themes.Base(font=fonts, font_mono=["ui-monospace", "monospace"])


def build_page(
    visits: Visits, lookout: Lookout, *, limits: LimitChoices, phone_hint: str = ""
) -> gr.Blocks:
    """Draw the page over the visits of this run.

    Parameters
    ----------
    phone_hint
        Markup that says where phones find the page, or "".
    """
    page = gr.Blocks(title="beadcheck", analytics_enabled=False)
    with page:
        gr.HTML(asset("top.html"), elem_id="top")
        device = device_parts()
        gr.HTML(asset("before.html"), elem_id="before")
        arrivals = gr.HTML(
            html_template=asset("arrivals.html"),
            js_on_load=asset("arrivals.js"),
            elem_id="arrivals",
        )
        tray = gr.HTML("", js_on_load=asset("tray.js") + asset("using.js"), elem_id="tray")
        question = gr.HTML("", elem_id="question", visible="hidden", render=False)
        with gr.Column(
            elem_id="settings-fields", elem_classes="bc-folded", render=False
        ) as settings:
            used_fields = settings_fields(question)
        coupon = fold(COUPON_LABEL, "coupon")
        with gr.Column(elem_id="coupon-fields", elem_classes="bc-folded"):
            fields = coupon_fields(
                unit_field(),
                no_target_field(),
                calibrated_field(),
                used_fields,
                limit_choices=limits,
            )
        used = fold(USED_LABEL, "settings")
        settings.render()
        for switch in (fields.calibrated, fields.no_target):
            switch.render()  # type: ignore[no-untyped-call]  # Gradio leaves it bare
        measure = gr.Button("Measure", variant="primary", interactive=False, elem_id="measure")
        status = gr.HTML(
            "",
            html_template=asset("status.html"),
            js_on_load=asset("status.js"),
            elem_id="status",
        )
        fields.unit.render()  # type: ignore[no-untyped-call]  # Gradio leaves it bare
        results = gr.HTML(
            "", js_on_load=asset("results.js") + asset("sections.js"), elem_id="results"
        )
        keep = keep_parts()
        # Pressed by the results' own button, which stands where a photo was refused.
        bare = gr.Button("Measure without a target", visible="hidden", elem_id="bare")
        with gr.Column(visible=False, elem_id="asking") as asking:
            ways = gr.HTML("", elem_id="ways")
            further = gr.HTML("", elem_id="further")
            further_measure = gr.Button(
                "Measure with the further photo", variant="primary", elem_id="further-measure"
            )
        with gr.Column(visible=False, elem_id="pointing") as pointing:
            gr.HTML(asset("pointing.html"))
            picture = gr.HTML(
                "",
                picture="",
                html_template="${picture}",
                js_on_load=asset("pointing.js"),
                elem_id="picture",
            )
            along = gr.Button("Measure along this line", variant="primary", elem_id="along")
        with gr.Column(visible=False, elem_id="correcting") as correcting:
            boards = gr.HTML(
                "",
                boards="",
                html_template="${boards}",
                js_on_load=asset("correcting.js"),
                elem_id="boards",
            )
            corrected = gr.Button("Measure with my toe", variant="primary", elem_id="corrected")
            uncorrected = gr.Button("Use the found toes again", elem_id="uncorrected")
        steady = steady_parts()
        rooms = folded_rooms()
        clear = gr.Button("Start afresh: forget photos and result", elem_id="clear")
        gr.HTML(phone_hint + asset("foot.html").replace("CAUTION", CAUTION), elem_id="foot")
        timer = gr.Timer(POLL_S, active=False)
        looking = gr.Timer(LOOK_S, active=False)
        parts = Parts(
            fields=fields,
            coupon=coupon,
            used=used,
            question=question,
            tray=tray,
            measure=measure,
            status=status,
            results=results,
            keep=keep,
            pointing=pointing,
            picture=picture,
            correcting=correcting,
            boards=boards,
            asking=asking,
            ways=ways,
            further=further,
            further_measure=further_measure,
            targets=rooms.targets,
            timer=timer,
            looking=looking,
        )
        handlers = Handlers(visits, lookout, parts, limits=limits)
        again = {
            along: (handlers.start_pointed, picture),
            corrected: (handlers.start_corrected, boards),
            uncorrected: (handlers.start_uncorrected, boards),
        }
        _connect(
            page,
            DeviceHandlers(handlers, device),
            arrivals=arrivals,
            again=again,
            bare=bare,
            clear=clear,
        )
        _connect_keeping(KeepHandlers(visits, parts, device, limits=limits))
        connect_rooms(rooms, handlers)
        _connect_steadiness(SteadyHandlers(visits, parts, steady))
    page.queue(max_size=WAITING_PRESSES, default_concurrency_limit=8)
    return page


def _connect(
    page: gr.Blocks,
    remembering: DeviceHandlers,
    *,
    arrivals: gr.HTML,
    again: Mapping[gr.Button, tuple[Callable[..., Updates], gr.HTML]],
    bare: gr.Button,
    clear: gr.Button,
) -> None:
    """Name the handler of each press; `again` measures with what was tapped on a picture."""
    handlers, device = remembering.handlers, remembering.device
    parts, fields = handlers.parts, handlers.parts.fields
    entries = list(fields)
    standing, form = parts.standing, parts.form
    arrived = [*standing, *form, device.line, device.row, device.arrived]
    _on(page.load, remembering.arrive, [device.store], arrived)
    for photos in (arrivals, parts.tray):
        _on(photos.change, handlers.photos_changed, entries, standing)
    for button in (parts.measure, parts.further_measure):
        _on(button.click, handlers.start, entries, standing)
    _on(bare.click, handlers.start_bare, entries, standing)
    for button, (handler, tapped) in again.items():
        _on(button.click, handler, [tapped, *entries], standing)
    _on(parts.timer.tick, handlers.poll, [], standing)
    _on(parts.looking.tick, handlers.looked, [], standing)
    # Pressed by the page itself where an answer was left lying: any press brings it.
    wake = gr.Button("Bring what was left lying", visible="hidden", elem_id="wake")
    _on(wake.click, handlers.looked, [], standing)
    _on(clear.click, remembering.clear, [device.store], arrived)
    _connect_remembering(remembering)
    _on(fields.unit.input, handlers.unit_changed, entries, [*standing, *form])
    settings = [*standing, fields.used.times_are, parts.used]
    _on(fields.used.times_are.input, handlers.times_answered, entries, settings)
    for changed in _settings_events(fields):
        _on(changed, handlers.settings_changed, entries, settings)
    for changed in _form_events(fields):
        _on(changed, handlers.form_changed, entries, [*standing, *form])


def _connect_keeping(handlers: KeepHandlers) -> None:
    keep, device = handlers.parts.keep, handlers.device
    names = [keep.people, keep.newcomer, keep.coupon, keep.own]
    _on(keep.fold.click, handlers.opened, [], [*names, keep.help, keep.told])
    stored = [device.store, device.line, device.row]
    _on(keep.button.click, handlers.keep, [device.store, *names], [*names, keep.told, *stored])


def _connect_remembering(handlers: DeviceHandlers) -> None:
    device, parts = handlers.device, handlers.parts
    fields, keep = parts.fields, parts.keep
    stored = [device.store, device.line, device.row]
    _on(fields.unit.input, handlers.unit_chosen, [device.store, fields.unit], stored)
    for field in (fields.limits_of, fields.limits):
        limits = [device.store, fields.limits_of, fields.limits]
        _on(field.input, handlers.limits_chosen, limits, stored)
    names = [keep.people, keep.newcomer, keep.coupon, keep.own]
    _on(device.forget.click, handlers.forget, [], [*stored, *names])


def _connect_steadiness(handlers: SteadyHandlers) -> None:
    steady, unit = handlers.steady, handlers.parts.fields.unit
    chosen = [steady.people, steady.value, unit]
    for event in (steady.fold.click, steady.people.input, steady.value.input):
        reads_log(event, steady.drawn)
    _on(steady.fold.click, handlers.opened, chosen, [steady.help, steady.people, steady.drawn])
    for field in (steady.people, steady.value, unit):
        _on(field.input, handlers.chosen, chosen, [steady.drawn])


def _form_events(fields: Fields) -> list[Callable[..., Dependency]]:
    """Changes that show or hide other fields, or change what the folded form says of itself."""
    return [
        fields.no_target.input,
        fields.calibrated.input,
        fields.shape.input,
        fields.pipe_size.input,
        fields.schedule.input,
        fields.process.input,
        fields.polarity.input,
        fields.weld_pass.input,
        fields.position.input,
        fields.progression.input,
        fields.strip_side.input,
        fields.layer.blur,
        fields.bead.blur,
        fields.beads.blur,
        fields.sectors.blur,
        fields.limits_of.input,
        fields.limits.input,
        fields.guard.input,
        fields.outside_diameter.blur,
        fields.wall_thickness.blur,
        fields.bore.blur,
        fields.groove_width.blur,
        fields.groove.input,
        fields.groove_angle.blur,
        fields.root_gap.blur,
        fields.root_face.blur,
    ]


def _settings_events(fields: Fields) -> list[Callable[..., Dependency]]:
    """Changes of what was used, but for the answer on the pulse times."""
    return [
        field.blur if isinstance(field, gr.Number) else field.input
        for field in fields.used
        if isinstance(field, gr.Number | gr.Radio) and field is not fields.used.times_are
    ]
