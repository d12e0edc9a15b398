"""Changes of the travel speed."""

from typing import Final

from beadcheck.advice.amounts.steps import DOUBT_TIMES, S_PER_MIN
from beadcheck.advice.amounts.worded import Worded
from beadcheck.advice.seen.spots import LOWEST_OVERLAP_RATIO
from beadcheck.advice.situation import Situation
from beadcheck.arc import travel_remark
from beadcheck.coupon import Process
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

STEP_RATIO: Final = 0.10
"""By how much to change the travel speed at once (common practice, no published source)."""
ASK_TIMES: Final = "Give the pulse times in seconds, and this says how fast that is."
ASK_RUN: Final = "Give the run length and the arc time, and this says how fast that is."


def speed_up(situation: Situation) -> Worded | None:
    """Travel faster; None where pulse spots would come to overlap too little."""
    overlap = situation.one(QuantityName.PULSE_OVERLAP, Statistic.MEAN)
    if overlap is not None:
        wanted = situation.settings.wanted_overlap_ratio
        least = LOWEST_OVERLAP_RATIO if wanted is None else wanted
        if 1.0 - (1.0 + STEP_RATIO) * (1.0 - overlap.value) < least:
            return None
    return _travel(situation, 1.0 + STEP_RATIO)


def slow_down(situation: Situation) -> Worded:
    """Travel slower."""
    return _travel(situation, 1.0 - STEP_RATIO)


def _travel(situation: Situation, factor: float) -> Worded:
    word = "faster" if factor > 1.0 else "slower"
    speed = situation.travel_speed
    if speed is not None:
        now = S_PER_MIN * speed.value
        remark = travel_remark(speed, situation.process)
        doubt = f"{remark} {DOUBT_TIMES}" if remark and situation.is_pulsed else remark
        return Worded(
            change=(
                f"Travel a little {word}, at about {factor * now:.0f} mm/min instead of "
                f"{now:.0f} mm/min, and leave the rest as it was."
            ),
            look_first=doubt,
        )
    spacing = situation.one(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
    stepped = situation.is_pulsed and situation.steps_show
    if stepped and spacing is not None and spacing.unit is Unit.MM:
        more = "more" if factor > 1.0 else "less"
        return Worded(
            change=(
                f"Move a little {more} per pulse, about {factor * spacing.value:.2f} mm instead of "
                f"{spacing.value:.2f} mm, and leave the rest as it was."
            ),
            needs=ASK_TIMES,
        )
    return Worded(
        change=(f"Travel a little {word}, by about a tenth, with the same current and arc length."),
        needs=ASK_RUN if situation.process is not Process.GTAW_PULSED else ASK_TIMES,
    )
