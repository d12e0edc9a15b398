"""How steady the welds in the log are: of one person over time, or of everybody side by side.

What it is worked out with loads a database layer, and is loaded once somebody asks.
"""

import threading
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from beadcheck.limits.limit import limit_unit
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.wording import LengthUnit
from beadcheck_page.logbook import log_so_far

if TYPE_CHECKING:
    from beadcheck.log import Log, Selection, Wanted
    from beadcheck.trends import Member, Trend, WithinWelds

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
    """One person's welds, with what they say together; no chart where there are none.

    Attributes
    ----------
    where_svg
        Chart of where along or round the welds the width strays; None where that is not known.
    """

    person: str
    trend: "Trend"
    lines: tuple[str, ...]
    chart_svg: bytes | None
    where_svg: bytes | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OfClass:
    """Everybody's welds, a line for each person, and where they stray."""

    wanted: "Wanted"
    members: tuple["Member", ...]
    lines: tuple[str, ...] = ()
    where_svg: bytes | None = None


def steadiness(person: str | None, value: SteadyValue, unit: LengthUnit) -> OfPerson | OfClass:
    """Look a value up over the welds of a person, or of everybody where nobody is named.

    Raises
    ------
    LogError
    """
    from beadcheck.log import Selection, Wanted, open_log  # noqa: PLC0415  # see above

    name, statistic = VALUES[value]
    wanted = Wanted(name=name, statistic=statistic, unit=limit_unit(name))
    address = log_so_far()
    if address is None:
        return OfClass(wanted=wanted, members=())
    with open_log(address) as log:
        selection = Selection(person=person, latest_only=True)
        if person is not None:
            return _of_person(log, person, selection, wanted, unit)
        return _of_class(log, selection, wanted, unit)


def _of_person(
    log: "Log", person: str, selection: "Selection", wanted: "Wanted", unit: LengthUnit
) -> OfPerson:
    from beadcheck.trends import look_up_person, person_lines, trend_chart  # noqa: PLC0415

    found = look_up_person(log, selection, wanted)
    chart_svg = None
    if found.trend.rows:
        with _ONE_DRAWN_AT_A_TIME:
            chart_svg = trend_chart(found.trend, unit=unit, width_in=CHART_WIDTH_IN)
    return OfPerson(
        person=person,
        trend=found.trend,
        lines=tuple(person_lines(found, unit)),
        chart_svg=chart_svg,
        where_svg=_where_svg(found.within, unit),
    )


def _of_class(log: "Log", selection: "Selection", wanted: "Wanted", unit: LengthUnit) -> OfClass:
    from beadcheck.trends import class_within_lines, look_up_class  # noqa: PLC0415  # see above

    found = look_up_class(log, selection, wanted)
    return OfClass(
        wanted=wanted,
        members=found.members,
        lines=tuple(class_within_lines(found.within, unit)),
        where_svg=_where_svg(found.within, unit),
    )


def _where_svg(within: "WithinWelds | None", unit: LengthUnit) -> bytes | None:
    from beadcheck.trends import within_chart  # noqa: PLC0415  # see above

    if within is None:
        return None
    with _ONE_DRAWN_AT_A_TIME:
        return within_chart(within, unit=unit, width_in=CHART_WIDTH_IN)
