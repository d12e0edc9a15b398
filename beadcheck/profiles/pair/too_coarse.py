"""Whether photos show the metal finely enough, and from far enough apart, to tell heights."""

import math

from beadcheck.errors.profile_pair import TooCoarseForHeightsError
from beadcheck.profiles.pair.relief import FLAT_REACHES, U_BROAD_PX


def require_fine(px_per_mm: float, apart_deg: float) -> None:
    """Refuse photos in which even a perfect match leaves every height of flat metal too unsure.

    A height moves what two photos show apart by 2 tan(angle / 2) of itself, and broad grain is
    matched to `U_BROAD_PX` of a ground of half the scale.

    Raises
    ------
    TooCoarseForHeightsError
        More pixels per mm are needed.
    """
    most_mm = max(math.sqrt(each.most_u_mm**2 - each.u_mm**2) for each in FLAT_REACHES)
    apart = 2.0 * math.tan(math.radians(0.5 * apart_deg))
    needed = 2.0 * U_BROAD_PX / (most_mm * apart)
    if px_per_mm < needed:
        raise TooCoarseForHeightsError(px_per_mm, needed, apart_deg)
