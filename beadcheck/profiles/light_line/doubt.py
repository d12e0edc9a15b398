"""What all heights of a line of light have in common, and whether they are sure enough."""

import math
from typing import Final

import numpy as np

from beadcheck.errors.profile_light import LineUnsureError
from beadcheck.profiles.light_line.follow import FollowedLine
from beadcheck.profiles.light_line.section import EvenSection
from beadcheck.profiles.light_line.upward import PENUMBRA_SHARE
from beadcheck.quantity import Component, Scope

U_SHEET_MM: Final = 0.01 / math.sqrt(3.0)
"""A laser's sheet, or a rule's edge, is plane within 0.01 mm; rectangular (accuracy study, 3.3)."""
LOST_EDGE_MM: Final = 0.5
"""Standard uncertainty of a shadow's edge of which hardly anything is seen over the weld, in
proportion where more is: what is left of a broken one may be edges of ripples (two renders that
were off by 0.6 mm with half and two thirds of the weld seen, one by 0.3)."""
MOST_U_MM: Final = 0.3
"""Heights known no better say nothing of a weld of 2 mm."""


def form_budget_of(
    line: FollowedLine, weld_mm: tuple[float, float] | None, *, shift_mm: float
) -> tuple[Component, ...]:
    """Displacements of the whole line that no averaging removes, as heights.

    Parameters
    ----------
    shift_mm
        By how much 1 mm of height moves the line.
    """
    effects = [("sheet of light that is not plane", U_SHEET_MM / shift_mm)]
    if line.rough.kind.is_edge:
        effects += [
            ("penumbra of the shadow", PENUMBRA_SHARE * line.sigma_mm / shift_mm),
            ("shadow's edge that is lost in places", _u_lost_mm(line, weld_mm)),
        ]
    return tuple(
        Component(source=source, standard_uncertainty=u_mm, scope=Scope.PHOTO)
        for source, u_mm in effects
    )


def require_sure(
    line: FollowedLine, section: EvenSection, weld_mm: tuple[float, float] | None
) -> None:
    """Require that over the weld light can be told from ripples.

    Raises
    ------
    LineUnsureError
        It cannot.
    """
    low, high = weld_mm or (-np.inf, np.inf)
    over = (section.across_mm >= low) & (section.across_mm <= high)
    seen = over & np.isfinite(section.height_mm)
    if seen.any():
        own_mm = float(np.median(section.u_height_mm[seen]))
        u_mm = math.hypot(own_mm, _u_lost_mm(line, weld_mm))
        if u_mm > MOST_U_MM:
            raise LineUnsureError(2.0 * u_mm, 2.0 * MOST_U_MM)


def _u_lost_mm(line: FollowedLine, weld_mm: tuple[float, float] | None) -> float:
    """By the share of the weld's width over which a shadow's edge is not seen."""
    if weld_mm is None or not line.rough.kind.is_edge:
        return 0.0
    over = line.good & (line.across_mm > weld_mm[0]) & (line.across_mm < weld_mm[1])
    seen_share = float(over.sum()) * line.pitch_mm / (weld_mm[1] - weld_mm[0])
    return LOST_EDGE_MM * max(0.0, 1.0 - seen_share)
