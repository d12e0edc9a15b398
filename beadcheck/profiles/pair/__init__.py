"""Two or more face photos of one coupon from different places: height over the whole field."""

from beadcheck.profiles.pair.band import band_along_target
from beadcheck.profiles.pair.height_map import HeightMap, section, sections
from beadcheck.profiles.pair.make import pair_heights
from beadcheck.surface.joint import PairView

__all__ = ["HeightMap", "PairView", "band_along_target", "pair_heights", "section", "sections"]
