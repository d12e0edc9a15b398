"""What happens when gauge readings are compared with the photo's values."""

import threading
from typing import Final

import gradio as gr

from beadcheck.gauge_study import against_gauge, gauged_places, readings_csv
from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.entries import choice
from beadcheck_page.events import on
from beadcheck_page.gauge_controls import COMPARED_WORDS, GaugeParts
from beadcheck_page.gauge_entries import Typed, in_unit, study_readings, typed
from beadcheck_page.gauge_places import Compared, places_of
from beadcheck_page.handlers import Handlers
from beadcheck_page.logbook import naming
from beadcheck_page.orders import Outcome
from beadcheck_page.parts import Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.refusals import NothingToGaugeError, ResultChangedError

CHART_WIDTH_IN: Final = 4.4
"""At the width of a phone its words are then about as large as a caption."""
_ONE_DRAWN_AT_A_TIME: Final = threading.Lock()
"""Matplotlib's settings belong to the whole program."""
_TOLD: Final = told_at(lambda handlers: handlers.gauge.found, show.not_compared)


class GaugeHandlers:
    """The handlers of photo against gauge, over the results of the visits."""

    def __init__(self, page: Handlers, gauge: GaugeParts) -> None:
        self.page, self.gauge = page, gauge

    @_TOLD
    def gauge_shown(
        self, request: gr.Request, sent: object, compared: object, unit: object
    ) -> Updates:
        """Show the places of the present result, with what was typed beside it already."""
        outcome = self._outcome(request)
        what, shown = _compared(compared), _unit(unit)
        entered = typed(sent)
        if outcome is None or entered.result != _key(outcome, what):
            entered = Typed(unit=shown)
        entered = in_unit(entered, shown)
        rows = "" if outcome is None else show.gauge_rows(outcome, what, entered)
        places = gr.HTML(
            value=show.gauge_typed(entered), rows=rows or show.nothing_to_gauge(outcome, what)
        )
        return {self.gauge.places: places, self.gauge.found: ""}

    @_TOLD
    def gauge_compared(
        self, request: gr.Request, sent: object, compared: object, unit: object, by: object
    ) -> Updates:
        """Show how photo and gauge differ, with the list that `beadcheck repeat` reads."""
        outcome = self._outcome(request)
        what, shown, entered = _compared(compared), _unit(unit), typed(sent)
        if outcome is None or not entered.by_place:
            raise NothingToGaugeError
        if entered.result != _key(outcome, what):
            raise ResultChangedError
        places = places_of(outcome.result, what)
        who = naming(None, by, None).person
        readings = study_readings(places, entered, outcome.result, who)
        agreement = against_gauge(readings)
        chart = b""
        if agreement is not None:
            # Matplotlib takes a while to load, and most visits compare nothing.
            from beadcheck.trends.agreement_chart import agreement_chart  # noqa: PLC0415

            with _ONE_DRAWN_AT_A_TIME:
                chart = agreement_chart(
                    gauged_places(readings),
                    agreement,
                    subject=COMPARED_WORDS[what],
                    unit="mm",
                    width_in=CHART_WIDTH_IN,
                )
        return {
            self.gauge.found: show.compared(
                readings, agreement, chart, readings_csv(readings), unit=shown
            )
        }

    def _outcome(self, request: gr.Request) -> Outcome | None:
        _, visit = self.page.visit_of(request)
        return None if visit is None else visit.outcome


def _compared(sent: object) -> Compared:
    return choice(Compared, sent, "what is compared") or Compared.WIDTH


def _unit(sent: object) -> LengthUnit:
    return choice(LengthUnit, sent, "the unit") or LengthUnit.MM


def _key(outcome: Outcome, compared: Compared) -> str:
    """By which what was typed belongs to a result and to what is compared."""
    return f"{outcome.key} {compared}"


def connect_gauge(handlers: GaugeHandlers) -> None:
    """Name the handler of each press."""
    gauge, parts = handlers.gauge, handlers.page.parts
    look = [gauge.places, gauge.compared, parts.fields.unit]
    shown = [gauge.places, gauge.found]
    on(gauge.fold.click, handlers.gauge_shown, look, shown)
    on(gauge.compared.input, handlers.gauge_shown, look, shown)
    # Told by the results' own script: after a measurement, and in another unit.
    on(parts.results.change, handlers.gauge_shown, look, shown)
    on(gauge.button.click, handlers.gauge_compared, [*look, gauge.by], [gauge.found])
