"""Where a weld lies, where its toes, and how high two photos show it: learned networks."""

from beadcheck.finder.height_reader import HEIGHTS_MM, LikelyHeights, likely_heights
from beadcheck.finder.network import (
    SurfaceKinds,
    surface_kinds,
    weld_likelihood,
    weld_likelihood_either_way_up,
)
from beadcheck.finder.placer import HALF_ROWS, ToeOffsets, toe_offsets

__all__ = [
    "HALF_ROWS",
    "HEIGHTS_MM",
    "LikelyHeights",
    "SurfaceKinds",
    "ToeOffsets",
    "likely_heights",
    "surface_kinds",
    "toe_offsets",
    "weld_likelihood",
    "weld_likelihood_either_way_up",
]
