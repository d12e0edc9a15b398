"""One toe from two answers: the tracer's line and the placer's, each by how sure it is."""

from dataclasses import replace
from typing import Final

import numpy as np

from beadcheck.toes.follow import FollowedWeld
from beadcheck.toes.place import PlacedToe
from beadcheck.toes.trace import TracedToe

TRACER_U_WIDTHS: Final = 0.04
"""Standard deviation of the traced toe where the finder is surest, in weld widths; a soft step of
its likelihood counts half its softness."""
PLACER_DOUBTS: Final = 1.2
"""Standard deviation of the placed toe, in doubts of the placer. Both set on real photographs
(``calibration/finder/real_welds.json``), in training and held out; hardly any choice mattered."""
DISAGREEMENT: Final = 0.35
"""Part of the distance between both answers that is added to the doubt."""


def joined_toes(weld: FollowedWeld) -> FollowedWeld:
    """Weigh the tracer's toes, which see all around the weld, against the placer's, which see fine.

    On rendered welds the placer alone is better; on real photographs both together are.
    """
    width_mm = weld.traced.width_mm
    return replace(
        weld,
        left=_joined(weld.left, weld.traced.left, width_mm),
        right=_joined(weld.right, weld.traced.right, width_mm),
    )


def _joined(placed: PlacedToe, traced: TracedToe, width_mm: float) -> PlacedToe:
    u_traced = np.maximum(TRACER_U_WIDTHS * width_mm, 0.5 * traced.softness_mm)
    u_placed = np.maximum(PLACER_DOUBTS * placed.doubt_mm, 1e-3)
    share = u_placed**2 / (u_traced**2 + u_placed**2)
    apart = traced.across_mm - placed.across_mm
    return replace(
        placed,
        across_mm=placed.across_mm + share * apart,
        doubt_mm=np.hypot(np.sqrt(1.0 - share) * placed.doubt_mm, DISAGREEMENT * np.abs(apart)),
    )
