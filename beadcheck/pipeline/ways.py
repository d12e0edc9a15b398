"""The ways of measuring height against each other, on one coupon."""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Final

from beadcheck.photo import PhotoKind
from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.result import ProblemRecord

COMPARED: Final = (
    QuantityName.FACE_REINFORCEMENT,
    QuantityName.ROOT_REINFORCEMENT,
    QuantityName.UNDERFILL,
    QuantityName.CONCAVITY,
    QuantityName.CONVEXITY,
    QuantityName.DEPTH_BELOW_SURFACE,
    QuantityName.LINEAR_MISALIGNMENT,
)
"""Heights that every way sees alike: an outline may hide part of an undercut."""
DISAGREE: Final = "ways_disagree"


def disagreements(
    ways: Mapping[PhotoKind, Sequence[Quantity]],
) -> tuple[tuple[PhotoKind, ProblemRecord], ...]:
    """What two ways tell further apart than their uncertainties together; told of the later way.

    Each way covers a range of heights along the weld, and only the gap between two ranges counts:
    sections at different places differ by themselves.
    """
    found = []
    for first, second in combinations(ways, 2):
        for name in COMPARED:
            apart = _apart(ways[first], ways[second], name)
            if apart is not None:
                one, other = apart
                found.append((second, _problem(name, (first, one), (second, other))))
    return tuple(found)


def _apart(
    first: Sequence[Quantity], second: Sequence[Quantity], name: QuantityName
) -> tuple[Quantity, Quantity] | None:
    """Nearest extremes of two ranges, where even they are further apart than U allows."""
    least = [_extreme(quantities, name, Statistic.MIN) for quantities in (first, second)]
    greatest = [_extreme(quantities, name, Statistic.MAX) for quantities in (first, second)]
    for low, high, turned in ((least[1], greatest[0], False), (least[0], greatest[1], True)):
        if low is None or high is None:
            continue
        allowed = math.hypot(low.expanded_uncertainty, high.expanded_uncertainty)
        if low.value - high.value > allowed:
            return (low, high) if turned else (high, low)
    return None


def _extreme(
    quantities: Sequence[Quantity], name: QuantityName, statistic: Statistic
) -> Quantity | None:
    named = [q for q in quantities if q.name is name and q.statistic is statistic]
    pick = max if statistic is Statistic.MAX else min
    return pick(named, key=lambda quantity: quantity.value) if named else None


def _problem(
    name: QuantityName, first: tuple[PhotoKind, Quantity], second: tuple[PhotoKind, Quantity]
) -> ProblemRecord:
    words = name.value.replace("_", " ").capitalize()
    told = " but ".join(
        f"{quantity.value:.2f} ± {quantity.expanded_uncertainty:.2f} mm by {kind.value}"
        for kind, quantity in (first, second)
    )
    return ProblemRecord(
        code=DISAGREE,
        message=(
            f"{words} is {told}: further apart than both uncertainties together. Check the step's "
            "thickness, the angle of the light and the pipe's size, and that all photos show one "
            "place of one coupon; else the weld differs that much along its length."
        ),
    )
