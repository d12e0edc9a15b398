"""Changes of current, never out of the range that procedure or electrode allow."""

import math
from typing import Final

from beadcheck.advice.amounts.worded import Worded, span_words
from beadcheck.advice.situation import CurrentRange, Situation
from beadcheck.arc import PulsedArc
from beadcheck.arc.power import mean_current_a

STEP_A: Final = (5.0, 10.0)
"""Least and most to change at once (common practice, no published source)."""
STEP_RATIO: Final = (0.05, 0.10)
"""The same of a current below 100 A, of which 10 A would be much (our choice)."""
BACKGROUND_RATIO: Final = 0.10
"""By how much to lower a background current at once (common practice, no published source)."""
LEAST_CHANGE_A: Final = 1.0
"""Less than this no panel shows."""
ASK: Final = "Give the current with the settings, and this says from what to what."


def raise_current(situation: Situation) -> Worded | None:
    """Raise the current, or the peak current; None where the range ends at what is set."""
    return _turned(situation, up=True)


def lower_current(situation: Situation) -> Worded | None:
    """Lower the current, or the peak current; None where the range begins at what is set."""
    return _turned(situation, up=False)


def lower_background(situation: Situation) -> Worded | None:
    """Lower the background current of a pulsed arc; None where the current does not pulse."""
    arc = situation.settings.arc
    if isinstance(arc, PulsedArc):
        now = arc.background.current.value
        then = (1.0 - BACKGROUND_RATIO) * now
        change = f"Lower the background current from {now:.0f} A to about {then:.0f} A"
        if arc.percent is not None:
            part = arc.percent.value
            change = (
                f"Lower the background from {part:.0f} % of the peak to about "
                f"{(1.0 - BACKGROUND_RATIO) * part:.0f} % ({now:.0f} A to about {then:.0f} A)"
            )
        means = _means(situation, arc.peak.current.value, now, arc.peak.current.value, then)
        return Worded(change=f"{change}{means}.")
    if not situation.is_pulsed:
        return None
    return Worded(change="Lower the background current by about a tenth.", needs=ASK)


def _turned(situation: Situation, *, up: bool) -> Worded | None:
    verb = "Raise" if up else "Lower"
    arc, now, allowed = situation.settings.arc, situation.set_current_a, situation.allowed
    what = "peak current" if isinstance(arc, PulsedArc) or situation.is_pulsed else "current"
    if now is None:
        by = span_words(*STEP_A, "A")
        return Worded(change=f"{verb} the {what} by {by}, {_end_words(allowed, up=up)}.", needs=ASK)
    aim = _aim_a(now, allowed, up=up)
    if aim is None:
        return None
    ends = "" if allowed else f", {_end_words(allowed, up=up)}"
    change = f"{verb} the {what} from {now:.0f} A to {span_words(*aim, 'A')}{ends}"
    if isinstance(arc, PulsedArc):
        change += _background_follows(situation, arc, 0.5 * sum(aim))
    return Worded(change=f"{change}.")


def _aim_a(now_a: float, allowed: CurrentRange | None, *, up: bool) -> tuple[float, float] | None:
    """Lowest and highest current to turn to, in whole ampere; None where there is none that way.

    A current that is outside of the range already goes back to its nearer end, however far.
    """
    steps = [min(step, ratio * now_a) for step, ratio in zip(STEP_A, STEP_RATIO, strict=True)]
    ends = sorted(now_a + step if up else now_a - step for step in steps)
    low, high = (round(end) for end in ends)
    if allowed is not None:
        # Whole ampere that no rounding carries out of the range.
        lowest, highest = math.ceil(allowed.lowest_a), math.floor(allowed.highest_a)
        if lowest > highest:
            return None
        low, high = (min(max(end, lowest), highest) for end in (low, high))
    nearest = low - now_a if up else now_a - high
    farthest = high - now_a if up else now_a - low
    if farthest < LEAST_CHANGE_A:
        return None
    if nearest < LEAST_CHANGE_A:
        low, high = (high, high) if up else (low, low)
    return low, high


def _end_words(allowed: CurrentRange | None, *, up: bool) -> str:
    if allowed is None:
        return "within what the procedure and the electrode allow"
    end = allowed.highest_a if up else allowed.lowest_a
    return f"to no {'more' if up else 'less'} than the {end:g} A that the {allowed.stated_by} sets"


def _background_follows(situation: Situation, arc: PulsedArc, peak_a: float) -> str:
    """What becomes of the mean, where the background is kept at its part of the peak."""
    peak, background = arc.peak.current.value, arc.background.current.value
    part = background / peak
    kept = f", with the background kept at {100.0 * part:.0f} % of it"
    if arc.percent is None:
        # This machine sets the background in ampere, so that it does not follow by itself.
        kept += f", about {part * peak_a:.0f} A"
    return kept + _means(situation, peak, background, peak_a, part * peak_a)


def _means(situation: Situation, *levels_a: float) -> str:
    """Mean current before and after, where the times are known."""
    if situation.times is None:
        return ""
    share = situation.times.peak_share
    before = mean_current_a(levels_a[0], levels_a[1], share)
    after = mean_current_a(levels_a[2], levels_a[3], share)
    return f": the mean current goes from {before:.0f} A to about {after:.0f} A"
