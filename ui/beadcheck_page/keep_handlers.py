"""What happens when a result is kept in the log."""

import threading
from typing import Final

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.controls import CHOOSE
from beadcheck_page.entries import UNSAID
from beadcheck_page.form_so_far import shown
from beadcheck_page.guard import visit_token
from beadcheck_page.keep_controls import WHO_LABEL, KeepParts
from beadcheck_page.logbook import (
    kept_in_log,
    log_place,
    names_in_log,
    naming,
)
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.refusals import NothingToKeepError
from beadcheck_page.sizes import Choices
from beadcheck_page.visits import Visit, Visits

_ONE_KEPT_AT_A_TIME: Final = threading.Lock()
"""Two presses at once would both find that nothing was kept yet."""


class KeepHandlers:
    """The handlers of one page's way into the log."""

    def __init__(self, visits: Visits, parts: Parts, *, lan: bool) -> None:
        self.visits, self.parts, self.lan = visits, parts, lan

    @told_at(lambda handlers: handlers.parts.keep.told, show.not_kept)
    def opened(self, request: gr.Request) -> Updates:
        """Say where the log is and list who is in it; on a network neither."""
        keep = self.parts.keep
        known_here = self.visits.known(visit_token(request.headers.get("cookie")))
        if self.lan or not known_here:
            return {keep.help: show.keep_help("")}
        place, names = log_place(), names_in_log()
        return {
            keep.help: show.keep_help(place),
            keep.people: gr.Dropdown(choices=_choices(names), visible=shown(names)),
            keep.newcomer: gr.Textbox(label=_label(names)),
        }

    @told_at(lambda handlers: handlers.parts.keep.told, show.not_kept)
    def keep(self, request: gr.Request, chosen: object, written: object, coupon: object) -> Updates:
        """Keep the result, and ask the next one anew who they are."""
        token = visit_token(request.headers.get("cookie"))
        with _ONE_KEPT_AT_A_TIME:
            visit = self.visits.look(token)
            if token is None or visit is None:
                raise NothingToKeepError
            said = naming(None if self.lan else chosen, written, coupon)
            before = () if self.lan else names_in_log()
            kept = kept_in_log(visit, said, lan=self.lan)
            again = kept is visit.kept
            self.visits.keep(token, kept)
        keep = self.parts.keep
        names = () if self.lan else tuple(dict.fromkeys((*before, kept.person)))
        return {
            keep.people: gr.Dropdown(choices=_choices(names), value=UNSAID, visible=shown(names)),
            keep.newcomer: gr.Textbox(label=_label(names), value=""),
            keep.coupon: gr.Textbox(value=""),
            keep.told: show.kept(kept, again=again, lan=self.lan, unit=_unit(visit)),
        }


def keep_updates(keep: KeepParts, visit: Visit, *, lan: bool) -> Updates:
    """Show whether the log holds the present result; without one, nobody is named any more."""
    kept = visit.kept_as
    told = "" if kept is None else show.kept(kept, again=False, lan=lan, unit=_unit(visit))
    if visit.outcome is not None:
        return {keep.told: told}
    return {
        keep.people: gr.Dropdown(value=UNSAID),
        keep.newcomer: gr.Textbox(value=""),
        keep.coupon: gr.Textbox(value=""),
        keep.told: told,
    }


def _unit(visit: Visit) -> LengthUnit:
    return LengthUnit.MM if visit.order is None else visit.order.settings.unit


def _choices(names: tuple[str, ...]) -> Choices:
    return [CHOOSE, *((name, name) for name in names)]


def _label(names: tuple[str, ...]) -> str:
    """What the field for a name is called beside a list of names, or without one."""
    return "Or somebody new: nickname or number" if names else WHO_LABEL
