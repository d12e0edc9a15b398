"""What height profiles say: levelled heights, geometric toes, and values with their budgets."""

from beadcheck.measurements.profile.base_lines import BaseLine
from beadcheck.measurements.profile.depth_length import (
    Depth,
    DepthSection,
    lengths_through,
)
from beadcheck.measurements.profile.names import height_names, lies_in_groove
from beadcheck.measurements.profile.quantities import profile_quantities
from beadcheck.measurements.profile.read import read_profile
from beadcheck.measurements.profile.reading import ProfileReading, ToeReading
from beadcheck.measurements.profile.value import SectionValue

__all__ = [
    "BaseLine",
    "Depth",
    "DepthSection",
    "ProfileReading",
    "SectionValue",
    "ToeReading",
    "height_names",
    "lengths_through",
    "lies_in_groove",
    "profile_quantities",
    "read_profile",
]
