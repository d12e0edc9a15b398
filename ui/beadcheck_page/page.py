"""The page itself: what stands where, and which handler each press calls."""

from collections.abc import Callable, Mapping, Sequence
from importlib import resources
from typing import Final

import gradio as gr
from gradio.blocks import Block
from gradio.events import Dependency

from beadcheck.limits import limit_sets, load_limit_set
from beadcheck.result import CAUTION
from beadcheck_page import show
from beadcheck_page.controls import Fields, coupon_fields, no_target_field, unit_field
from beadcheck_page.handlers import COUPON_LABEL, Handlers
from beadcheck_page.lookout import Lookout
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.visits import Visits

POLL_S: Final = 1.0
LOOK_S: Final = 0.5
"""Between two glances at photos that are being checked: a look takes about as long."""
WAITING_PRESSES: Final = 40
"""Presses that may wait at once before Gradio calls itself busy: a class, twice over."""


def asset(name: str) -> str:
    """Text of one of the package's own files."""
    return (resources.files("beadcheck_page") / "assets" / name).read_text(encoding="utf-8")


def theme() -> gr.themes.Base:
    """Return the theme under the style sheet: system fonts, so that nothing is fetched."""
    fonts = ["system-ui", "-apple-system", "Segoe UI", "Roboto", "sans-serif"]
    return gr.themes.Base(font=fonts, font_mono=["ui-monospace", "monospace"])


def build_page(visits: Visits, lookout: Lookout, *, phone_hint: str = "") -> gr.Blocks:
    """Draw the page over the visits of this run.

    Parameters
    ----------
    phone_hint
        Markup that says where phones find the page, or "".
    """
    limits = [(load_limit_set(name).title, name) for name in limit_sets()]
    page = gr.Blocks(title="beadcheck", analytics_enabled=False)
    with page:
        gr.HTML(asset("top.html"), elem_id="top")
        gr.HTML(asset("before.html"), elem_id="before")
        arrivals = gr.HTML(
            html_template=asset("arrivals.html"),
            js_on_load=asset("arrivals.js"),
            elem_id="arrivals",
        )
        tray = gr.HTML("", js_on_load=asset("tray.js"), elem_id="tray")
        coupon = _fold(COUPON_LABEL, "coupon")
        with gr.Column(elem_id="coupon-fields", elem_classes="bc-folded"):
            fields = coupon_fields(unit_field(), no_target_field(), limit_choices=limits)
        fields.no_target.render()  # type: ignore[no-untyped-call]  # Gradio leaves it bare
        measure = gr.Button("Measure", variant="primary", interactive=False, elem_id="measure")
        status = gr.HTML(
            "",
            html_template=asset("status.html"),
            js_on_load=asset("status.js"),
            elem_id="status",
        )
        fields.unit.render()  # type: ignore[no-untyped-call]  # Gradio leaves it bare
        results = gr.HTML("", js_on_load=asset("results.js"), elem_id="results")
        # Pressed by the results' own button, which stands where a photo was refused.
        bare = gr.Button("Measure without a target", visible="hidden", elem_id="bare")
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
        _fold("Print a target", "print")
        targets = gr.HTML(show.target_links(None), elem_id="print-fields", elem_classes="bc-folded")
        clear = gr.Button("Start afresh: forget photos and result", elem_id="clear")
        gr.HTML(phone_hint + asset("foot.html").replace("CAUTION", CAUTION), elem_id="foot")
        timer = gr.Timer(POLL_S, active=False)
        looking = gr.Timer(LOOK_S, active=False)
        parts = Parts(
            fields=fields,
            coupon=coupon,
            tray=tray,
            measure=measure,
            status=status,
            results=results,
            pointing=pointing,
            picture=picture,
            correcting=correcting,
            boards=boards,
            targets=targets,
            timer=timer,
            looking=looking,
        )
        handlers = Handlers(visits, lookout, parts, limit_names=tuple(name for _, name in limits))
        again = {
            along: (handlers.start_pointed, picture),
            corrected: (handlers.start_corrected, boards),
            uncorrected: (handlers.start_uncorrected, boards),
        }
        _connect(page, handlers, arrivals=arrivals, again=again, bare=bare, clear=clear)
    page.queue(max_size=WAITING_PRESSES, default_concurrency_limit=8)
    return page


def _fold(label: str, part: str) -> gr.HTML:
    """Draw a button that folds and unfolds what the style sheet calls its part."""
    return gr.HTML(
        label,
        html_template=asset("fold.html"),
        js_on_load=asset("fold.js"),
        open="false",
        part=f"{part}-fields",
        elem_id=part,
    )


def _connect(
    page: gr.Blocks,
    handlers: Handlers,
    *,
    arrivals: gr.HTML,
    again: Mapping[gr.Button, tuple[Callable[..., Updates], gr.HTML]],
    bare: gr.Button,
    clear: gr.Button,
) -> None:
    """Name the handler of each press; `again` measures with what was tapped on a picture."""
    parts, fields = handlers.parts, handlers.parts.fields
    entries = list(fields)
    standing = [
        parts.tray,
        parts.measure,
        parts.status,
        parts.results,
        parts.pointing,
        parts.picture,
        parts.correcting,
        parts.boards,
        parts.timer,
        parts.looking,
    ]
    form = [*entries, parts.targets, parts.coupon]
    _on(page.load, handlers.arrive, [], [*standing, *form])
    for photos in (arrivals, parts.tray):
        _on(photos.change, handlers.photos_changed, entries, standing)
    _on(parts.measure.click, handlers.start, entries, standing)
    _on(bare.click, handlers.start_bare, entries, standing)
    for button, (handler, tapped) in again.items():
        _on(button.click, handler, [tapped, *entries], standing)
    _on(parts.timer.tick, handlers.poll, [], standing)
    _on(parts.looking.tick, handlers.looked, [], standing)
    _on(clear.click, handlers.clear, [], [*standing, *form])
    _on(fields.unit.input, handlers.unit_changed, entries, [*standing, *form])
    for changed in _form_events(fields):
        _on(changed, handlers.form_changed, entries, [*standing, *form])


def _form_events(fields: Fields) -> list[Callable[..., Dependency]]:
    """Changes that show or hide other fields, or change what the folded form says of itself."""
    return [
        fields.no_target.input,
        fields.shape.input,
        fields.pipe_size.input,
        fields.schedule.input,
        fields.process.input,
        fields.weld_pass.input,
        fields.position.input,
        fields.progression.input,
        fields.outside_diameter.blur,
        fields.wall_thickness.blur,
    ]


def _on(
    event: Callable[..., Dependency],
    handler: Callable[..., Updates],
    inputs: Sequence[Block],
    outputs: Sequence[Block],
) -> None:
    """Call a handler on an event. "private" only hides it: each handler looks at the visit."""
    event(handler, inputs, outputs, api_visibility="private", show_progress="hidden")
