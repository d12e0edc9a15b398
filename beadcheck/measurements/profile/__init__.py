"""What height profiles say: levelled heights, geometric toes, and values with their budgets."""

from beadcheck.measurements.profile.base_lines import BaseLine
from beadcheck.measurements.profile.names import height_names
from beadcheck.measurements.profile.quantities import profile_quantities
from beadcheck.measurements.profile.read import read_profile
from beadcheck.measurements.profile.reading import ProfileReading, ToeReading
from beadcheck.measurements.profile.undercut_length import (
    Depth,
    UndercutSection,
    lengths_through,
)
from beadcheck.measurements.profile.value import SectionValue

__all__ = [
    "BaseLine",
    "Depth",
    "ProfileReading",
    "SectionValue",
    "ToeReading",
    "UndercutSection",
    "height_names",
    "lengths_through",
    "profile_quantities",
    "read_profile",
]
