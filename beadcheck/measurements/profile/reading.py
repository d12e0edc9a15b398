"""What one profile says, once it is levelled on the parent metal."""

from dataclasses import dataclass

import numpy as np

from beadcheck.coupon import WeldPass
from beadcheck.measurements.profile.base_lines import BaseLine
from beadcheck.measurements.profile.section import Floats
from beadcheck.measurements.profile.value import SectionValue
from beadcheck.profiles import Profile
from beadcheck.quantity import NotMeasured, QuantityName, Side


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeReading:
    """Geometric toe of one side.

    Attributes
    ----------
    across_mm, height_mm
        In the levelled frame; the toe lies on its base line.
    px
        (2,) place in the upright photo.
    flank_deg
        Angle of the flank over the base line; negative where the face falls away.
    undercut_across_mm
        Where the deepest undercut was found; None where none was.
    """

    side: Side
    across_mm: float
    height_mm: float
    u_across_mm: float
    px: Floats
    flank_deg: float
    undercut_across_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProfileReading:
    """One profile, levelled, with its toes and its values.

    Attributes
    ----------
    across_mm, height_mm
        (N,) the profile's own points in the levelled frame: zero midway between the toes, heights
        over the base metal; NaN in holes.
    u_height_mm
        (N,) standard uncertainty of each height, with base line, scale and form.
    left_toe, right_toe
        None where the face neither rises nor falls from the base metal.
    above
        What reinforcement is counted from, in words.
    """

    profile: Profile
    weld_pass: WeldPass | None
    across_mm: Floats
    height_mm: Floats
    u_height_mm: Floats
    left_base: BaseLine
    right_base: BaseLine
    left_toe: ToeReading | None
    right_toe: ToeReading | None
    values: tuple[SectionValue, ...]
    missing: tuple[NotMeasured, ...]
    above: str

    def __post_init__(self) -> None:
        for array in (self.across_mm, self.height_mm, self.u_height_mm):
            array.flags.writeable = False

    def value(self, name: QuantityName, side: Side | None = None) -> SectionValue | None:
        """Value of a name (and side); None where this profile does not give it."""
        for each in self.values:
            if each.name is name and each.side is side:
                return each
        return None


def points_at(across_mm: Floats, points_px: Floats, at_mm: float) -> Floats:
    """(2,) pixel at a place across, between the points that are known."""
    known = np.isfinite(points_px).all(axis=1)
    return np.array([np.interp(at_mm, across_mm[known], points_px[known, axis]) for axis in (0, 1)])
