"""The two toes as continuous lines."""

from beadcheck.toes.follow import FollowedWeld, follow_weld
from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.locate import LocatedWeld, locate_weld, weld_along
from beadcheck.toes.stations import require_sure, stations

__all__ = [
    "FollowedWeld",
    "LocatedWeld",
    "ToeUncertainty",
    "Toes",
    "follow_weld",
    "locate_weld",
    "require_sure",
    "stations",
    "weld_along",
]
