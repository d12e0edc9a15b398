"""How steady the welds in the log are: of one person over time, or of everybody side by side.

What it is worked out with loads a database layer, and is loaded once somebody asks.
"""

import threading
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from beadcheck.limits.limit import limit_unit
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.wording import LengthUnit
from beadcheck_page.logbook import log_so_far

if TYPE_CHECKING:
    from beadcheck.log import Log, Wanted
    from beadcheck.trends import Member, Trend

CHART_WIDTH_IN: Final = 4.4
"""At the width of a phone its words are then about as large as a caption."""
_ONE_DRAWN_AT_A_TIME: Final = threading.Lock()
"""Matplotlib's settings belong to the whole program."""


class SteadyValue(StrEnum):
    """What is looked at over many welds."""

    WIDTH_SPREAD = "width_spread"
    WIDTH = "width"
    RIPPLE_SPACING = "ripple_spacing"
    OVERLAP = "overlap"
    REINFORCEMENT = "reinforcement"


VALUES: Final = {
    SteadyValue.WIDTH_SPREAD: (QuantityName.WELD_WIDTH, Statistic.SD),
    SteadyValue.WIDTH: (QuantityName.WELD_WIDTH, Statistic.MEAN),
    SteadyValue.RIPPLE_SPACING: (QuantityName.RIPPLE_SPACING, Statistic.MEAN),
    SteadyValue.OVERLAP: (QuantityName.PULSE_OVERLAP, Statistic.MEAN),
    SteadyValue.REINFORCEMENT: (QuantityName.FACE_REINFORCEMENT, Statistic.MAX),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OfPerson:
    """One person's welds, with what they say together; no chart where there are none."""

    person: str
    trend: "Trend"
    lines: tuple[str, ...]
    chart_svg: bytes | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OfClass:
    """Everybody's welds, a line for each person."""

    wanted: "Wanted"
    members: tuple["Member", ...]


def steadiness(person: str | None, value: SteadyValue, unit: LengthUnit) -> OfPerson | OfClass:
    """Look a value up over the welds of a person, or of everybody where nobody is named.

    Raises
    ------
    LogError
    """
    from beadcheck.log import (  # noqa: PLC0415  # see above
        Selection,
        Wanted,
        open_log,
        summary_rows,
    )
    from beadcheck.trends import of_class  # noqa: PLC0415  # see above

    name, statistic = VALUES[value]
    wanted = Wanted(name=name, statistic=statistic, unit=limit_unit(name))
    address = log_so_far()
    if address is None:
        return OfClass(wanted=wanted, members=())
    with open_log(address) as log:
        if person is not None:
            return _of_person(log, person, wanted, unit)
        rows = summary_rows(log, wanted, Selection(latest_only=True))
    return OfClass(wanted=wanted, members=of_class(rows))


def _of_person(log: "Log", person: str, wanted: "Wanted", unit: LengthUnit) -> OfPerson:
    from beadcheck.log import (  # noqa: PLC0415  # see above
        Selection,
        measurement_of,
        settings_of,
        summary_rows,
    )
    from beadcheck.trends import (  # noqa: PLC0415  # see above
        bounds_of,
        clock_lines,
        round_the_clock,
        subject_words,
        trend_chart,
        trend_lines,
        trend_of,
    )

    selection = Selection(person=person, latest_only=True)
    rows = summary_rows(log, wanted, selection)
    bounds = bounds_of(measurement_of(log, rows[-1].measurement).result, wanted) if rows else None
    trend = trend_of(rows, wanted, settings=settings_of(log, selection), bounds=bounds)
    chart_svg = None
    if rows:
        with _ONE_DRAWN_AT_A_TIME:
            chart_svg = trend_chart(trend, unit=unit, width_in=CHART_WIDTH_IN)
    singles = summary_rows(log, replace(wanted, for_pass=False), selection)
    lines = trend_lines(trend, unit) + clock_lines(round_the_clock(singles), subject_words(trend))
    return OfPerson(person=person, trend=trend, lines=tuple(lines), chart_svg=chart_svg)
