"""Where along the weld greatest and least values were read, for the words of advice."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from beadcheck.advice import Place
from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.result import ProfileRecord, RippleRecord, StationRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """One reading of a quantity, and where it was taken."""

    name: str
    side: str | None
    value: float
    s_mm: float
    clock_deg: float | None


def places_of(
    quantities: Iterable[Quantity],
    stations: Sequence[StationRecord],
    ripples: Sequence[RippleRecord],
    profiles: Sequence[ProfileRecord],
) -> tuple[Place, ...]:
    """Place of each greatest and least value that one reading of a take explains.

    A value that no reading comes near, within its expanded uncertainty, gets no place.
    """
    reads = [*_widths(stations), *_gaps(ripples, stations), *_heights(profiles)]
    found = (_place(each, reads) for each in quantities)
    return tuple(place for place in found if place is not None)


def _place(quantity: Quantity, reads: Sequence[_Read]) -> Place | None:
    if quantity.statistic not in (Statistic.MIN, Statistic.MAX):
        return None
    side = None if quantity.side is None else quantity.side.value
    alike = [r for r in reads if r.name == quantity.name and side in (None, r.side)]
    if not alike:
        return None
    nearest = min(alike, key=lambda read: abs(read.value - quantity.value))
    if abs(nearest.value - quantity.value) > quantity.expanded_uncertainty:
        return None
    return Place(
        name=quantity.name,
        statistic=quantity.statistic,
        side=quantity.side,
        s_mm=nearest.s_mm,
        clock_deg=nearest.clock_deg,
    )


def _widths(stations: Iterable[StationRecord]) -> Iterator[_Read]:
    for each in stations:
        if each.weld_width_mm is not None and each.s_mm is not None and each.sure and each.steady:
            yield _Read(
                name=QuantityName.WELD_WIDTH,
                side=None,
                value=each.weld_width_mm,
                s_mm=each.s_mm,
                clock_deg=each.clock_deg,
            )


def _gaps(ripples: Iterable[RippleRecord], stations: Sequence[StationRecord]) -> Iterator[_Read]:
    """Gaps between crests; the clock is that of the nearest station."""
    crests = sorted(each.s_mm for each in ripples if each.s_mm is not None)
    clocks = [(each.s_mm, each.clock_deg) for each in stations if each.s_mm is not None]
    for first, second in pairwise(crests):
        middle = 0.5 * (first + second)
        near = min(clocks, key=lambda clock: abs(clock[0] - middle), default=(middle, None))
        yield _Read(
            name=QuantityName.RIPPLE_SPACING,
            side=None,
            value=second - first,
            s_mm=middle,
            clock_deg=near[1],
        )


def _heights(profiles: Iterable[ProfileRecord]) -> Iterator[_Read]:
    for profile in profiles:
        for each in profile.readings:
            yield _Read(
                name=each.name,
                side=each.side,
                value=each.value,
                s_mm=profile.s_mm,
                clock_deg=profile.clock_deg,
            )
