"""Photos where they lie in the whole weld, and how that was found."""

from dataclasses import dataclass

from beadcheck.whole_weld.belong import LeftOut
from beadcheck.whole_weld.closure import Closure
from beadcheck.whole_weld.curved import Curved
from beadcheck.whole_weld.merge import Placed
from beadcheck.whole_weld.place import Strip


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """How a strip lies round its pipe.

    Attributes
    ----------
    curved
        Diameter by the photos' own curvature, where they tell it.
    """

    strip: Strip
    curved: Curved | None
    closure: Closure


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Photos of one weld in one frame.

    Attributes
    ----------
    length_mm, u_length_mm
        Of the whole: the pipe's girth, or how much of a plate's weld is joined.
    u_scale_ratio
        Relative standard uncertainty of scale that all photos share.
    clock_sense
        1 where the clock grows with the place, else -1; 0 on plate.
    round
        None on plate.
    """

    placed: tuple[Placed, ...]
    left_out: tuple[LeftOut, ...]
    length_mm: float
    u_length_mm: float
    u_scale_ratio: float
    clock_sense: int
    round: Round | None = None
