"""What happens when something is pressed. A handler believes nothing that a browser sends."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

import gradio as gr

from beadcheck.toes import HandToes
from beadcheck_page import show
from beadcheck_page.asking import missing_heights
from beadcheck_page.bare_photos import keys_without_target
from beadcheck_page.correcting import photo_of_taps, photos_to_correct, tapped_toes
from beadcheck_page.entries import ENTRY_NAMES, Entries
from beadcheck_page.field_kinds import LENGTH_LABELS, length_label
from beadcheck_page.form_so_far import (
    changed_fields,
    converted,
    entered,
    entered_unit,
    field_updates,
    shown,
    strip_entered,
)
from beadcheck_page.guard import visit_token
from beadcheck_page.keep_handlers import keep_updates
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.lookout import Lookout, LookState
from beadcheck_page.ordering import order_of
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.plainly import plainly
from beadcheck_page.pointing import photo_to_point_at, pointer
from beadcheck_page.refusals import NoPhotoYetError, StillMeasuringError, StillReceivingError
from beadcheck_page.take_requests import require_measurable
from beadcheck_page.trays import has_unmeasured, tray_of
from beadcheck_page.used_so_far import part_labels, question_update, settings_updates
from beadcheck_page.visits import Visit, Visits

Hand = Mapping[str, HandToes]
"""Toes that a person placed, by the photo's key."""

LOST: Final = "This page has lost its place on the computer that serves it. Reload the page."


class Handlers:
    """The handlers of one page, over the visits of its run."""

    def __init__(
        self,
        visits: Visits,
        lookout: Lookout,
        parts: Parts,
        *,
        limits: LimitChoices,
    ) -> None:
        self.visits, self.lookout = visits, lookout
        self.parts, self.limits = parts, limits

    @plainly
    def arrive(self, request: gr.Request) -> Updates:
        """Show a visit as it stands: after a reload, a cut connection, a locked phone."""
        token, visit = self.visit_of(request)
        if token is None or visit is None:
            return self._lost()
        shown = {**self._standing(visit), **self._form(visit)}
        return entered(self.parts.fields, visit.entries, shown)

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
        _, visit = self.visit_of(request)
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
        _, visit = self.visit_of(request)
        if visit is None:
            return self._lost()
        if visit.progress is not None and visit.progress.running:
            return {self.parts.status: show.status(visit.progress)}
        return self._standing(visit)

    @plainly
    def form_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show the fields that the entries call for, and look at the photos for them."""
        _, before = self.visit_of(request)
        visit = self._remembered(request, Entries(*values))
        if before is None or visit is None:
            return self._lost()
        fields = changed_fields(self.parts.fields, before.entries, visit.entries, self.limits)
        return {**self._tray(visit), **self._words(visit), **fields}

    @plainly
    def times_answered(self, request: gr.Request, *values: object) -> Updates:
        """Keep what the two pulse times count: the answer is for these numbers, and no others."""
        token, visit = self.visit_of(request)
        if token is None or visit is None:
            return self._lost()
        self.visits.answer_times(token, Entries(*values))
        return self.settings_changed(request, *values)

    @plainly
    def settings_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show what the settings mean so far; no number is touched, for the next is being typed."""
        visit = self._remembered(request, Entries(*values))
        return (
            self._lost()
            if visit is None
            else settings_updates(self.parts, visit, self.limits.names)
        )

    @plainly
    def unit_changed(self, request: gr.Request, *values: object) -> Updates:
        """Show and take lengths in the other unit; what was entered is converted."""
        token, visit = self.visit_of(request)
        if token is None or visit is None:
            return self._lost()
        entries = visit.as_answered(Entries(*values))
        unit = entered_unit(entries)
        updates: Updates = {}
        if unit is not entered_unit(visit.entries):
            lengths = {name: converted(getattr(entries, name), unit) for name in LENGTH_LABELS}
            entries = replace(entries, **lengths)
            fields = dict(zip(ENTRY_NAMES, self.parts.fields, strict=True))
            for name, length in lengths.items():
                label = length_label(name, unit.value)
                updates[fields[name]] = gr.Number(value=length, label=label)
        self.visits.remember(token, entries)
        return {
            **updates,
            **question_update(self.parts, replace(visit, entries=entries)),
            self.parts.results: show.results(visit.outcome, unit),
        }

    @plainly
    def clear(self, request: gr.Request) -> Updates:
        """Forget photos, entries and result, here and on the computer that serves the page."""
        token, visit = self.visit_of(request)
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
        token, visit = self.visit_of(request)
        if token is None or visit is None:
            return self._lost()
        if visit.receiving:
            raise StillReceivingError
        if not visit.photos:
            raise NoPhotoYetError
        if visit.progress is not None and visit.progress.running:
            raise StillMeasuringError
        entries = visit.as_answered(entries)
        order = order_of(visit, entries, limit_names=self.limits.names)
        settings, pointers = order.settings, dict(order.pointers)
        lost = photo_to_point_at(visit.outcome)
        if taps is not None and lost is not None:
            pointers[lost.key] = pointer(taps, lost)
        without = keys_without_target(visit.outcome) if bare else frozenset()
        order = replace(
            order,
            settings=replace(settings, limits=self.limits.to_load(settings.limits)),
            pointers=pointers,
            hand=corrected(visit, order.hand),
            bare=order.bare | without,
        )
        require_measurable(order)
        self.visits.start(token, order, entries)
        started = self.visits.look(token)
        return self._lost() if started is None else self._standing(started)

    def visit_of(self, request: gr.Request) -> tuple[str | None, Visit | None]:
        """Return the token that a request carries, and the visit that it opens."""
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
        token, visit = self.visit_of(request)
        if token is None or visit is None:
            return None
        self.visits.remember(token, visit.as_answered(entries))
        return self.visits.look(token)

    def _tray(self, visit: Visit) -> Updates:
        """Show the photos where they are listed: all at the top, those for the height below."""
        tray = tray_of(visit, self.lookout)
        further = bool(tray.further) and has_unmeasured(visit)
        busy = any(look.state is LookState.LOOKING for look in tray.looks.values())
        return {
            self.parts.tray: show.photo_list(tray),
            self.parts.further: show.further_photos(tray),
            self.parts.further_measure: gr.Button(visible=further),
            self.parts.looking: gr.Timer(active=busy),
            # Without its value: this answer may be older than the press that has just changed it.
            self.parts.fields.calibrated: gr.Checkbox(visible=shown(tray.any_calibration)),
        }

    def _standing(self, visit: Visit) -> Updates:
        outcome = visit.outcome
        lost = photo_to_point_at(outcome)
        running = visit.progress is not None and visit.progress.running
        return {
            **self._tray(visit),
            **question_update(self.parts, visit),
            **keep_updates(self.parts.keep, visit),
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
            self.parts.asking: gr.Column(visible=bool(missing_heights(outcome)) and not running),
            self.parts.ways: show.asked_ways(outcome),
            self.parts.timer: gr.Timer(active=running),
        }

    def _measure_button(self, visit: Visit) -> gr.Button:
        running = visit.progress is not None and visit.progress.running
        return gr.Button(
            "Measuring…" if running else "Measure", interactive=bool(visit.photos) and not running
        )

    def _form(self, visit: Visit) -> Updates:
        fields = field_updates(self.parts.fields, visit.entries, self.limits)
        return {**fields, **self._words(visit)}

    def _words(self, visit: Visit) -> Updates:
        """Tell what the form says so far, beside its fields."""
        coupon, _ = part_labels(visit.entries, self.limits.names)
        return {
            **settings_updates(self.parts, visit, self.limits.names),
            self.parts.targets: show.target_links(strip_entered(visit.entries)),
            self.parts.coupon: show.plain(coupon),
        }
