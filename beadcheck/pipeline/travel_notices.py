"""What the result says of a travel speed that is hard to believe."""

import math
from collections.abc import Iterable
from typing import Final

from beadcheck.arc import Reading, travel_remark
from beadcheck.arc.known import travel_speed
from beadcheck.arc.travel import S_PER_MIN
from beadcheck.measurements.heat import reading_of
from beadcheck.pipeline.request import Request
from beadcheck.quantity import Quantity, QuantityName
from beadcheck.result import ProblemRecord

CHECK_TIMES: Final = (
    "Check that the pulse times are seconds and not marks of a dial: time ten pulses with a watch."
)
CHECK_RUN: Final = "Measure the run's length again, and check the arc time."


def travel_notices(quantities: Iterable[Quantity], request: Request) -> list[ProblemRecord]:
    """Say that ripples and pulse times, or run and watch, make an unusual travel, or two."""
    process = request.coupon.process
    speed = reading_of(quantities, QuantityName.TRAVEL_SPEED)
    stated = travel_speed(request.arc)
    if speed is None:
        if isinstance(stated, Reading) and (remark := travel_remark(stated, process)):
            return [_unusual(f"Travel by run length and arc time: {remark} {CHECK_RUN}")]
        return []
    notices = []
    if remark := travel_remark(speed, process):
        notices.append(_unusual(f"Travel by ripples and pulse times: {remark} {CHECK_TIMES}"))
    if isinstance(stated, Reading) and _apart(speed, stated):
        notices.append(
            ProblemRecord(
                code="travel_disagrees",
                message=(
                    f"Ripples and pulse times make a travel of {_words(speed)}, run length and arc "
                    f"time one of {_words(stated)}: further apart than both uncertainties "
                    f"together. {CHECK_TIMES} {CHECK_RUN}"
                ),
            )
        )
    return notices


def _unusual(message: str) -> ProblemRecord:
    return ProblemRecord(code="unusual_travel", message=message)


def _apart(one: Reading, other: Reading) -> bool:
    allowed = math.hypot(one.expanded_uncertainty, other.expanded_uncertainty)
    return abs(one.value - other.value) > allowed


def _words(speed: Reading) -> str:
    value, expanded = (S_PER_MIN * each for each in (speed.value, speed.expanded_uncertainty))
    return f"{value:.0f} ± {math.ceil(expanded):.0f} mm/min"
