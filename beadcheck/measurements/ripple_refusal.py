"""Why ripple crests cannot be trusted."""

from typing import Final

import numpy as np

from beadcheck.measurements.ripple_crests import Crests
from beadcheck.measurements.ripple_shape import Rhythm
from beadcheck.measurements.ripple_signal import CrestSignal
from beadcheck.measurements.ripple_strip import Strip
from beadcheck.quantity import NotMeasured, QuantityName

GRAZING_LIGHT: Final = (
    "Turn the lamp so that its light grazes along the weld, and keep glare off it."
)

FEWEST_CRESTS: Final = 5
"""Crests below which there are no statistics."""

FEWEST_PX: Final = 4.0
FEWEST_BLURS: Final = 3.5
"""Pixels, and standard deviations of the photo's blur, that a spacing needs: simulation, a tenth of
contrast."""

LEAST_STRENGTH: Final = 1.92
SHORT_EXTRA: Final = 2.0
"""Least strength of the rhythm, and what is asked more of a weld of N spacings, times 1 / N.
Simulated smooth, scratched and grainy beads exceed it in fewer than 1 of 100; rippled ones stay
below it where the ripples are so faint that crests are missed."""

CLEAR_DOUBT: Final = 0.08
CLEAR_STRENGTH: Final = 1.5
"""Where grooves are followed, a rhythm of this strength counts if so few crests are in doubt, as a
part: on 80 simulated faces with lines at random places more than 0.11 are, on renders of rippled
pipes mostly less than 0.06."""

LEAST_AGREEMENT: Final = 0.7
"""Least correlation of the two halves of the rows."""


def too_short() -> NotMeasured:
    """Too little of the weld in view."""
    return _not_measured(
        "Too little of the weld's steady body is in view to tell a rhythm.",
        "Step back or move along, so that more of the weld is in the picture.",
    )


def _not_measured(reason: str, how_to: str) -> NotMeasured:
    return NotMeasured(name=QuantityName.RIPPLE_SPACING, reason=reason, how_to=how_to)


def refusal_of(
    strip: Strip,
    rhythm: Rhythm,
    signal: CrestSignal,
    crests: Crests,
    *,
    blur_px: float,
    rounded: bool,
) -> NotMeasured | None:
    """Why these crests cannot be trusted, or None."""
    spacing_px = rhythm.spacing_mm * strip.px_per_mm
    needed = LEAST_STRENGTH + SHORT_EXTRA * spacing_px / strip.s_mm.size
    if rounded and crests.doubtful <= CLEAR_DOUBT * crests.x_px.size:
        needed = CLEAR_STRENGTH
    if signal.strength < needed or signal.agreement < LEAST_AGREEMENT:
        return _not_measured(
            "No regular ripples stand out of the weld face: it may be smooth or ground, or the "
            "ripples too faint.",
            f"{GRAZING_LIGHT} Come closer.",
        )
    needed_px = max(FEWEST_PX, FEWEST_BLURS * blur_px)
    if spacing_px < needed_px:
        return _not_measured(
            f"The ripples are {spacing_px:.1f} pixels apart; {needed_px:.0f} are needed.",
            "Come closer, hold the phone still and let it focus on the weld.",
        )
    if crests.x_px.size < FEWEST_CRESTS:
        return _not_measured(
            f"Only {crests.x_px.size} ripple crests are clear; {FEWEST_CRESTS} are needed.",
            "Step back or move along, so that more of the weld is in the picture.",
        )
    seen_gap_px = float(np.mean(np.diff(crests.x_px)))
    if not 0.75 <= seen_gap_px / spacing_px <= 1.35:
        return _not_measured(
            "The ripples found one by one and their rhythm as a whole tell different spacings.",
            GRAZING_LIGHT,
        )
    return None
