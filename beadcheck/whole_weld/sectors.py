"""Numbers by sector of the clock, or by equal stretches of a plate's weld."""

import math
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon, TorchMotion
from beadcheck.measurements.pulse import least_overlap, pulse_quantities
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.result import ProfileRecord, ReadingRecord, SectorRecord, SectorValueRecord
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.numbers import (
    MISSED,
    Shown,
    Waves,
    spacing_quantities,
    waves_of,
    waviness_quantities,
    width_quantities,
)

LEAST_COVERED: Final = 0.3
"""A sector of which less is seen has no numbers."""
ONE_MISSED: Final = 0.35
"""Part of a mean gap, times the number of crests in doubt, by which a single gap may be off because
of them: the same as in a single photo (`measurements/ripple_spacing.py`)."""


def sector_records(
    shown: Shown,
    clock: Clock,
    coupon: Coupon,
    arc: ArcSettings,
    profiles: Sequence[ProfileRecord],
    *,
    count: int,
) -> tuple[SectorRecord, ...]:
    """Every sector; on pipe 12 o'clock lies in the middle of the first, as on a clock's face."""
    line = shown.line
    wide_mm = line.length_mm / count
    waves = waves_of(line)
    found = []
    for number in range(count):
        # The clock may run against the strip: sectors go by the clock.
        place = number if clock.sense >= 0 else -number % count
        from_mm = (place - (0.5 if line.closed else 0.0)) * wide_mm
        found.append(
            _sector(
                shown, clock, coupon, arc, profiles, waves, number=number, ends=(from_mm, wide_mm)
            )
        )
    return tuple(found)


def _sector(
    shown: Shown,
    clock: Clock,
    coupon: Coupon,
    arc: ArcSettings,
    profiles: Sequence[ProfileRecord],
    waves: Waves,
    *,
    number: int,
    ends: tuple[float, float],
) -> SectorRecord:
    line = shown.line
    from_mm, wide_mm = ends
    into_mm = line.arc_mm - from_mm
    if line.closed:
        into_mm = np.mod(into_mm, line.length_mm)
    where = (into_mm >= 0.0) & (into_mm < wide_mm)
    covered = float(np.mean(line.seen[where])) if where.any() else 0.0
    values: tuple[Quantity, ...] = ()
    if covered >= LEAST_COVERED:
        values = part_quantities(shown, waves, where, ends=ends, coupon=coupon, arc=arc)
    heights = _heights(profiles, clock, from_mm, wide_mm)
    return SectorRecord(
        number=number,
        from_arc_mm=from_mm,
        to_arc_mm=from_mm + wide_mm,
        middle_clock_deg=clock.degrees(from_mm + 0.5 * wide_mm),
        covered_ratio=covered,
        values=(*map(_value, values), *heights),
    )


def part_quantities(
    shown: Shown,
    waves: Waves,
    where: np.ndarray,
    *,
    ends: tuple[float, float],
    coupon: Coupon,
    arc: ArcSettings,
) -> tuple[Quantity, ...]:
    """Everything that photos from above tell of a part of the weld.

    `ends` are where it begins and how long it is, in mm.
    """
    widths = width_quantities(shown, where)
    spacings = spacing_quantities(shown, ends[0], ends[0] + ends[1])
    overlaps: tuple[Quantity, ...] = ()
    if widths and spacings:
        pulses = pulse_quantities(
            spacings[0],
            widths[0],
            coupon.pulse,
            coupon.process,
            panel=coupon.panel_times,
            motion=arc.motion or TorchMotion.STEPPED,
            weave=arc.weave,
        )
        overlaps = tuple(
            each
            for each in pulses
            if isinstance(each, Quantity) and each.name is QuantityName.PULSE_OVERLAP
        ) + least_overlap(
            [_longest_step(spacings)],
            widths[0],
            coupon.pulse,
            coupon.process,
            motion=arc.motion or TorchMotion.STEPPED,
            weave=arc.weave,
        )
    return (*widths, *waviness_quantities(shown, waves, where), *spacings, *overlaps)


def _longest_step(spacings: Sequence[Quantity]) -> Quantity:
    """Longest gap, with the doubt that a crest was missed in it, as in a single photo."""
    mean, longest = (
        next(each for each in spacings if each.statistic is statistic)
        for statistic in (Statistic.MEAN, Statistic.MAX)
    )
    missed = math.hypot(*(c.standard_uncertainty for c in mean.budget if c.source == MISSED))
    doubt = Component(
        source=MISSED,
        standard_uncertainty=ONE_MISSED * mean.count * missed,
        scope=Scope.PHOTO,
    )
    return longest.with_components(doubt)


def _value(quantity: Quantity) -> SectorValueRecord:
    return SectorValueRecord(
        name=quantity.name.value,
        statistic=quantity.statistic.value,
        value=float(quantity.value),
        unit=quantity.unit.value,
        expanded_uncertainty=float(quantity.expanded_uncertainty),
        count=int(quantity.count),
        side=None if quantity.side is None else quantity.side.value,
    )


def _heights(
    profiles: Iterable[ProfileRecord], clock: Clock, from_mm: float, wide_mm: float
) -> tuple[SectorValueRecord, ...]:
    """Mean, least and greatest of what profiles of this sector say; a plate's are not placed."""
    if clock.sense == 0:
        return ()
    named: dict[tuple[str, str | None, str], list[ReadingRecord]] = {}
    for profile in profiles:
        if profile.clock_deg is None:
            continue
        arc_mm = clock.sense * profile.clock_deg / 360.0 * clock.length_mm
        if (arc_mm - from_mm) % clock.length_mm < wide_mm:
            for reading in profile.readings:
                named.setdefault((reading.name, reading.side, reading.unit), []).append(reading)
    return tuple(
        record
        for (name, side, unit), readings in named.items()
        for record in _height(name, side, unit, readings)
    )


def _height(
    name: str, side: str | None, unit: str, readings: Sequence[ReadingRecord]
) -> Iterable[SectorValueRecord]:
    """Yield what several sections say; their uncertainties are taken to be in common."""
    values = [reading.value for reading in readings]
    widest = max(reading.expanded_uncertainty for reading in readings)
    for statistic, value in (
        (Statistic.MEAN, sum(values) / len(values)),
        (Statistic.MIN, min(values)),
        (Statistic.MAX, max(values)),
    ):
        yield SectorValueRecord(
            name=name,
            statistic=statistic.value,
            value=value,
            unit=unit,
            expanded_uncertainty=widest,
            count=len(values),
            side=side,
        )
