"""The two toes as continuous lines."""

from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.locate import LocatedWeld, locate_weld, weld_along
from beadcheck.toes.stations import stations
from beadcheck.toes.trace import SPAN_WIDTHS, TracedWeld, trace_toes

__all__ = [
    "SPAN_WIDTHS",
    "LocatedWeld",
    "ToeUncertainty",
    "Toes",
    "TracedWeld",
    "locate_weld",
    "stations",
    "trace_toes",
    "weld_along",
]
