"""How the answers of ``beadcheck arc`` are shown."""

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from beadcheck.arc import (
    Answer,
    Asked,
    Reading,
    Travel,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
    Unanswered,
    travel_remark,
)
from beadcheck.arc.travel import S_PER_MIN
from beadcheck.cli.streams import put, shown, tell
from beadcheck.coupon import Process
from beadcheck.errors.command import NothingToWorkOutError
from beadcheck.units import MM_PER_INCH, Unit

if TYPE_CHECKING:
    from beadcheck.report.wording import LengthUnit


CHECK_TRAVEL: Final[Mapping[type[Travel], str]] = MappingProxyType(
    {
        TravelAtSpeed: "Check the speed and its unit: --speed takes mm/min.",
        TravelOfRun: "Measure the run's length again, and check the arc time.",
        TravelByRipples: (
            "Check the ripple spacing, and that the pulse times are seconds: time ten pulses with "
            "a watch."
        ),
    }
)
"""What to look at where a travel speed is hard to believe, by what it was worked out from."""


def show_answers(
    found: Sequence[Answer | Unanswered],
    process: Process | None,
    travel: Travel | None,
    *,
    inch: bool,
) -> None:
    """Print a table of answers; what is missing, and what looks odd, go to standard error.

    Raises
    ------
    NothingToWorkOutError
        If there is no answer at all.
    """
    from rich.table import Table

    from beadcheck.report.in_inches import in_unit
    from beadcheck.report.wording import LengthUnit

    unit = LengthUnit.INCH if inch else LengthUnit.MM
    answered = [each for each in found if isinstance(each, Answer)]
    lacking = [each for each in found if isinstance(each, Unanswered)]
    if not answered:
        raise NothingToWorkOutError(
            "; ".join(f"{_words(each.asked)} needs {each.needs}" for each in lacking)
            or "no number was given"
        )
    table = Table(box=None, pad_edge=False)
    for heading in ("what", "value ± U (k = 2)", "how"):
        table.add_column(heading)
    for answer in answered:
        table.add_row(_words(answer.asked), reading_words(answer.reading, unit), answer.how)
    put(shown(table))
    for each in lacking:
        tell(f"No {_words(each.asked)}: it needs {each.needs}.")
    for answer in answered:
        if answer.asked is Asked.TRAVEL_SPEED:
            remark = travel_remark(answer.reading, process)
            if remark and travel is not None:
                remark = in_unit(remark, unit)
                tell(f"{remark} {CHECK_TRAVEL[type(travel)]}")


def reading_words(reading: Reading, show: "LengthUnit") -> str:
    """Value ± U, U rounded up to two figures (GUM 7.2.6) and the value to the same place.

    A travel speed stands in mm/min beside mm/s, a ratio in percent.

    Examples
    --------
    >>> from beadcheck.report.wording import LengthUnit
    >>> reading_words(Reading(value=2.5, unit=Unit.MM_PER_S), LengthUnit.MM)
    '2.5 mm/s (150 mm/min)'
    >>> reading_words(Reading(value=2.5, unit=Unit.MM_PER_S), LengthUnit.INCH)
    '2.5 mm/s (150 mm/min, 5.91 in/min)'
    >>> reading_words(Reading(value=1.152, unit=Unit.KJ_PER_MM), LengthUnit.INCH)
    '1.152 kJ/mm (29.26 kJ/in)'
    """
    from beadcheck.report.wording import IN_INCHES, LengthUnit

    value, expanded, unit = reading.value, reading.expanded_uncertainty, reading.unit.value
    if reading.unit is Unit.RATIO:
        return _rounded(100.0 * value, 100.0 * expanded, "%")
    if reading.unit is Unit.ONE:
        return _rounded(value, expanded, "").rstrip()
    words = _rounded(value, expanded, unit)
    beside = [f"{S_PER_MIN * value:.0f} mm/min"] if reading.unit is Unit.MM_PER_S else []
    if show is LengthUnit.INCH and reading.unit is Unit.MM_PER_S:
        beside.append(f"{S_PER_MIN * value / MM_PER_INCH:.3g} in/min")
    elif show is LengthUnit.INCH and unit in IN_INCHES:
        imperial, factor = IN_INCHES[unit]
        beside.append(_rounded(factor * value, factor * expanded, imperial))
    return f"{words} ({', '.join(beside)})" if beside else words


def _rounded(value: float, expanded: float, unit: str) -> str:
    # What is left of a doubt that cancelled is less than any number is typed to.
    if expanded <= 1e-9 * abs(value):
        return f"{value:.4g} {unit}"
    decimals = 1 - math.floor(math.log10(expanded))
    step = 10.0**-decimals
    # A hair less than a whole step is not rounded up by the binary fraction alone.
    wide = step * math.ceil(expanded / step - 1e-6)
    places = max(0, decimals)
    return f"{round(value, decimals):.{places}f} ± {wide:.{places}f} {unit}"


def _words(asked: Asked) -> str:
    return asked.value.replace("_", " ")
