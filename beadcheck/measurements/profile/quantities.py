"""From the readings of one take to its quantities: mean, spread, least and largest."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from beadcheck.measurements.profile.depth_length import depth_lengths
from beadcheck.measurements.profile.names import height_names, lies_in_groove
from beadcheck.measurements.profile.reading import ProfileReading
from beadcheck.measurements.profile.section import Floats, expected_largest, rectangular
from beadcheck.measurements.profile.value import SectionValue, station
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
    combined_standard_uncertainty,
)

OF_THE_FACE: Final = (QuantityName.UNDERFILL, QuantityName.CONCAVITY)
LEAST_FOR_SPREAD: Final = 3
"""Sections that a standard deviation needs, and evenness too: one section shows none."""
SIDED: Final = (QuantityName.UNDERCUT_DEPTH, QuantityName.TOE_ANGLE)
ONLY_LARGEST: Final = (
    QuantityName.UNDERCUT_DEPTH,
    QuantityName.UNDERFILL,
    QuantityName.CONCAVITY,
    QuantityName.CONVEXITY,
)
"""Depths and heights that are zero where there is none: their mean would be noise."""
OF_A_WIDTH: Final = (Statistic.MEAN, Statistic.SD, Statistic.MIN, Statistic.MAX)
MOST_UNSEEN: Final = 0.2
"""Share of sections that may hide an undercut when the deepest is given."""
LONE_U: Final = 5.0
LONE_PART: Final = 0.25
"""A section that sticks out from both neighbours by this many standard uncertainties of the
difference, and by this part of itself, was misread: sections this near share their metal."""
UNSURE_TIMES: Final = 3.0
"""Sections whose own uncertainty is larger than this many times the usual one tell nothing more."""
NEIGHBOURS_MM: Final = 2.5


def profile_quantities(
    readings: Sequence[ProfileReading],
) -> tuple[Quantity | NotMeasured, ...]:
    """Mean, standard deviation, least and largest of every height over the readings of one take.

    Budgets are complete: scale across, gain and form are in them. A name that no reading gives is
    NotMeasured, for the reason that most of them have.

    Parameters
    ----------
    readings
        One or more, of one pass.
    """
    weld_pass = readings[0].weld_pass
    found: list[Quantity | NotMeasured] = []
    for name in height_names(weld_pass):
        if name is QuantityName.UNDERCUT_LENGTH:
            found += depth_lengths(readings, QuantityName.UNDERCUT_DEPTH)
            continue
        for side in Side if name in SIDED else (None,):
            found += _of_name(readings, name, side)
        if name in OF_THE_FACE and not lies_in_groove(weld_pass):
            found += _lengths_of_face(readings, name)
    width = _values(readings, QuantityName.WELD_WIDTH, None)
    if width:
        statistics = OF_A_WIDTH if len(width) >= LEAST_FOR_SPREAD else OF_A_WIDTH[:1]
        found += _quantities(width, statistics)
    # What holds for both sides is said once.
    return tuple(
        each
        for i, each in enumerate(found)
        if not (isinstance(each, NotMeasured) and each in found[:i])
    )


def _lengths_of_face(readings: Sequence[ProfileReading], name: QuantityName) -> list[Quantity]:
    """How long the face lies low; nothing where it surely does nowhere, or sections are sparse.

    Only the clause of a limit asks for it, and its finding says what would decide it.
    """
    values = [value for _, value in _values(readings, name, None)]
    if not any(value.value + value.standard_uncertainty > 0.0 for value in values):
        return []
    return [each for each in depth_lengths(readings, name) if isinstance(each, Quantity)]


Placed = tuple[float, SectionValue]
"""A section's station and its value."""


def _values(
    readings: Sequence[ProfileReading], name: QuantityName, side: Side | None
) -> list[Placed]:
    found = [(reading.profile.s_mm, reading.value(name, side)) for reading in readings]
    return [(s_mm, value) for s_mm, value in found if value is not None]


def _of_name(
    readings: Sequence[ProfileReading], name: QuantityName, side: Side | None
) -> list[Quantity | NotMeasured]:
    values = _without_lone(_telling(_values(readings, name, side)))
    hidden = len(readings) - len(values)
    if name is QuantityName.UNDERCUT_DEPTH and hidden > MOST_UNSEEN * len(readings):
        return [_most_common(readings, name, side)]
    if values and name in ONLY_LARGEST:
        return list(_quantities(values, (Statistic.MAX,)))
    if values:
        statistics = [Statistic.MEAN, Statistic.MIN, Statistic.MAX]
        if name is QuantityName.LINEAR_MISALIGNMENT:
            statistics.remove(Statistic.MIN)
        if len(values) >= LEAST_FOR_SPREAD:
            statistics.insert(1, Statistic.SD)
        return list(_quantities(values, statistics))
    return [_most_common(readings, name, side)]


def _telling(values: list[Placed]) -> list[Placed]:
    """Sections without those far less sure than most, which would be picked as the extreme.

    A section that surely shows none of it says nothing of how sure the others usually are.
    """
    doubts = [u for _, value in values if (u := _own_u(value)) > 0.0]
    if len(values) < LEAST_FOR_SPREAD or not doubts:
        return values
    usual = float(np.median(doubts))
    return [(s_mm, value) for s_mm, value in values if _own_u(value) <= UNSURE_TIMES * usual]


def _without_lone(values: list[Placed]) -> list[Placed]:
    """Sections without those that stick out from both their near neighbours."""
    ordered = sorted(values, key=lambda placed: placed[0])
    kept = []
    for i, (s_mm, value) in enumerate(ordered):
        near = [
            other
            for at, other in (ordered[i - 1 : i] + ordered[i + 1 : i + 2])
            if abs(at - s_mm) <= NEIGHBOURS_MM
        ]
        apart = [
            (value.value - other.value)
            / max(
                LONE_U * math.hypot(_own_u(value), _own_u(other)),
                LONE_PART * abs(value.value),
                LONE_PART * abs(other.value),
                1e-9,
            )
            for other in near
        ]
        if len(apart) < 2 or not (min(apart) > 1.0 or max(apart) < -1.0):
            kept.append((s_mm, value))
    return kept


def _most_common(
    readings: Sequence[ProfileReading], name: QuantityName, side: Side | None
) -> NotMeasured:
    """Return the reason that most readings have; sides are told apart by their words."""
    told = [each for reading in readings for each in reading.missing if each.name is name]
    of_side = [each for each in told if side is not None and f" {side.value} toe" in each.reason]
    # Where no weld stands out at all, one reason holds for both sides.
    return max(of_side or told, key=(of_side or told).count)


def _quantities(values: Sequence[Placed], statistics: Iterable[Statistic]) -> tuple[Quantity, ...]:
    numbers = np.array([-value.value if value.falls else value.value for _, value in values])
    # Steps are averaged with their sense, and told by their size.
    if numbers.mean() < 0.0 and any(value.falls for _, value in values):
        numbers = -numbers
    own_u = np.array([_own_u(value) for _, value in values])
    return tuple(_quantity(values, numbers, own_u, statistic) for statistic in statistics)


def _quantity(
    values: Sequence[Placed], numbers: Floats, own_u: Floats, statistic: Statistic
) -> Quantity:
    first = values[0][1]
    if statistic is Statistic.MEAN:
        value, budget = float(numbers.mean()), _mean_budget(values)
    elif statistic is Statistic.SD:
        value, budget = _spread(numbers, own_u)
    else:
        value, budget = _extreme(values, numbers, own_u, statistic)
    stations = [s_mm for s_mm, _ in values]
    return Quantity(
        name=first.name,
        statistic=statistic,
        value=value,
        unit=first.unit,
        count=len(values),
        budget=budget,
        s_range_mm=(min(stations), max(stations)),
        side=first.side,
    )


def _own_u(value: SectionValue) -> float:
    """Standard uncertainty by what differs from section to section."""
    return combined_standard_uncertainty(
        each for each in value.budget if each.scope is Scope.STATION
    )


def _mean_budget(values: Sequence[Placed]) -> tuple[Component, ...]:
    """Effects of sections shrink in the mean; those that all share do not."""
    by_effect: dict[tuple[str, Scope], list[float]] = defaultdict(list)
    for _, value in values:
        for each in value.budget:
            by_effect[each.source, each.scope].append(each.standard_uncertainty)
    budget = [
        Component(
            source=source,
            standard_uncertainty=math.hypot(*us) / len(values)
            if scope is Scope.STATION
            else math.fsum(us) / len(values),
            scope=scope,
        )
        for (source, scope), us in by_effect.items()
    ]
    return tuple(budget)


def _spread(numbers: Floats, own_u: Floats) -> tuple[float, tuple[Component, ...]]:
    """Spread of the weld itself: the sections' own noise is taken out of what was read."""
    observed = float(numbers.std(ddof=1))
    noise = float(np.sqrt(np.mean(own_u**2)))
    value = math.sqrt(max(0.0, observed**2 - noise**2))
    # Standard deviation of a standard deviation (Ahn and Fessler, 2003), and doubt of the noise.
    return value, (
        station("number of sections", observed / math.sqrt(2.0 * (len(numbers) - 1))),
        station("noise taken out of the spread", rectangular(observed - value)),
    )


def _extreme(
    values: Sequence[Placed], numbers: Floats, own_u: Floats, statistic: Statistic
) -> tuple[float, tuple[Component, ...]]:
    """Least or largest of several noisy readings.

    The largest reading is too large: of n sections whose spread is S, the largest lies c_n S above
    their mean, but that of the weld itself only c_n sqrt(S^2 - u^2). What noise adds is taken off,
    but never so much that the largest would lie below the mean.
    """
    sign = 1.0 if statistic is Statistic.MAX else -1.0
    at = int((sign * numbers).argmax())
    value = float(numbers[at])
    if values[0][1].name is QuantityName.LINEAR_MISALIGNMENT:
        value = max(0.0, value)
    budget = values[at][1].budget
    if len(numbers) < LEAST_FOR_SPREAD:
        return value, _of_few(values, numbers, own_u, at)
    observed = float(numbers.std(ddof=1))
    noise = min(float(np.sqrt(np.mean(own_u**2))), observed)
    itself = math.sqrt(max(0.0, observed**2 - noise**2))
    excess = expected_largest(float(len(numbers))) * (observed - itself)
    # A value that cannot go below zero does not, whatever is taken off.
    floor = 0.0 if all(value.value >= 0.0 for _, value in values) else -math.inf
    corrected = max(floor, sign * max(sign * value - excess, sign * float(numbers.mean())))
    return corrected, (*budget, station("picking the extreme section", rectangular(excess)))


def _of_few(
    values: Sequence[Placed], numbers: Floats, own_u: Floats, at: int
) -> tuple[Component, ...]:
    budget = values[at][1].budget
    if len(numbers) == 1:
        return budget
    # Two noisy readings: the larger is 0.56 of their noise too large (mean of the larger of two).
    picked = expected_largest(2.0) * float(np.sqrt(np.mean(own_u**2)))
    return (*budget, station("picking the extreme section", rectangular(picked)))
