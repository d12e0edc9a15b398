"""Consistency: spread within a weld, between welds, against a limit, before and after a change."""

from beadcheck.consistency.around import CLOCK_SECTORS, Stretch, along, by_clock
from beadcheck.consistency.capability import Capability, capability, capability_of
from beadcheck.consistency.change import Change, Reading, change
from beadcheck.consistency.control_chart import (
    Charts,
    ControlChart,
    TooFewValuesError,
    individuals_charts,
    mean_and_range_charts,
)
from beadcheck.consistency.run_rules import RunRule, Signal, signals

__all__ = [
    "CLOCK_SECTORS",
    "Capability",
    "Change",
    "Charts",
    "ControlChart",
    "Reading",
    "RunRule",
    "Signal",
    "Stretch",
    "TooFewValuesError",
    "along",
    "by_clock",
    "capability",
    "capability_of",
    "change",
    "individuals_charts",
    "mean_and_range_charts",
    "signals",
]
