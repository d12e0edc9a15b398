"""What happens when somebody asks how steady the logged welds are."""

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.entries import choice
from beadcheck_page.guard import visit_token
from beadcheck_page.logbook import names_in_log, naming
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.roles import role_of
from beadcheck_page.steadiness import SteadyValue, steadiness
from beadcheck_page.steady_controls import EVERYBODY, SteadyParts
from beadcheck_page.visits import Visits
from beadcheck_page.whose_welds import people_list, shown_at_first


class SteadyHandlers:
    """The handlers of one page for what the log says: of the class, or of one person."""

    def __init__(self, visits: Visits, parts: Parts, steady: SteadyParts) -> None:
        self.visits, self.parts, self.steady = visits, parts, steady

    @told_at(lambda handlers: handlers.steady.drawn, show.not_shown)
    def opened(self, request: gr.Request, person: object, value: object, unit: object) -> Updates:
        """List everybody who is in the log by now, and show what is chosen."""
        if not self._known(request):
            return {self.steady.drawn: ""}
        names = names_in_log()
        whose = shown_at_first(self.visits, request, person, names)
        return {
            self.steady.help: show.who_reads_the_log(role_of(request.headers)),
            self.steady.people: people_list(request, names, whose, everybody=EVERYBODY),
            **self.chosen(request, whose, value, unit),
        }

    @told_at(lambda handlers: handlers.steady.drawn, show.not_shown)
    def chosen(self, request: gr.Request, person: object, value: object, unit: object) -> Updates:
        """Show what is chosen."""
        if not self._known(request):
            return {self.steady.drawn: ""}
        shown = choice(LengthUnit, unit, "the unit") or LengthUnit.MM
        wanted = choice(SteadyValue, value, "the value") or SteadyValue.WIDTH_SPREAD
        whose = naming(person, None, None).person
        if whose is None and not role_of(request.headers).sees_class:
            return {self.steady.drawn: show.choose_somebody()}
        found = steadiness(whose, wanted, shown)
        return {self.steady.drawn: show.steadiness(found, shown)}

    def _known(self, request: gr.Request) -> bool:
        return self.visits.known(visit_token(request.headers.get("cookie")))
