"""Whether photos show the metal finely enough, and from far enough apart, to tell heights."""

import math
from typing import Final

from beadcheck.errors.profile_pair import TooCoarseForHeightsError

MATCH_PX: Final = 0.2
"""Standard uncertainty of a perfect match of flat metal's broad grain."""
MOST_MM: Final = 0.15
"""Heights of flat metal less sure than this level nothing."""


def require_fine(px_per_mm: float, apart_deg: float) -> None:
    """Refuse photos in which even a perfect match leaves every height of flat metal too unsure.

    A height moves what two photos show apart by 2 tan(angle / 2) of itself.

    Raises
    ------
    TooCoarseForHeightsError
        More pixels per mm are needed.
    """
    apart = 2.0 * math.tan(math.radians(0.5 * apart_deg))
    needed = MATCH_PX / (MOST_MM * apart)
    if px_per_mm < needed:
        raise TooCoarseForHeightsError(px_per_mm, needed, apart_deg)
