"""The two toes as continuous lines."""

from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.locate import LocatedWeld, locate_weld, weld_along
from beadcheck.toes.place import PlacedToe, place_toes
from beadcheck.toes.stations import stations
from beadcheck.toes.trace import SPAN_WIDTHS, TracedWeld, trace_toes

__all__ = [
    "SPAN_WIDTHS",
    "LocatedWeld",
    "PlacedToe",
    "ToeUncertainty",
    "Toes",
    "TracedWeld",
    "locate_weld",
    "place_toes",
    "stations",
    "trace_toes",
    "weld_along",
]
