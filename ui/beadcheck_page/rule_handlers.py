"""What happens when limits are to be shown, or settings worked out, without a photo."""

from dataclasses import replace
from typing import Final

import gradio as gr

from beadcheck.arc import ArcSettings, TravelByRipples, answers, times_question
from beadcheck.arc import stated as kinds
from beadcheck.arc.pulses import pulses_per_ripple
from beadcheck.coupon import Process, RippleLine
from beadcheck.limits import default_limit_set, load_limit_set
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.limits_worded import Joint
from beadcheck.units import Unit
from beadcheck_page import show
from beadcheck_page.entries import Entries, choice
from beadcheck_page.events import on
from beadcheck_page.groove_entries import length_said_mm
from beadcheck_page.handlers import LOST, Handlers
from beadcheck_page.parts import Updates
from beadcheck_page.plainly import told_at
from beadcheck_page.refusals import UnusableSettingError
from beadcheck_page.rule_controls import LimitsParts, WorkedParts
from beadcheck_page.understanding import Settings, understood
from beadcheck_page.visits import Visit

_LIMITS: Final = told_at(lambda handlers: handlers.limits.told, show.limits_not_shown)
_WORKED: Final = told_at(lambda handlers: handlers.worked.told, show.not_worked_out)


class RuleHandlers:
    """The handlers of limits and arithmetic, over the form."""

    def __init__(self, page: Handlers, limits: LimitsParts, worked: WorkedParts) -> None:
        self.page, self.limits, self.worked = page, limits, worked

    @_LIMITS
    def limits_shown(self, request: gr.Request, width: object, *values: object) -> Updates:
        """Show what the chosen limits ask of the joint."""
        visit = self._visit(request, Entries(*values))
        if visit is None:
            return {self.limits.told: show.limits_not_shown(LOST)}
        settings, joint = self._joint(visit, width)
        name = self.page.limits.to_load(settings.limits) or default_limit_set(settings.coupon)
        return {self.limits.told: show.limits_asked(load_limit_set(name, settings.judging), joint)}

    @_LIMITS
    def limits_compared(self, request: gr.Request, width: object, *values: object) -> Updates:
        """Show what every set asks of the joint."""
        visit = self._visit(request, Entries(*values))
        if visit is None:
            return {self.limits.told: show.limits_not_shown(LOST)}
        settings, joint = self._joint(visit, width)
        names = [self.page.limits.to_load(each) or each for each in self.page.limits.names]
        sets = [load_limit_set(each, settings.judging) for each in names]
        return {self.limits.told: show.limits_compared(sets, joint)}

    @_WORKED
    def worked_out(
        self,
        request: gr.Request,
        spacing: object,
        line: object,
        spot: object,
        *values: object,
    ) -> Updates:
        """Show what follows from the settings."""
        visit = self._visit(request, Entries(*values))
        if visit is None:
            return {self.worked.told: show.not_worked_out(LOST)}
        said = understood(visit.entries, limit_names=self.page.limits.names)
        settings = settings_with_ripples(said, spacing, line, spot)
        asked = asked_of_panel(said, settings)
        found = answers(settings)
        return {self.worked.told: show.worked_out_answers(found, settings, asked, said.unit)}

    def _visit(self, request: gr.Request, entries: Entries) -> Visit | None:
        """The visit with these entries, which it remembers; None where it is lost."""
        token, visit = self.page.visit_of(request)
        if token is None or visit is None:
            return None
        entries = visit.as_answered(entries)
        self.page.visits.remember(token, entries)
        return replace(visit, entries=entries)

    def _joint(self, visit: Visit, width: object) -> tuple[Settings, Joint]:
        """The form, and the joint with its width as said, or as measured last."""
        settings = understood(visit.entries, limit_names=self.page.limits.names)
        quantities = () if visit.outcome is None else visit.outcome.result.quantities
        widths = [
            each.value
            for each in quantities
            if (each.name, each.statistic) == (QuantityName.WELD_WIDTH, Statistic.MEAN)
            and each.unit == Unit.MM
        ]
        said_mm = length_said_mm(width, "The weld width")
        width_mm = said_mm or (widths[-1] if widths else None)
        return settings, Joint(coupon=settings.coupon, width_mm=width_mm)


def settings_with_ripples(
    said: Settings, spacing: object, line: object, spot: object
) -> ArcSettings:
    """Settings with what was measured on the bead; ripples tell the travel better than a watch.

    Raises
    ------
    SettingError
        The pass is not pulsed, or a length makes no sense.
    """
    spacing_mm = length_said_mm(spacing, "The ripple spacing")
    spot_mm = length_said_mm(spot, "The length of one spot")
    along = choice(RippleLine, line, "where the ripples were counted") or RippleLine.MIDDLE
    settings = replace(
        said.arc.of_coupon(said.coupon), outside_diameter_mm=said.coupon.outside_diameter_mm
    )
    if spacing_mm is None and spot_mm is None:
        return settings
    if said.coupon.process is not Process.GTAW_PULSED:
        raise UnusableSettingError(
            "What was measured on the ripples", "only a pulsed arc leaves one for each pulse"
        )
    if spacing_mm is not None:
        travel = TravelByRipples(spacing=kinds.SPACING.reading(spacing_mm), line=along)
        settings = replace(settings, travel=travel)
    if spot_mm is not None:
        settings = replace(settings, spot=kinds.SPOT.reading(spot_mm))
    return settings


def asked_of_panel(said: Settings, settings: ArcSettings) -> str:
    """Question whether the pulse times are seconds; empty where that was said."""
    panel = said.coupon.panel_times
    if panel is None:
        return ""
    spacing_mm, apart = None, 1
    if isinstance(settings.travel, TravelByRipples):
        spacing_mm = settings.travel.spacing.value
        apart = pulses_per_ripple(settings.weave, settings.travel.line)
    return times_question(panel, settings.process, ripples_mm=spacing_mm, pulses=apart)


def connect_rules(handlers: RuleHandlers) -> None:
    """Name the handler of each press."""
    limits, worked = handlers.limits, handlers.worked
    entries = list(handlers.page.parts.fields)
    on(limits.one.click, handlers.limits_shown, [limits.width, *entries], [limits.told])
    on(limits.every.click, handlers.limits_compared, [limits.width, *entries], [limits.told])
    measured = [worked.spacing, worked.line, worked.spot]
    on(worked.button.click, handlers.worked_out, [*measured, *entries], [worked.told])
