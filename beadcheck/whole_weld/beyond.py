"""Where along the whole weld a quantity lies beyond its limit, and by how much."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from beadcheck.coupon import Coupon
from beadcheck.limits import Limit, LimitSet, Sense, limits_for
from beadcheck.quantity import COVERAGE_FACTOR, QuantityName, Statistic
from beadcheck.result import BeyondLimitRecord, ProfileRecord
from beadcheck.units import Unit
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.cover import runs_of
from beadcheck.whole_weld.merge import Line
from beadcheck.whole_weld.view import Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Along:
    """One quantity at N places: values, how far each lies beyond the limit, and U."""

    name: str
    unit: str
    source: str
    limit: float
    values: Floats
    beyond: Floats
    expanded: Floats


def beyond_limits(
    line: Line,
    clock: Clock,
    profiles: Sequence[ProfileRecord],
    *,
    limit_set: LimitSet,
    coupon: Coupon,
) -> tuple[BeyondLimitRecord, ...]:
    """Every stretch over which the width lies beyond a limit, and every section whose heights do.

    Limits that hang on a thickness that was not given are left out.
    """
    seen = line.seen
    if not seen.any():
        return ()
    mean_mm = float(np.mean(line.width_mm[seen]))
    found: list[BeyondLimitRecord] = []
    for limit in limits_for(limit_set, coupon):
        if limit.needs_thickness and coupon.wall_thickness_mm is None:
            continue
        if mean_mm not in limit.widths or limit.stretches is not None:
            continue
        allowed = limit.at(width_mm=mean_mm, thickness_mm=coupon.wall_thickness_mm or 0.0)
        if limit.quantity is QuantityName.WELD_WIDTH:
            found += _stretches(_widths(line, limit, allowed, mean_mm), line, clock)
        elif limit.relative_to is None and clock.sense != 0:
            found += _sections(profiles, limit, allowed, clock)
    return tuple(sorted(found, key=lambda each: (not each.sure, each.from_arc_mm)))


def _widths(line: Line, limit: Limit, allowed: float, mean_mm: float) -> _Along:
    """Widths against a limit of their own, or of their distance from the mean."""
    values = line.width_mm
    if limit.relative_to is not None:
        sign = -1.0 if limit.statistic is Statistic.MIN else 1.0
        beyond = sign * (values - mean_mm) - allowed
    else:
        beyond = _past(values, limit, allowed)
    return _Along(
        name=limit.quantity.value,
        unit=limit.unit.value,
        source=limit.source,
        limit=allowed,
        values=values,
        beyond=beyond,
        # Against the mean of the same photos only what each place owns is in doubt.
        expanded=COVERAGE_FACTOR * (line.own_u_mm if limit.relative_to is not None else line.u_mm),
    )


def _past(values: Floats, limit: Limit, allowed: float) -> Floats:
    """How far values lie past the limit, on whichever side of it is not wanted."""
    over, under = values - allowed, (allowed if limit.lowest is None else limit.lowest) - values
    if limit.sense is Sense.AT_LEAST:
        return under
    return np.maximum(over, under) if limit.sense is Sense.BETWEEN else over


def _stretches(along: _Along, line: Line, clock: Clock) -> list[BeyondLimitRecord]:
    step = line.step_mm
    found = []
    for start, end in runs_of(np.nan_to_num(along.beyond) > 0.0, closed=line.closed):
        places = np.arange(start, end) % line.arc_mm.size
        worst = int(places[np.argmax(along.beyond[places])])
        found.append(
            BeyondLimitRecord(
                name=along.name,
                from_arc_mm=start * step,
                to_arc_mm=end * step,
                from_clock_deg=clock.degrees(start * step),
                to_clock_deg=clock.degrees(end * step),
                worst_arc_mm=float(line.arc_mm[worst]),
                worst_clock_deg=clock.degrees(float(line.arc_mm[worst])),
                worst_value=float(along.values[worst]),
                expanded_uncertainty=float(along.expanded[worst]),
                limit=along.limit,
                beyond=float(along.beyond[worst]),
                unit=along.unit,
                sure=bool(along.beyond[worst] > along.expanded[worst]),
                source=along.source,
            )
        )
    return found


def _sections(
    profiles: Iterable[ProfileRecord], limit: Limit, allowed: float, clock: Clock
) -> list[BeyondLimitRecord]:
    """Single sections whose reading lies past its limit."""
    found = []
    for profile in profiles:
        if profile.clock_deg is None:
            continue
        arc_mm = clock.sense * profile.clock_deg / 360.0 * clock.length_mm % clock.length_mm
        for reading in profile.readings:
            if reading.name != limit.quantity or Unit(reading.unit) is not limit.unit:
                continue
            beyond = float(_past(np.array([reading.value]), limit, allowed)[0])
            if beyond <= 0.0:
                continue
            found.append(
                BeyondLimitRecord(
                    name=reading.name,
                    from_arc_mm=arc_mm,
                    to_arc_mm=arc_mm,
                    from_clock_deg=clock.degrees(arc_mm),
                    to_clock_deg=clock.degrees(arc_mm),
                    worst_arc_mm=arc_mm,
                    worst_clock_deg=clock.degrees(arc_mm),
                    worst_value=reading.value,
                    expanded_uncertainty=reading.expanded_uncertainty,
                    limit=allowed,
                    beyond=beyond,
                    unit=reading.unit,
                    sure=beyond > reading.expanded_uncertainty,
                    source=limit.source,
                )
            )
    return found
