"""What happens when a result is kept in the log."""

import threading
from dataclasses import replace
from typing import Final

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.controls import CHOOSE
from beadcheck_page.device_controls import DeviceParts, stored_device
from beadcheck_page.entries import UNSAID
from beadcheck_page.form_so_far import shown
from beadcheck_page.guard import visit_token
from beadcheck_page.keep_controls import WHO_LABEL, KeepParts
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.logbook import (
    kept_in_log,
    log_place,
    names_in_log,
    naming,
)
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.refusals import NothingToKeepError
from beadcheck_page.remembered import remembered
from beadcheck_page.roles import role_of
from beadcheck_page.sizes import Choices
from beadcheck_page.visits import Visit, Visits

_ONE_KEPT_AT_A_TIME: Final = threading.Lock()
"""Two presses at once would both find that nothing was kept yet."""


class KeepHandlers:
    """The handlers of one page's way into the log."""

    def __init__(
        self, visits: Visits, parts: Parts, device: DeviceParts, *, limits: LimitChoices
    ) -> None:
        self.visits, self.parts, self.device, self.limits = visits, parts, device, limits

    @told_at(lambda handlers: handlers.parts.keep.told, show.not_kept)
    def opened(self, request: gr.Request) -> Updates:
        """Say where the log is and who sees it, and list who is in it."""
        keep = self.parts.keep
        visit = self.visits.look(visit_token(request.headers.get("cookie")))
        if visit is None:
            return {keep.help: ""}
        names = names_in_log()
        return {
            keep.help: show.keep_help(log_place(), role_of(request.headers)),
            keep.newcomer: gr.Textbox(label=_label(names)),
            **_people(keep, names, visit.person),
        }

    @told_at(lambda handlers: handlers.parts.keep.told, show.not_kept)
    def keep(
        self,
        request: gr.Request,
        sent: object,
        chosen: object,
        written: object,
        coupon: object,
        own: object,
    ) -> Updates:
        """Keep the result; who comes next is asked anew, unless the device is one person’s."""
        token = visit_token(request.headers.get("cookie"))
        with _ONE_KEPT_AT_A_TIME:
            visit = self.visits.look(token)
            if token is None or visit is None:
                raise NothingToKeepError
            said = naming(chosen, written, coupon)
            before = names_in_log()
            kept = kept_in_log(visit, said)
            again = kept is visit.kept
            self.visits.keep(token, kept)
        person = kept.said if own is True else None
        self.visits.belongs_to(token, person)
        device = replace(remembered(sent, self.limits), person=person)
        keep = self.parts.keep
        names = tuple(dict.fromkeys((*before, kept.person)))
        who = kept.person if role_of(request.headers).sees_class else kept.said
        return {
            **_people(keep, names, person),
            keep.newcomer: gr.Textbox(label=_label(names), value=""),
            keep.coupon: gr.Textbox(value=""),
            keep.told: show.kept(kept, again=again, who=who, unit=_unit(visit)),
            **stored_device(self.device, device, self.limits),
        }


def keep_updates(keep: KeepParts, visit: Visit) -> Updates:
    """Show whether the log holds the present result; without one, nobody else is named any more."""
    kept = visit.kept_as
    told = "" if kept is None else show.kept(kept, again=False, who=kept.said, unit=_unit(visit))
    named = nobody_named(keep, visit.person) if visit.outcome is None else {}
    return {keep.told: told, **named}


def nobody_named(keep: KeepParts, person: str | None) -> Updates:
    """Empty the names, but for the person whose device it is."""
    people: Updates = (
        {keep.people: gr.Dropdown(value=UNSAID), keep.own: gr.Checkbox(value=False)}
        if person is None
        else _people(keep, (person,), person)
    )
    return {**people, keep.newcomer: gr.Textbox(value=""), keep.coupon: gr.Textbox(value="")}


def _people(keep: KeepParts, names: tuple[str, ...], person: str | None) -> Updates:
    """List who can be chosen; the person whose device it is stands there already."""
    listed = names if person is None or person in names else (*names, person)
    return {
        keep.people: gr.Dropdown(
            choices=_choices(listed), value=person or UNSAID, visible=shown(listed)
        ),
        keep.own: gr.Checkbox(value=person is not None),
    }


def _unit(visit: Visit) -> LengthUnit:
    return LengthUnit.MM if visit.order is None else visit.order.settings.unit


def _choices(names: tuple[str, ...]) -> Choices:
    return [CHOOSE, *((name, name) for name in names)]


def _label(names: tuple[str, ...]) -> str:
    """What the field for a name is called beside a list of names, or without one."""
    return "Or somebody new: nickname or number" if names else WHO_LABEL
