"""Changes of the pulse times. The background time is never made shorter: that crowds the steps."""

from dataclasses import replace
from typing import Final

from beadcheck.advice.amounts.worded import Worded
from beadcheck.advice.situation import Situation
from beadcheck.arc import PulsedArc
from beadcheck.arc.power import mean_current_a
from beadcheck.coupon import PulseTimes
from beadcheck.coupon.pulse_times import LONGEST_S
from beadcheck.quantity import QuantityName, Statistic

STEP_RATIO: Final = 0.15
"""By how much to change a pulse time at once (common practice, no published source)."""
CROWDED: Final = (
    "Check how far apart the pulse spots lie: where they crowd, move farther per pulse instead."
)
ASK: Final = "Give the pulse times in seconds, and this says from what to what."


def lengthen_peak(situation: Situation) -> Worded | None:
    """Lengthen the peak time; None where the current does not pulse."""
    return _peak(situation, "Lengthen", 1.0 + STEP_RATIO)


def shorten_peak(situation: Situation) -> Worded | None:
    """Shorten the peak time; None where the current does not pulse.

    Crowded steps would do the same harm: where no photo shows the spots, an eye looks first.
    """
    worded = _peak(situation, "Shorten", 1.0 - STEP_RATIO)
    if worded is None or situation.one(QuantityName.PULSE_OVERLAP, Statistic.MEAN) is not None:
        return worded
    return replace(worded, look_first=CROWDED)


def lengthen_background(situation: Situation) -> Worded | None:
    """Lengthen the background time; None where the current does not pulse."""
    if not situation.is_pulsed:
        return None
    times = situation.times
    if times is None:
        return Worded(change=f"Lengthen the background time {_by_words()}.", needs=ASK)
    if (1.0 + STEP_RATIO) * times.background_s >= LONGEST_S:
        return None
    then = replace(times, background_s=(1.0 + STEP_RATIO) * times.background_s)
    change = (
        f"Lengthen the background time from {_s(times.background_s)} to {_s(then.background_s)}"
    )
    return Worded(change=f"{change}{_means(situation, times, then)}.")


def _peak(situation: Situation, verb: str, factor: float) -> Worded | None:
    if not situation.is_pulsed:
        return None
    times = situation.times
    if times is None:
        return Worded(change=f"{verb} the peak time {_by_words()}.", needs=ASK)
    if factor * times.peak_s >= LONGEST_S:
        return None
    then = replace(times, peak_s=factor * times.peak_s)
    change = f"{verb} the peak time from {_s(times.peak_s)} to {_s(then.peak_s)}"
    kept = f", and leave the background time at {_s(times.background_s)}"
    return Worded(change=f"{change}{kept}{_means(situation, times, then)}.")


def _by_words() -> str:
    return f"by about {100.0 * STEP_RATIO:.0f} %"


def _s(time_s: float) -> str:
    return f"{time_s:.2f} s" if time_s >= 0.1 else f"{time_s:.3f} s"


def _means(situation: Situation, before: PulseTimes, after: PulseTimes) -> str:
    """Mean current before and after, where both currents are known."""
    arc = situation.settings.arc
    if not isinstance(arc, PulsedArc):
        return ""
    levels = arc.peak.current.value, arc.background.current.value
    was, becomes = (mean_current_a(*levels, times.peak_share) for times in (before, after))
    return f": the mean current goes from {was:.0f} A to about {becomes:.0f} A"
