"""Where in a picture the weld lies, and where its toes: small learned networks, run by OpenCV."""

from beadcheck.finder.network import (
    SurfaceKinds,
    surface_kinds,
    weld_likelihood,
    weld_likelihood_either_way_up,
)
from beadcheck.finder.placer import HALF_ROWS, ToeOffsets, toe_offsets

__all__ = [
    "HALF_ROWS",
    "SurfaceKinds",
    "ToeOffsets",
    "surface_kinds",
    "toe_offsets",
    "weld_likelihood",
    "weld_likelihood_either_way_up",
]
