"""What the ripples of a pulsed GTAW pass tell of pulse overlap and travel speed."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from beadcheck.arc.pulses import footprint_mm, pulses_per_ripple, refuse_restless_weave
from beadcheck.arc.stated import PULSE_TIMES
from beadcheck.arc.travel import speed_of_ripples_mm_s, what_follows
from beadcheck.coupon import PanelTimes, Process, PulseTimes, RippleLine, TorchMotion, Weave
from beadcheck.errors.arc import RipplesOfWeaveError
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

GIVE_TIMES: Final = "Give the peak and background times as set on the machine, in seconds."


def pulse_quantities(
    spacing: Quantity | NotMeasured,
    width: Quantity | NotMeasured,
    pulse: PulseTimes | None,
    process: Process | None,
    *,
    panel: PanelTimes | None = None,
    motion: TorchMotion = TorchMotion.STEPPED,
    weave: Weave = Weave.NONE,
) -> tuple[Quantity | NotMeasured, ...]:
    """Pulse overlap, and travel speed where the pulse times are known.

    Parameters
    ----------
    spacing, width
        Mean ripple spacing along the middle line and mean weld width, in mm, or why there is none.
    panel
        Numbers beside the pulse knobs, where nobody has confirmed that they are seconds.
    motion
        Stands on the peak and steps on the background, as pulsed GTAW is welded by hand, unless
        something else is said.

    Returns
    -------
    tuple
        Empty unless the pass is pulsed GTAW: only there does every pulse leave one ripple.

    Raises
    ------
    WeaveWithoutPausesError
        If the torch weaves from pause to pause, and never stands.
    """
    if process is not Process.GTAW_PULSED:
        return ()
    refuse_restless_weave(weave, motion)
    try:
        apart = pulses_per_ripple(weave, RippleLine.MIDDLE)
    except RipplesOfWeaveError as refusal:
        return tuple(
            NotMeasured(name=name, reason=refusal.reason, how_to=refusal.how_to)
            for name in (QuantityName.PULSE_OVERLAP, QuantityName.TRAVEL_SPEED)
        )
    return (
        _overlap(spacing, width, pulse, motion),
        _travel_speed(spacing, pulse, panel, apart),
    )


def least_overlap(
    spacings: Sequence[Quantity | NotMeasured],
    width: Quantity | NotMeasured,
    pulse: PulseTimes | None,
    process: Process | None,
    *,
    motion: TorchMotion = TorchMotion.STEPPED,
    weave: Weave = Weave.NONE,
) -> tuple[Quantity, ...]:
    """Overlap of the two spots that lie farthest apart: below zero is an unwelded gap there.

    Parameters
    ----------
    spacings
        All that is known of the ripple spacing along the middle line, in mm.
    width, pulse, process, motion, weave
        As for `pulse_quantities`, which tells why there is no overlap.

    Returns
    -------
    tuple
        Empty where the mean overlap is not measured either. A crest that was missed looks like a
        long step; the doubt of the longest gap counts it.
    """
    if process is not Process.GTAW_PULSED or weave is not Weave.NONE:
        return ()
    for each in spacings:
        if isinstance(each, Quantity) and each.statistic is Statistic.MAX:
            found = _overlap(each, width, pulse, motion)
            if isinstance(found, Quantity):
                return (replace(found, statistic=Statistic.MIN),)
    return ()


def _overlap(
    spacing: Quantity | NotMeasured,
    width: Quantity | NotMeasured,
    pulse: PulseTimes | None,
    motion: TorchMotion,
) -> Quantity | NotMeasured:
    """1 - spacing / length of the mark; below zero is an unwelded gap.

    The mark is the spot under a standing torch, stretched by the travel of a torch that never
    stands (both forms: `beadcheck.arc.pulses`). The doubt of the pulse times cancels in the share.
    """
    if isinstance(spacing, NotMeasured):
        return replace(spacing, name=QuantityName.PULSE_OVERLAP)
    if isinstance(width, NotMeasured):
        return replace(width, name=QuantityName.PULSE_OVERLAP)
    if motion is TorchMotion.STEADY and pulse is None:
        return NotMeasured(
            name=QuantityName.PULSE_OVERLAP,
            reason="A torch that travels steadily stretches each spot by its travel on the peak.",
            how_to=GIVE_TIMES,
        )
    share = 0.0 if pulse is None else pulse.peak_share
    spot_mm = SPOT_LENGTH_PER_WIDTH * width.value
    mark_mm = footprint_mm(spot_mm, spacing.value, share, motion)
    per_spot = spacing.value / mark_mm**2
    return Quantity(
        name=QuantityName.PULSE_OVERLAP,
        statistic=Statistic.MEAN,
        value=1.0 - spacing.value / mark_mm,
        unit=Unit.RATIO,
        count=spacing.count,
        budget=(
            *(c.times(spot_mm / mark_mm**2) for c in spacing.budget),
            *(c.times(per_spot * SPOT_LENGTH_PER_WIDTH) for c in width.budget),
            Component(
                source="spot length taken as the weld width",
                standard_uncertainty=per_spot * width.value * SPOT_ROUNDNESS / math.sqrt(3.0),
                scope=Scope.DEFINITION,
            ),
        ),
        s_range_mm=spacing.s_range_mm,
    )


def _travel_speed(
    spacing: Quantity | NotMeasured,
    pulse: PulseTimes | None,
    panel: PanelTimes | None,
    apart: int,
) -> Quantity | NotMeasured:
    """Mean spacing over the time from ripple to ripple, which are some pulses apart."""
    if isinstance(spacing, NotMeasured):
        return replace(spacing, name=QuantityName.TRAVEL_SPEED)
    if panel is not None:
        follows = what_follows(panel, Process.GTAW_PULSED, ripples_mm=spacing.value, pulses=apart)
        refusal = panel.refusal(follows)
        return NotMeasured(
            name=QuantityName.TRAVEL_SPEED, reason=refusal.reason, how_to=refusal.how_to
        )
    if pulse is None:
        return NotMeasured(
            name=QuantityName.TRAVEL_SPEED,
            reason="The pulse cycle is not known.",
            how_to=GIVE_TIMES,
        )
    speed_mm_s = speed_of_ripples_mm_s(spacing.value, pulse.period_s, apart)
    return Quantity(
        name=QuantityName.TRAVEL_SPEED,
        statistic=Statistic.MEAN,
        value=speed_mm_s,
        unit=Unit.MM_PER_S,
        count=spacing.count,
        budget=(
            *(c.times(speed_mm_s / spacing.value) for c in spacing.budget),
            Component(
                source="pulse times as set",
                standard_uncertainty=speed_mm_s * PULSE_TIMES / math.sqrt(3.0),
                scope=Scope.PHOTO,
            ),
        ),
        s_range_mm=spacing.s_range_mm,
    )
