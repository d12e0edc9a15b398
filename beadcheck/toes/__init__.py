"""The two toes as continuous lines."""

from beadcheck.toes.by_hand import follow_by_hand, with_hand_toes
from beadcheck.toes.follow import FollowedWeld, follow_weld
from beadcheck.toes.hand_lines import HandToes
from beadcheck.toes.lines import Toes, ToeUncertainty
from beadcheck.toes.locate import LocatedWeld, locate_weld, weld_along, weld_near
from beadcheck.toes.stations import enough_sure, require_sure, stations

__all__ = [
    "FollowedWeld",
    "HandToes",
    "LocatedWeld",
    "ToeUncertainty",
    "Toes",
    "enough_sure",
    "follow_by_hand",
    "follow_weld",
    "locate_weld",
    "require_sure",
    "stations",
    "weld_along",
    "weld_near",
    "with_hand_toes",
]
