"""What happens when a coupon file is chosen or written."""

import json
from dataclasses import replace
from datetime import datetime
from typing import Final

import gradio as gr

from beadcheck.coupon_file import coupon_toml
from beadcheck.errors.input_file import FileNotReadableError
from beadcheck_page import show
from beadcheck_page.controls import CHOOSE
from beadcheck_page.coupon_in import FilledIn, Written, filled_by, written_file
from beadcheck_page.coupon_out import SavedFile, coupon_of_order, filler_said, toes_of_order
from beadcheck_page.entries import UNSAID, Entries
from beadcheck_page.events import on
from beadcheck_page.form_so_far import shown
from beadcheck_page.handlers import LOST, Handlers
from beadcheck_page.intake import NAME_LENGTH, safe_name
from beadcheck_page.joint_controls import JointParts
from beadcheck_page.logbook import naming
from beadcheck_page.ordering import order_of
from beadcheck_page.parts import Updates
from beadcheck_page.plainly import told_at

LARGEST: Final = 100_000
"""Characters; a coupon of ten passes takes five thousand."""
_LOADED: Final = told_at(lambda handlers: handlers.joint.told, show.not_filled_in)
_WRITTEN: Final = told_at(lambda handlers: handlers.joint.written, show.not_written)


class JointHandlers:
    """The handlers of coupon files, over those of the form."""

    def __init__(self, page: Handlers, joint: JointParts) -> None:
        self.page, self.joint = page, joint

    @_LOADED
    def joint_loaded(self, request: gr.Request, sent: object, *values: object) -> Updates:
        """Fill the form in with the first pass of a file."""
        return self._filled(request, sent, None, Entries(*values))

    @_LOADED
    def joint_pass(
        self, request: gr.Request, sent: object, wanted: object, *values: object
    ) -> Updates:
        """Fill the form in with another pass of the same file."""
        return self._filled(request, sent, naming(wanted, None, None).person, Entries(*values))

    @_WRITTEN
    def joint_written(
        self,
        request: gr.Request,
        name: object,
        person: object,
        filler: object,
        *values: object,
    ) -> Updates:
        """Write what stands in the form, and name the photos that are here."""
        token, visit = self.page.visit_of(request)
        if token is None or visit is None:
            return {self.joint.written: show.not_written(LOST)}
        entries = visit.as_answered(Entries(*values))
        self.page.visits.remember(token, entries)
        order = order_of(visit, entries, limit_names=self.page.limits.names)
        limits = self.page.limits.in_coupon_file(order.settings.limits)
        order = replace(order, settings=replace(order.settings, limits=limits))
        said = naming(person, None, name)
        called = said.coupon or f"{datetime.now().astimezone():%Y-%m-%d %H:%M}"
        file = safe_name(f"{called[: NAME_LENGTH // 2]}.toml", taken=())
        toes = toes_of_order(order, beside=file)
        coupon = coupon_of_order(
            order,
            entries,
            name=called,
            person=said.person,
            filler=filler_said(filler),
            toes_file=None if toes is None else toes.name,
        )
        written = SavedFile(name=file, contents=coupon_toml(coupon))
        return {self.joint.written: show.coupon_file(written, toes, photos=bool(order.photos))}

    def _filled(
        self, request: gr.Request, sent: object, wanted: str | None, entries: Entries
    ) -> Updates:
        token, visit = self.page.visit_of(request)
        if token is None or visit is None:
            return {self.joint.told: show.not_filled_in(LOST)}
        found = filled_by(_read(sent), wanted, visit.as_answered(entries), self.page.limits)
        self.page.visits.remember(token, found.entries)
        if found.entries.times_are is not None:
            self.page.visits.answer_times(token, found.entries)
        return {
            **self.page.arrive(request),
            self.joint.passes: gr.Dropdown(
                choices=[(each, each) for each in found.passes] or [CHOOSE],
                value=found.chosen or UNSAID,
                visible=shown(len(found.passes) > 1),
            ),
            self.joint.told: show.filled_in(found),
            **self._beside_the_form(found),
        }

    def _beside_the_form(self, found: FilledIn) -> Updates:
        """Names and filler of the file; a card leaves what it does not say as it was."""
        updates: Updates = {}
        if found.name is not None:
            updates = {self.joint.name: found.name, self.joint.person: found.person or ""}
        if found.name is not None or found.filler:
            updates[self.joint.filler] = found.filler or ""
        return updates


def _read(sent: object) -> Written:
    """Coupon or card that our own script handed over.

    Raises
    ------
    InputFileError
        It is broken, or too large.
    """
    name, contents = "the file", None
    try:
        told = json.loads(sent) if isinstance(sent, str) and len(sent) <= 8 * LARGEST else None
    except (ValueError, RecursionError):
        told = None
    if isinstance(told, dict):
        name, contents = str(told.get("name"))[:NAME_LENGTH], told.get("contents")
    if not isinstance(contents, str) or len(contents) > LARGEST:
        raise FileNotReadableError(name, "it is larger than 100 kB, or did not get through")
    return written_file(name, contents)


def connect_joint(handlers: JointHandlers) -> None:
    """Name the handler of each press."""
    joint, parts = handlers.joint, handlers.page.parts
    entries = list(parts.fields)
    names = [joint.name, joint.person, joint.filler]
    filled = [*parts.standing, *parts.form, joint.passes, joint.told, *names]
    on(joint.sent.change, handlers.joint_loaded, [joint.sent, *entries], filled)
    on(joint.passes.input, handlers.joint_pass, [joint.sent, joint.passes, *entries], filled)
    on(joint.button.click, handlers.joint_written, [*names, *entries], [joint.written])
