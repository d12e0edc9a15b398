"""What happens when somebody looks at what has been kept."""

from typing import Final

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.controls import CHOOSE, Fields
from beadcheck_page.entries import UNSAID, choice
from beadcheck_page.events import on, reads_log
from beadcheck_page.guard import visit_token
from beadcheck_page.kept_log import (
    Asked,
    asked,
    asked_value,
    kept_measurement,
    kept_page,
    names_corrected,
)
from beadcheck_page.log_controls import ANYBODY, LogParts
from beadcheck_page.logbook import names_in_log, naming
from beadcheck_page.parts import Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.refusals import NoRightNameError, NothingLoggedError
from beadcheck_page.roles import role_of
from beadcheck_page.visits import Visits
from beadcheck_page.whose_welds import one_person_asked, people_list, shown_at_first

_PLACE: Final = told_at(lambda handlers: handlers.log.told, show.not_shown)
_PUT_RIGHT: Final = told_at(lambda handlers: handlers.log.told, show.not_put_right)


class LogHandlers:
    """The handlers of one page for the log: with the class code, of one person at a time."""

    def __init__(self, visits: Visits, log: LogParts) -> None:
        self.visits, self.log = visits, log

    @_PLACE
    def log_opened(
        self, request: gr.Request, sent: object, person: object, unit: object
    ) -> Updates:
        """List everybody who is in the log by now, and what was kept."""
        if not self._known(request):
            return {self.log.told: ""}
        whose = shown_at_first(self.visits, request, person, names_in_log())
        return {
            self.log.help: show.who_reads_the_log(role_of(request.headers)),
            **self._shown(request, asked(sent), whose, unit),
            **self._people(request, whose),
        }

    @_PLACE
    def log_asked(self, request: gr.Request, sent: object, person: object, unit: object) -> Updates:
        """Show the page of the list, and the measurement, that were asked for."""
        if not self._known(request):
            return {self.log.told: ""}
        return self._shown(request, asked(sent), person, unit)

    @_PLACE
    def log_of(self, request: gr.Request, person: object, unit: object) -> Updates:
        """Show the newest of somebody else."""
        if not self._known(request):
            return {self.log.told: ""}
        return self._shown(request, Asked(), person, unit)

    @_PUT_RIGHT
    def names_right(
        self,
        request: gr.Request,
        sent: object,
        person: object,
        unit: object,
        chosen: object,
        written: object,
        coupon: object,
    ) -> Updates:
        """Keep the measurement that is shown under the right names, and show that one."""
        if not self._known(request) or not role_of(request.headers).sees_class:
            return {self.log.told: ""}
        wanted = asked(sent)
        if wanted.number is None:
            raise NothingLoggedError
        said = naming(chosen, written, coupon)
        if said.person is None and said.coupon is None:
            raise NoRightNameError
        saved = names_corrected(wanted.number, said)
        told = show.names_put_right(saved, wanted.number)
        shown = self._shown(request, Asked(number=saved.number), person, unit)
        whose = person if isinstance(person, str) else UNSAID
        return {**shown, **self._people(request, whose), self.log.told: told}

    def _people(self, request: gr.Request, whose: str) -> Updates:
        names = names_in_log()
        right = [CHOOSE, *((name, name) for name in names)]
        return {
            self.log.people: people_list(request, names, whose, everybody=ANYBODY),
            self.log.welder: gr.Dropdown(choices=right, value=UNSAID),
        }

    def _shown(self, request: gr.Request, wanted: Asked, person: object, unit: object) -> Updates:
        shown = choice(LengthUnit, unit, "the unit") or LengthUnit.MM
        role = role_of(request.headers)
        who = naming(person, None, None).person if role.sees_class else one_person_asked(person)
        if who is None and not role.sees_class:
            lines, found = show.choose_somebody(), None
        else:
            page = kept_page(who, wanted.skipped)
            lines = show.log_list(page, who, wanted, shown, role)
            of = None if role.sees_class else who
            found = None if wanted.number is None else kept_measurement(wanted.number, of=of)
        return {
            self.log.listed: gr.HTML(value=asked_value(wanted), lines=lines),
            self.log.chosen: "" if found is None else show.log_chosen(found, shown, role),
            # Nobody stays chosen for the next measurement that is looked at.
            self.log.welder: gr.Dropdown(value=UNSAID),
            self.log.newcomer: gr.Textbox(value=""),
            self.log.coupon: gr.Textbox(value=""),
            self.log.told: "",
        }

    def _known(self, request: gr.Request) -> bool:
        return self.visits.known(visit_token(request.headers.get("cookie")))


def connect_log(handlers: LogHandlers, fields: Fields) -> None:
    """Name the handler of each press."""
    log, unit = handlers.log, fields.unit
    look = [log.listed, log.people, unit]
    names = [log.welder, log.newcomer, log.coupon]
    shown = [log.listed, log.chosen, *names, log.told]
    for event in (log.fold.click, log.listed.click, log.people.input):
        reads_log(event, log.told)
    on(log.fold.click, handlers.log_opened, look, [log.help, log.people, *shown])
    on(log.listed.click, handlers.log_asked, look, shown)
    on(log.people.input, handlers.log_of, [log.people, unit], shown)
    on(unit.input, handlers.log_asked, look, shown)
    on(log.button.click, handlers.names_right, [*look, *names], [log.people, *shown])
