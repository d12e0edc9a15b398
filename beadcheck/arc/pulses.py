"""Pulse rate, travel per pulse, and overlap of the spots, both ways round.

The two forms of the overlap are those of *Process Fundamentals of Industrial Laser Welding and
Cutting*, p. 81 (verified in public text): with d the length of a spot, v the travel speed, f the
pulse rate and D the part of the cycle that is peak,

- travel during the pulse ignored: OL = 1 - (v / f) / d. So it is where the torch stands on the peak
  and steps on the background (`TorchMotion.STEPPED`);
- spot stretched by travel: OL = 1 - (v / f) / L with L = d + v D / f (`TorchMotion.STEADY`).
"""

import math

from beadcheck.coupon import RippleLine, TorchMotion, Weave
from beadcheck.errors.arc import (
    NoBackgroundLeftError,
    OverlapBeyondReachError,
    RipplesOfWeaveError,
    WeaveWithoutPausesError,
)


def pulse_rate_hz(period_s: float) -> float:
    """Pulses each second."""
    return 1.0 / period_s


def travel_per_pulse_mm(speed_mm_s: float, period_s: float) -> float:
    """Travel from pulse to pulse along the weld, in mm: v / f."""
    return speed_mm_s * period_s


def pulses_per_ripple(weave: Weave, line: RippleLine) -> int:
    """How many pulses lie between two ripples that follow each other along a line of the weld.

    Without a weave each pulse leaves one ripple, along any line. Where the pauses alternate between
    the edges, an edge gets every second pulse: one ripple for a pair, one pulse per side (common
    practice, no published source).

    Raises
    ------
    RipplesOfWeaveError
        For the middle line of a weave, where the crossings blur the count.
    """
    if weave is Weave.NONE:
        return 1
    if line is RippleLine.MIDDLE:
        raise RipplesOfWeaveError
    return 2


def spots_step_mm(travel_mm: float, weave: Weave) -> float:
    """Step from a spot to the one that it must overlap, in mm: the next one on the same edge."""
    return travel_mm * pulses_per_ripple(weave, RippleLine.EDGE)


def footprint_mm(spot_mm: float, travel_mm: float, peak_share: float, motion: TorchMotion) -> float:
    """Length of the mark that one pulse leaves along the weld, in mm.

    Parameters
    ----------
    spot_mm
        Length of the spot under a torch that stands.
    travel_mm
        Travel from pulse to pulse.
    """
    if motion is TorchMotion.STEPPED:
        return spot_mm
    return spot_mm + travel_mm * peak_share


def overlap_ratio(
    spot_mm: float, travel_mm: float, peak_share: float, motion: TorchMotion
) -> float:
    """Overlap of a spot with the next, as a ratio; below zero is an unwelded gap.

    Examples
    --------
    >>> round(overlap_ratio(4.0, 3.1, 0.5, TorchMotion.STEPPED), 3)
    0.225
    """
    return 1.0 - travel_mm / footprint_mm(spot_mm, travel_mm, peak_share, motion)


def travel_for_overlap_mm(
    wanted_ratio: float, spot_mm: float, peak_share: float, motion: TorchMotion
) -> float:
    """Travel from pulse to pulse, in mm, that gives a wanted overlap.

    Raises
    ------
    OverlapBeyondReachError
        If the overlap is below 0 or not below 1.

    Examples
    --------
    >>> travel_for_overlap_mm(0.6, 4.0, 0.5, TorchMotion.STEPPED)
    1.6
    """
    rest = _rest(wanted_ratio)
    stretch = peak_share if motion is TorchMotion.STEADY else 0.0
    return spot_mm * rest / (1.0 - stretch * rest)


def background_for_overlap_s(
    wanted_ratio: float, spot_mm: float, *, speed_mm_s: float, peak_s: float, motion: TorchMotion
) -> float:
    """Background time, in seconds, that gives a wanted overlap at a travel speed and peak time.

    Raises
    ------
    OverlapBeyondReachError
        If the overlap is below 0 or not below 1.
    NoBackgroundLeftError
        If the pulses would have to follow each other faster than the peak time lets them.
    """
    # The peak time is kept, so the mark is stretched by speed times peak, whatever the period.
    stretch_mm = speed_mm_s * peak_s if motion is TorchMotion.STEADY else 0.0
    period_s = _rest(wanted_ratio) * (spot_mm + stretch_mm) / speed_mm_s
    if period_s <= peak_s:
        raise NoBackgroundLeftError(speed_mm_s, 100.0 * wanted_ratio, period_s, peak_s)
    return period_s - peak_s


def pulses_round(outside_diameter_mm: float, travel_mm: float) -> float:
    """Pulses once round a pipe: its circumference over the travel from pulse to pulse.

    Examples
    --------
    >>> round(pulses_round(219.1, 1.6))
    430
    """
    return math.pi * outside_diameter_mm / travel_mm


def refuse_restless_weave(weave: Weave, motion: TorchMotion | None) -> None:
    """Refuse a torch that never stands and yet pauses at the edges.

    Raises
    ------
    WeaveWithoutPausesError
    """
    if weave is Weave.ALTERNATING and motion is TorchMotion.STEADY:
        raise WeaveWithoutPausesError


def _rest(wanted_ratio: float) -> float:
    """Part of the mark that is not overlapped."""
    if not 0.0 <= wanted_ratio < 1.0:
        raise OverlapBeyondReachError(100.0 * wanted_ratio)
    return 1.0 - wanted_ratio
