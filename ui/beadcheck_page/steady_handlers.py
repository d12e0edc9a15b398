"""What happens when somebody asks how steady the logged welds are."""

import gradio as gr

from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.entries import choice
from beadcheck_page.guard import visit_token
from beadcheck_page.logbook import names_in_log, naming
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.steadiness import SteadyValue, steadiness
from beadcheck_page.steady_controls import EVERYBODY, SteadyParts
from beadcheck_page.visits import Visits


class SteadyHandlers:
    """The handlers of one page that only this computer can open."""

    def __init__(self, visits: Visits, parts: Parts, steady: SteadyParts) -> None:
        self.visits, self.parts, self.steady = visits, parts, steady

    @told_at(lambda handlers: handlers.steady.drawn, show.not_shown)
    def opened(self, request: gr.Request, person: object, value: object, unit: object) -> Updates:
        """List everybody who is in the log by now, and show what is chosen."""
        if not self._known(request):
            return {self.steady.drawn: ""}
        names = [(name, name) for name in names_in_log()]
        people = gr.Dropdown(choices=[EVERYBODY, *names])
        return {self.steady.people: people, **self.chosen(request, person, value, unit)}

    @told_at(lambda handlers: handlers.steady.drawn, show.not_shown)
    def chosen(self, request: gr.Request, person: object, value: object, unit: object) -> Updates:
        """Show what is chosen."""
        if not self._known(request):
            return {self.steady.drawn: ""}
        shown = choice(LengthUnit, unit, "the unit") or LengthUnit.MM
        wanted = choice(SteadyValue, value, "the value") or SteadyValue.WIDTH_SPREAD
        found = steadiness(naming(person, None, None).person, wanted, shown)
        return {self.steady.drawn: show.steadiness(found, shown)}

    def _known(self, request: gr.Request) -> bool:
        return self.visits.known(visit_token(request.headers.get("cookie")))
