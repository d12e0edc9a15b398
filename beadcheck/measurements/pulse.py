"""What the ripples of a pulsed GTAW pass tell of pulse overlap and travel speed."""

import math
from dataclasses import replace
from typing import Final

from beadcheck.coupon import Process, PulseCycle
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Statistic,
)
from beadcheck.units import Unit

SPOT_LENGTH_PER_WIDTH: Final = 1.0
"""Length of the weld pool's footprint over its width while the torch dwells on the peak: a round
spot."""

SPOT_ROUNDNESS: Final = 0.10
"""Half width of that ratio, rectangular (common practice, no published source)."""

PULSE_TIMES: Final = 0.01
"""Half width of the pulse times as set on the machine, relative, rectangular (our estimate, no
published source)."""


def pulse_quantities(
    spacing: Quantity | NotMeasured,
    width: Quantity | NotMeasured,
    pulse: PulseCycle | None,
    process: Process | None,
) -> tuple[Quantity | NotMeasured, ...]:
    """Pulse overlap, and travel speed where the pulse cycle is known.

    Parameters
    ----------
    spacing, width
        Mean ripple spacing and mean weld width, in mm, or why there is none.

    Returns
    -------
    tuple
        Empty unless the pass is pulsed GTAW: only there does every pulse leave one ripple.
    """
    if process is not Process.GTAW_PULSED:
        return ()
    return (_overlap(spacing, width), _travel_speed(spacing, pulse))


def _overlap(
    spacing: Quantity | NotMeasured, width: Quantity | NotMeasured
) -> Quantity | NotMeasured:
    """1 - spacing / spot length; below zero is an unwelded gap."""
    if isinstance(spacing, NotMeasured):
        return replace(spacing, name=QuantityName.PULSE_OVERLAP)
    if isinstance(width, NotMeasured):
        return replace(width, name=QuantityName.PULSE_OVERLAP)
    spot_mm = SPOT_LENGTH_PER_WIDTH * width.value
    ratio = spacing.value / spot_mm
    return Quantity(
        name=QuantityName.PULSE_OVERLAP,
        statistic=Statistic.MEAN,
        value=1.0 - ratio,
        unit=Unit.RATIO,
        count=spacing.count,
        budget=(
            *(c.times(1.0 / spot_mm) for c in spacing.budget),
            *(c.times(ratio / width.value) for c in width.budget),
            Component(
                source="spot length taken as the weld width",
                standard_uncertainty=ratio * SPOT_ROUNDNESS / math.sqrt(3.0),
                scope=Scope.DEFINITION,
            ),
        ),
        s_range_mm=spacing.s_range_mm,
    )


def _travel_speed(
    spacing: Quantity | NotMeasured, pulse: PulseCycle | None
) -> Quantity | NotMeasured:
    """Mean spacing over the time from pulse to pulse."""
    if isinstance(spacing, NotMeasured):
        return replace(spacing, name=QuantityName.TRAVEL_SPEED)
    if pulse is None:
        return NotMeasured(
            name=QuantityName.TRAVEL_SPEED,
            reason="The pulse cycle is not known.",
            how_to="Give the peak and background times as set on the machine.",
        )
    speed_mm_s = spacing.value / pulse.period_s
    return Quantity(
        name=QuantityName.TRAVEL_SPEED,
        statistic=Statistic.MEAN,
        value=speed_mm_s,
        unit=Unit.MM_PER_S,
        count=spacing.count,
        budget=(
            *(c.times(1.0 / pulse.period_s) for c in spacing.budget),
            Component(
                source="pulse times as set",
                standard_uncertainty=speed_mm_s * PULSE_TIMES / math.sqrt(3.0),
                scope=Scope.PHOTO,
            ),
        ),
        s_range_mm=spacing.s_range_mm,
    )
