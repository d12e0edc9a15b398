"""The parts of the page that stand folded below the result."""

from dataclasses import dataclass

import gradio as gr

from beadcheck_page import show
from beadcheck_page.folds import fold
from beadcheck_page.gauge_controls import GaugeParts, gauge_parts
from beadcheck_page.gauge_handlers import GaugeHandlers, connect_gauge
from beadcheck_page.handlers import Handlers
from beadcheck_page.joint_controls import JointParts, joint_parts
from beadcheck_page.joint_handlers import JointHandlers, connect_joint
from beadcheck_page.log_controls import LogParts, log_parts
from beadcheck_page.log_handlers import LogHandlers, connect_log
from beadcheck_page.rule_controls import LimitsParts, WorkedParts, limits_parts, worked_parts
from beadcheck_page.rule_handlers import RuleHandlers, connect_rules


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedRooms:
    """What is shown of each."""

    limits: LimitsParts
    worked: WorkedParts
    log: LogParts
    gauge: GaugeParts
    joint: JointParts
    targets: gr.HTML


def folded_rooms() -> FoldedRooms:
    """Draw them where they are called."""
    limits = limits_parts()
    worked = worked_parts()
    log = log_parts()
    gauge = gauge_parts()
    joint = joint_parts()
    fold("Print a target", "print")
    targets = gr.HTML(show.target_links(None), elem_id="print-fields", elem_classes="bc-folded")
    return FoldedRooms(
        limits=limits, worked=worked, log=log, gauge=gauge, joint=joint, targets=targets
    )


def connect_rooms(rooms: FoldedRooms, handlers: Handlers) -> None:
    """Name the handler of each press in them."""
    connect_rules(RuleHandlers(handlers, rooms.limits, rooms.worked))
    connect_log(LogHandlers(handlers.visits, rooms.log), handlers.parts.fields)
    connect_joint(JointHandlers(handlers, rooms.joint))
    connect_gauge(GaugeHandlers(handlers, rooms.gauge))
