"""Changes of the travel from pulse to pulse, for a wanted overlap."""

from dataclasses import replace
from typing import Final

from beadcheck.advice.amounts.worded import Worded
from beadcheck.advice.situation import Situation, value_words
from beadcheck.arc import travel_remark
from beadcheck.arc.pulses import travel_for_overlap_mm
from beadcheck.coupon import TorchMotion
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

LARGEST_TIMES: Final = 2.0
"""No step is made more than twice as long at once (our choice)."""
MUCH_HOTTER: Final = (
    "At the same settings this puts {:.1f} times the heat on each millimetre: go there in two "
    "runs, and see that the pool does not sink through."
)
S_PER_MIN: Final = 60.0
DOUBT_TIMES: Final = "Time ten pulses with a watch before you trust the pulse times."
HARD_TO_HOLD: Final = "If you cannot hold it, ask for another overlap."
ASK: Final = "Give the pulse times in seconds, and this says the travel speed too."


def step_less(situation: Situation) -> Worded | None:
    """Move less from pulse to pulse; None where the overlap is not below what is aimed at."""
    factor = _factor(situation)
    if factor is None or factor >= 1.0:
        return None
    worded = _step(situation, factor)
    if factor >= 1.0 / LARGEST_TIMES:
        return worded
    hotter = MUCH_HOTTER.format(1.0 / factor)
    return replace(worded, look_first=" ".join(filter(None, (hotter, worded.look_first))))


def step_more(situation: Situation) -> Worded | None:
    """Move more from pulse to pulse; None where the overlap is not above what is aimed at."""
    factor = _factor(situation)
    return None if factor is None or factor <= 1.0 else _step(situation, factor)


def _factor(situation: Situation) -> float | None:
    """Wanted step over the present one; at its largest where the present one vanishes."""
    overlap = situation.one(QuantityName.PULSE_OVERLAP, Statistic.MEAN)
    if overlap is None or not situation.is_pulsed or not 0.0 <= situation.aimed_overlap_ratio < 1.0:
        return None
    rest = 1.0 - overlap.value
    if rest <= 0.0:
        return LARGEST_TIMES
    share = 0.0
    if situation.motion is TorchMotion.STEADY:
        if situation.times is None:
            return None
        share = situation.times.peak_share
    # In steps of the present length: the mark is 1 / rest long, of which travel made its share.
    spot = 1.0 / rest - share
    if spot <= 0.0:
        return None
    wanted = travel_for_overlap_mm(situation.aimed_overlap_ratio, spot, share, situation.motion)
    return min(wanted, LARGEST_TIMES)


def _step(situation: Situation, factor: float) -> Worded:
    aim = (
        f"towards {value_words(situation.aimed_overlap_ratio, Unit.RATIO)} overlap"
        if factor == LARGEST_TIMES
        else f"for {value_words(situation.aimed_overlap_ratio, Unit.RATIO)} overlap"
    )
    spacing = situation.one(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    if spacing is None or spacing.unit is not Unit.MM:
        change = f"Move about {100.0 * factor:.0f} % of your present step per pulse, {aim}"
    else:
        change = (
            f"Move about {factor * spacing.value:.1f} mm instead of {spacing.value:.1f} mm per "
            f"pulse, {aim}"
        )
    speed = situation.travel_speed
    if speed is None or situation.times is None:
        return Worded(change=f"{change}.", needs=ASK if situation.times is None else "")
    then = S_PER_MIN * factor * speed.value
    now = S_PER_MIN * speed.value
    now_odd = travel_remark(speed, situation.process)
    then_odd = travel_remark(replace(speed, value=factor * speed.value), situation.process)
    doubt = f"{now_odd} {DOUBT_TIMES}" if now_odd else f"{then_odd} {HARD_TO_HOLD}"
    return Worded(
        change=(
            f"{change}: that is {then:.0f} mm/min instead of {now:.0f} mm/min with these pulse "
            "times."
        ),
        look_first=doubt if now_odd or then_odd else "",
    )
