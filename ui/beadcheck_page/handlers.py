"""What happens when something is pressed. A handler believes nothing that a browser sends."""

import functools
import logging
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

import gradio as gr
from gradio.blocks import Block

from beadcheck.coupon import Position, Process, Shape
from beadcheck.errors import BeadcheckError
from beadcheck.report.wording import LengthUnit, coupon_words
from beadcheck.result import coupon_record
from beadcheck.units import inches, millimetres
from beadcheck_page import show
from beadcheck_page.controls import LENGTH_LABELS, NOT_SAID, Fields, length_label
from beadcheck_page.entries import UNSAID, Entries, understood
from beadcheck_page.faults import fault_sentence
from beadcheck_page.guard import visit_token
from beadcheck_page.orders import Order, Outcome
from beadcheck_page.pointing import photo_to_point_at, pointer
from beadcheck_page.refusals import NoPhotoYetError, StillMeasuringError, StillReceivingError
from beadcheck_page.sizes import schedule_choices, size_mm
from beadcheck_page.visits import Visit, Visits

_LOG: Final = logging.getLogger(__name__)

Updates = dict[Block, Any]
"""Gradio's own shape for "change these, leave the rest"."""

COUPON_LABEL: Final = "Coupon and pass"
LOST: Final = "This page has lost its place on the computer that serves it. Reload the page."
WITH_PROGRESSION: Final = (
    Position.VERTICAL.value,
    Position.FIXED_HORIZONTAL.value,
    Position.FIXED_INCLINED.value,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """Everything on the page that a handler changes."""

    fields: Fields
    coupon: gr.HTML
    tray: gr.HTML
    measure: gr.Button
    status: gr.HTML
    results: gr.HTML
    pointing: gr.Column
    picture: gr.HTML
    targets: gr.HTML
    timer: gr.Timer


def plainly(handler: Callable[..., Updates]) -> Callable[..., Updates]:
    """Turn whatever goes wrong into one sentence under the Measure button."""

    @functools.wraps(handler)
    def handle(self: "Handlers", *given: object) -> Updates:
        try:
            return handler(self, *given)
        except BeadcheckError as refusal:
            return {self.parts.status: show.refusal(str(refusal))}
        except Exception as error:  # the last face before a person
            return {self.parts.status: show.refusal(fault_sentence(_LOG, error))}

    return handle


class Handlers:
    """The handlers of one page, over the visits of its run."""

    def __init__(self, visits: Visits, parts: Parts, *, limit_names: tuple[str, ...]) -> None:
        self.visits, self.parts, self.limit_names = visits, parts, limit_names

    @plainly
    def arrive(self, request: gr.Request) -> Updates:
        """Show a visit as it stands: after a reload, a cut connection, a locked phone."""
        token, visit = self._visit(request)
        if token is None or visit is None:
            return self._lost()
        fields = dict(zip(self.parts.fields, visit.entries.values(), strict=True))
        return {
            **{field: type(field)(value=value) for field, value in fields.items()},
            **self._standing(visit),
            **self._form(visit.entries),
        }

    @plainly
    def photos_changed(self, request: gr.Request) -> Updates:
        """Show the photos that are here."""
        _, visit = self._visit(request)
        if visit is None:
            return self._lost()
        return {
            self.parts.tray: show.photo_list(visit.photos),
            self.parts.measure: self._measure_button(visit),
        }

    @plainly
    def start(self, request: gr.Request, *values: object) -> Updates:
        """Ask for a measurement, and return at once."""
        return self._order(request, Entries(*values), None)

    @plainly
    def start_pointed(self, request: gr.Request, taps: object, *values: object) -> Updates:
        """Ask for the measurement again, along the line that was tapped."""
        return self._order(request, Entries(*values), taps)

    @plainly
    def poll(self, request: gr.Request) -> Updates:
        """Show how far the measurement is; its result once it is there."""
        _, visit = self._visit(request)
        if visit is None:
            return self._lost()
        if visit.progress is not None and visit.progress.running:
            return {self.parts.status: show.status(visit.progress)}
        return self._standing(visit)

    @plainly
    def form_changed(self, *values: object) -> Updates:
        """Show the fields that the entries call for."""
        return self._form(Entries(*values))

    @plainly
    def unit_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show and take lengths in the other unit; what was entered is converted."""
        entries = Entries(*values)
        token, visit = self._visit(request)
        if token is None or visit is None:
            return self._lost()
        unit = _unit(entries)
        updates: Updates = {}
        if unit is not _unit(visit.entries):
            lengths = {name: _converted(getattr(entries, name), unit) for name in LENGTH_LABELS}
            entries = replace(entries, **lengths)
            for name, length in lengths.items():
                label = length_label(name, unit.value)
                updates[getattr(self.parts.fields, name)] = gr.Number(value=length, label=label)
        self.visits.remember(token, entries)
        outcome = _outcome(visit)
        return {**updates, self.parts.results: show.results(outcome, unit)}

    @plainly
    def clear(self, request: gr.Request) -> Updates:
        """Forget photos, entries and result, here and on the computer that serves the page."""
        token, visit = self._visit(request)
        if token is None or visit is None:
            return self._lost()
        self.visits.empty(token)
        return self.arrive(request)

    def _order(self, request: gr.Request, entries: Entries, taps: object) -> Updates:
        token, visit = self._visit(request)
        if token is None or visit is None:
            return self._lost()
        if visit.receiving:
            raise StillReceivingError
        if not visit.photos:
            raise NoPhotoYetError
        if visit.progress is not None and visit.progress.running:
            raise StillMeasuringError
        pointers = dict(visit.order.pointers) if visit.order else {}
        lost = photo_to_point_at(_outcome(visit))
        if taps is not None and lost is not None:
            pointers[lost.key] = pointer(taps, lost)
        settings = understood(entries, limit_names=self.limit_names)
        order = Order(photos=visit.photos, settings=settings, pointers=pointers)
        self.visits.start(token, order, entries)
        started = self.visits.look(token)
        return self._lost() if started is None else self._standing(started)

    def _visit(self, request: gr.Request) -> tuple[str | None, Visit | None]:
        token = visit_token(request.headers.get("cookie"))
        return token, self.visits.look(token)

    def _lost(self) -> Updates:
        return {
            self.parts.status: show.refusal(LOST),
            self.parts.timer: gr.Timer(active=False),
        }

    def _standing(self, visit: Visit) -> Updates:
        outcome = _outcome(visit)
        lost = photo_to_point_at(outcome)
        running = visit.progress is not None and visit.progress.running
        return {
            self.parts.tray: show.photo_list(visit.photos),
            self.parts.measure: self._measure_button(visit),
            self.parts.status: show.status(visit.progress),
            self.parts.results: show.results(outcome, _unit(visit.entries)),
            self.parts.pointing: gr.Column(visible=lost is not None),
            self.parts.picture: gr.HTML(value="", picture=show.pointing_picture(lost)),
            self.parts.timer: gr.Timer(active=running),
        }

    def _measure_button(self, visit: Visit) -> gr.Button:
        running = visit.progress is not None and visit.progress.running
        return gr.Button(
            "Measuring…" if running else "Measure", interactive=bool(visit.photos) and not running
        )

    def _form(self, entries: Entries) -> Updates:
        fields, size = self.parts.fields, entries.pipe_size
        pipe = entries.shape == Shape.PIPE.value
        pulsed = entries.process == Process.GTAW_PULSED.value
        choices = schedule_choices(size) if isinstance(size, str) else []
        known = entries.schedule in {choice for _, choice in choices}
        return {
            fields.pipe_size: gr.Dropdown(visible=_shown(pipe)),
            fields.schedule: gr.Dropdown(
                choices=[NOT_SAID, *choices],
                value=str(entries.schedule) if known else UNSAID,
                visible=_shown(pipe and bool(choices)),
            ),
            fields.outside_diameter: gr.Number(
                value=_number(entries.outside_diameter), visible=_shown(pipe)
            ),
            fields.peak_s: gr.Number(value=_number(entries.peak_s), visible=_shown(pulsed)),
            fields.background_s: gr.Number(
                value=_number(entries.background_s), visible=_shown(pulsed)
            ),
            fields.progression: gr.Radio(visible=_shown(entries.position in WITH_PROGRESSION)),
            self.parts.targets: show.target_links(_diameter_mm(entries) if pipe else None),
            self.parts.coupon: show.plain(self._coupon_label(entries)),
        }

    def _coupon_label(self, entries: Entries) -> str:
        """What the folded part holds, as far as it makes sense yet."""
        try:
            settings = understood(entries, limit_names=self.limit_names)
        except BeadcheckError:
            return COUPON_LABEL
        return f"{COUPON_LABEL}: {coupon_words(coupon_record(settings.coupon), settings.unit)}"


def _outcome(visit: Visit) -> Outcome | None:
    return visit.progress.outcome if visit.progress is not None else None


def _shown(wanted: object) -> Literal[True, "hidden"]:
    """Return Gradio's word: "hidden" keeps a field in the page, and so what was entered."""
    return True if wanted else "hidden"


def _number(entered: object) -> float | None:
    """Number as entered; told anew with each change, for Gradio shows 0 for an unhidden blank."""
    if isinstance(entered, bool) or not isinstance(entered, int | float):
        return None
    return float(entered)


def _unit(entries: Entries) -> LengthUnit:
    return LengthUnit.INCH if entries.unit == LengthUnit.INCH.value else LengthUnit.MM


def _converted(entered: object, unit: LengthUnit) -> float | None:
    number = _number(entered)
    if number is None:
        return None
    return round(inches(number), 4) if unit is LengthUnit.INCH else round(millimetres(number), 3)


def _diameter_mm(entries: Entries) -> float | None:
    """Outside diameter as far as it has been entered, for the links to the strip."""
    free = _number(entries.outside_diameter)
    if free:
        return millimetres(free) if _unit(entries) is LengthUnit.INCH else free
    if not isinstance(entries.pipe_size, str) or entries.pipe_size == UNSAID:
        return None
    return size_mm(entries.pipe_size, None)[0]
