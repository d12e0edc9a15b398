"""What happens when something is pressed. A handler believes nothing that a browser sends."""

import functools
import logging
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

import gradio as gr

from beadcheck.errors import BeadcheckError
from beadcheck.report.wording import coupon_words
from beadcheck.result import coupon_record
from beadcheck.toes import HandToes
from beadcheck_page import show
from beadcheck_page.bare_photos import keys_without_target
from beadcheck_page.controls import LENGTH_LABELS, length_label
from beadcheck_page.correcting import photo_of_taps, photos_to_correct, tapped_toes
from beadcheck_page.entries import Entries, understood
from beadcheck_page.faults import fault_sentence
from beadcheck_page.form_so_far import (
    BARE,
    converted,
    entered_diameter_mm,
    entered_unit,
    field_updates,
    wanted_look,
)
from beadcheck_page.guard import visit_token
from beadcheck_page.lookout import Lookout, LookState
from beadcheck_page.orders import Order, Outcome
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.pointing import photo_to_point_at, pointer
from beadcheck_page.refusals import NoPhotoYetError, StillMeasuringError, StillReceivingError
from beadcheck_page.visits import Visit, Visits

_LOG: Final = logging.getLogger(__name__)

Hand = Mapping[str, HandToes]
"""Toes that a person placed, by the photo's key."""

COUPON_LABEL: Final = "Coupon and pass"
LOST: Final = "This page has lost its place on the computer that serves it. Reload the page."


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

    def __init__(
        self, visits: Visits, lookout: Lookout, parts: Parts, *, limit_names: tuple[str, ...]
    ) -> None:
        self.visits, self.lookout = visits, lookout
        self.parts, self.limit_names = parts, limit_names

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
    def photos_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show the photos that are here, and begin to look at them."""
        visit = self._remembered(request, Entries(*values))
        if visit is None:
            return self._lost()
        return {**self._tray(visit), self.parts.measure: self._measure_button(visit)}

    @plainly
    def looked(self, request: gr.Request) -> Updates:
        """Show what was seen in the photos by now."""
        _, visit = self._visit(request)
        return self._lost() if visit is None else self._tray(visit)

    @plainly
    def start(self, request: gr.Request, *values: object) -> Updates:
        """Ask for a measurement, and return at once."""
        return self._order(request, Entries(*values), None)

    @plainly
    def start_pointed(self, request: gr.Request, taps: object, *values: object) -> Updates:
        """Ask for the measurement again, along the line that was tapped."""
        return self._order(request, Entries(*values), taps)

    @plainly
    def start_corrected(self, request: gr.Request, taps: object, *values: object) -> Updates:
        """Ask for the measurement again, with the toes that were tapped."""

        def with_taps(visit: Visit, hand: Hand) -> Hand:
            photo, toes = tapped_toes(taps, visit.photos)
            return {**hand, photo.key: toes}

        return self._order(request, Entries(*values), None, with_taps)

    @plainly
    def start_uncorrected(self, request: gr.Request, taps: object, *values: object) -> Updates:
        """Ask for the measurement again, with the finder's own toes in that photo."""

        def without_taps(visit: Visit, hand: Hand) -> Hand:
            key = photo_of_taps(taps, visit.photos).key
            return {each: toes for each, toes in hand.items() if each != key}

        return self._order(request, Entries(*values), None, without_taps)

    @plainly
    def start_bare(self, request: gr.Request, *values: object) -> Updates:
        """Ask for the measurement again, without a target in the photos that show none."""
        return self._order(request, Entries(*values), None, bare=True)

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
    def form_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show the fields that the entries call for, and look at the photos for them."""
        entries = Entries(*values)
        visit = self._remembered(request, entries)
        return self._lost() if visit is None else {**self._tray(visit), **self._form(entries)}

    @plainly
    def unit_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show and take lengths in the other unit; what was entered is converted."""
        entries = Entries(*values)
        token, visit = self._visit(request)
        if token is None or visit is None:
            return self._lost()
        unit = entered_unit(entries)
        updates: Updates = {}
        if unit is not entered_unit(visit.entries):
            lengths = {name: converted(getattr(entries, name), unit) for name in LENGTH_LABELS}
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

    def _order(
        self,
        request: gr.Request,
        entries: Entries,
        taps: object,
        corrected: Callable[[Visit, Hand], Hand] = lambda _, hand: hand,
        *,
        bare: bool = False,
    ) -> Updates:
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
        hand = corrected(visit, visit.order.hand if visit.order else {})
        order = Order(
            photos=visit.photos,
            settings=settings,
            pointers=pointers,
            hand=hand,
            bare=(visit.order.bare if visit.order else frozenset())
            | (keys_without_target(_outcome(visit)) if bare else frozenset()),
        )
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
            self.parts.looking: gr.Timer(active=False),
        }

    def _remembered(self, request: gr.Request, entries: Entries) -> Visit | None:
        """Return the visit, with the form as it stands now."""
        token, visit = self._visit(request)
        if token is None or visit is None:
            return None
        self.visits.remember(token, entries)
        return self.visits.look(token)

    def _tray(self, visit: Visit) -> Updates:
        bare = visit.order.bare if visit.order else frozenset()
        looks = {
            **self.lookout.looks(
                [photo for photo in visit.photos if photo.key not in bare],
                wanted_look(visit.entries),
            ),
            **self.lookout.looks([photo for photo in visit.photos if photo.key in bare], BARE),
        }
        busy = any(look.state is LookState.LOOKING for look in looks.values())
        return {
            self.parts.tray: show.photo_list(visit.photos, looks),
            self.parts.looking: gr.Timer(active=busy),
        }

    def _standing(self, visit: Visit) -> Updates:
        outcome = _outcome(visit)
        lost = photo_to_point_at(outcome)
        running = visit.progress is not None and visit.progress.running
        return {
            **self._tray(visit),
            self.parts.measure: self._measure_button(visit),
            self.parts.status: show.status(visit.progress),
            self.parts.results: show.results(outcome, entered_unit(visit.entries)),
            self.parts.pointing: gr.Column(visible=lost is not None),
            self.parts.picture: gr.HTML(value="", picture=show.pointing_picture(lost)),
            self.parts.correcting: gr.Column(visible=bool(photos_to_correct(outcome))),
            self.parts.boards: gr.HTML(
                value="",
                boards=show.correcting_boards(outcome, visit.order.hand if visit.order else {}),
            ),
            self.parts.timer: gr.Timer(active=running),
        }

    def _measure_button(self, visit: Visit) -> gr.Button:
        running = visit.progress is not None and visit.progress.running
        return gr.Button(
            "Measuring…" if running else "Measure", interactive=bool(visit.photos) and not running
        )

    def _form(self, entries: Entries) -> Updates:
        return {
            **field_updates(self.parts.fields, entries),
            self.parts.targets: show.target_links(entered_diameter_mm(entries)),
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
