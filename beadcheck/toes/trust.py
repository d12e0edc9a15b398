"""How far the networks are trusted: on a solved surface, and in a picture without a target."""

from dataclasses import dataclass
from typing import Final

from beadcheck.surface import Surface, UnscaledSurface

DOUBT_FACTOR: Final = 1.5
"""Standard uncertainty of one toe over the placer's own doubt, a mean absolute error whose
distribution has long tails."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """What makes a toe sure, and the uncertainty that it gets.

    Attributes
    ----------
    floor_u_mm
        Standard uncertainty of one toe at no doubt at all.
    sure_u_mm
        A toe is sure when its own standard uncertainty stays below this.
    weld_contrast
        Where half of the stations show a smaller difference of likelihood between the weld face and
        what lies beside it, there is no weld.
    width_u_mm
        Standard deviation, over photos, of the networks' mean error of a width.
    """

    floor_u_mm: float
    sure_u_mm: float
    weld_contrast: float
    width_u_mm: float


SOLVED: Final = Trust(
    floor_u_mm=0.035,
    sure_u_mm=0.24,
    weld_contrast=0.55,
    width_u_mm=0.07,
)
"""With a target. A sure toe lies within 0.35 mm nine times in ten. Set on the tuning renders
(``samples/making``, seeds 1000 to 1035), most of which trained the networks too, so rather large;
``tests/benchmarks/accuracy.py`` checks it on renders that nothing was trained on."""

PICTURED: Final = Trust(
    floor_u_mm=0.08,
    sure_u_mm=0.55,
    weld_contrast=0.4,
    width_u_mm=1.04,
)
"""Without a target, in units of an eighth of the weld width. A sure toe lies within 6 % of the
width of a reader's about three times in four; now and then the edge of a tint or of an older pass
is taken for the toe all along, hence 13 % of the width for the mean. Set on real photographs
(``calibration/finder/real_welds.json``), on those in training and on those that were not."""


def trust_in(surface: Surface) -> Trust:
    """Tell how far the networks are trusted on this surface."""
    return PICTURED if isinstance(surface, UnscaledSurface) else SOLVED
