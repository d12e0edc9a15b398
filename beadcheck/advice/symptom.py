"""What can be seen wrong with a weld, and one such thing as it was seen."""

from dataclasses import dataclass
from enum import StrEnum

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.quantity import Side


class Symptom(StrEnum):
    """What can be seen wrong; of two that are equally urgent, the first here comes first.

    First where metal or fusion is missing, then where there is too much, then what only looks bad.
    """

    GAP_BETWEEN_SPOTS = "gap between spots"
    GAP_AT_ONE_PLACE = "gap at one place"
    ROOT_NOT_THROUGH = "root not through"
    MISALIGNED = "misaligned"
    OPENING_NARROW = "root opening narrow"
    OPENING_WIDE = "root opening wide"
    UNDERCUT = "undercut"
    UNDERCUT_BOTH = "undercut at both edges"
    STEEP_TOE = "steep toe"
    LOW_FILL = "low fill"
    ROOT_CONCAVE = "root concave"
    HOLLOW_IN_GROOVE = "hollow in groove"
    CONVEX_IN_GROOVE = "convex in groove"
    LOW_OVERLAP = "low overlap"
    TOO_NARROW = "too narrow"
    ROOT_HIGH = "root high"
    ROPY = "ropy"
    IRREGULAR_HIGH = "irregular and high"
    CAP_HIGH = "cap high"
    TOO_WIDE = "too wide"
    HEAT_HIGH = "heat high"
    HEAT_LOW = "heat low"
    FILL_DEEP = "fill deep"
    FILL_FULL = "fill full"
    SPOTS_MERGE = "spots merge"
    SPOTS_CROWDED = "spots crowded"
    """Closer than aimed at: evidence for other symptoms, and no fault by itself."""
    RIPPLES_LONG = "ripples long"
    WEAVE_UNEVEN = "weave uneven"
    STRINGER_UNEVEN = "stringer uneven"
    TOE_WAVY = "toe wavy"
    TOES_WAVY = "toes wavy"
    RIPPLES_UNEVEN = "ripples uneven"
    RIPPLE_JUMP = "ripple jump"
    WANDERS = "wanders"
    LINE_AT_TOE = "line at toe"
    DIP_AT_END = "dip at end"
    SPOTS_ON_FACE = "spots on face"
    SPOTS_ON_BASE = "spots on base"
    ROUGH_SPOT = "rough spot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """A symptom as it was seen.

    Attributes
    ----------
    words
        What was measured, as a sentence with its number.
    side
        Edge at which it was seen; None where it has none, or at both.
    excess
        Measured over threshold, less uncertainty, as a ratio: ranks evenness.
    overhead
        Whether the weld was above the welder there.
    """

    symptom: Symptom
    urgency: Urgency
    words: str
    sure: Sureness = Sureness.SURE
    side: Side | None = None
    excess: float = 1.0
    overhead: bool = False

    @property
    def order(self) -> tuple[int, float, int]:
        """What sightings are sorted by."""
        excess = self.excess if self.urgency is Urgency.EVENNESS else 0.0
        return self.urgency.rank, -excess, list(Symptom).index(self.symptom)
