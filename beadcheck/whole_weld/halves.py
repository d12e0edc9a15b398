"""The two halves of a pipe weld, each welded uphill from 6 to 12 o'clock, against each other."""

import math
from collections.abc import Iterable
from typing import Final

import numpy as np

from beadcheck.coupon import Coupon, Position, Progression, Shape
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    Component,
    Quantity,
    QuantityName,
    Scope,
    Statistic,
)
from beadcheck.result import HalfValueRecord
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.numbers import MISSED, Shown, spacing_quantities, width_quantities

LEAST_COVERED: Final = 0.6
"""Less of a half than this does not stand for it."""
U_LIGHT_MM: Final = 0.05
"""Standard uncertainty of the difference of two mean widths by light that falls otherwise on one
half (an estimate)."""
COMPARED: Final = (Statistic.MEAN, Statistic.SD)
WORDS: Final = {
    (QuantityName.WELD_WIDTH, Statistic.MEAN): ("weld width", "wider", "narrower"),
    (QuantityName.WELD_WIDTH, Statistic.SD): ("width", "less even", "more even"),
    (QuantityName.RIPPLE_SPACING, Statistic.MEAN): ("ripple spacing", "coarser", "finer"),
    (QuantityName.RIPPLE_SPACING, Statistic.SD): ("ripple spacing", "less even", "more even"),
}


def welded_in_halves(coupon: Coupon) -> bool:
    """Whether both halves are welded uphill, as far as position and progression say."""
    return (
        coupon.shape is Shape.PIPE
        and coupon.position in (Position.FIXED_HORIZONTAL, Position.FIXED_INCLINED)
        and coupon.progression is Progression.UP
    )


def half_records(shown: Shown, clock: Clock, coupon: Coupon) -> tuple[HalfValueRecord, ...]:
    """Compare both halves; empty unless they are welded uphill and seen well enough."""
    if not welded_in_halves(coupon):
        return ()
    line = shown.line
    first = line.arc_mm < 0.5 * line.length_mm
    if clock.sense < 0:
        first = ~first
    if min(np.mean(line.seen[first]), np.mean(line.seen[~first])) < LEAST_COVERED:
        return ()
    half_mm = 0.5 * line.length_mm
    starts = (0.0, half_mm) if clock.sense > 0 else (half_mm, 0.0)
    one, other = (
        {
            (q.name, q.statistic): q
            for q in (
                *width_quantities(shown, where),
                *spacing_quantities(shown, start, start + half_mm),
            )
        }
        for where, start in zip((first, ~first), starts, strict=True)
    )
    return tuple(_compared(one[key], other[key]) for key in WORDS if key in one and key in other)


def _compared(first: Quantity, second: Quantity) -> HalfValueRecord:
    """Compare one value; scale and the toe's definition move both halves alike."""
    difference = first.value - second.value
    light = U_LIGHT_MM if first.name is QuantityName.WELD_WIDTH else 0.0
    u = math.hypot(_own(first.budget), _own(second.budget), light)
    expanded = COVERAGE_FACTOR * u
    what, more, less = WORDS[first.name, first.statistic]
    if abs(difference) <= expanded:
        said = f"No difference in {what} between the halves beyond {expanded:.2f} mm."
    else:
        than = more if difference > 0.0 else less
        said = (
            f"From 12 through 3 to 6 o'clock the {what} is {than} than on the other half: "
            f"{first.value:.2f} against {second.value:.2f} mm (U {expanded:.2f})."
        )
    return HalfValueRecord(
        name=first.name.value,
        statistic=first.statistic.value,
        first=first.value,
        second=second.value,
        difference=difference,
        expanded_uncertainty=expanded,
        unit=first.unit.value,
        words=said,
    )


def _own(budget: Iterable[Component]) -> float:
    """What is not in common to both halves: crests are missed in each by itself."""
    own = (c for c in budget if c.scope is Scope.STATION or c.source == MISSED)
    return math.hypot(0.0, *(c.standard_uncertainty for c in own))
