"""What follows from an arc's settings, in words: value with its uncertainty, what is missing."""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.arc import (
    Asked,
    Reading,
    Travel,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
)
from beadcheck.arc.travel import S_PER_MIN
from beadcheck.report.wording import IN_INCHES, LengthUnit
from beadcheck.units import MM_PER_INCH, Unit

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


def asked_words(asked: Asked) -> str:
    """What was asked, as plain words."""
    return asked.value.replace("_", " ")


def reading_words(reading: Reading, show: LengthUnit) -> str:
    """Value ± U, U rounded up to two figures (GUM 7.2.6) and the value to the same place.

    A travel speed stands in mm/min beside mm/s, a ratio in percent.

    Examples
    --------
    >>> reading_words(Reading(value=2.5, unit=Unit.MM_PER_S), LengthUnit.MM)
    '2.5 mm/s (150 mm/min)'
    >>> reading_words(Reading(value=2.5, unit=Unit.MM_PER_S), LengthUnit.INCH)
    '2.5 mm/s (150 mm/min, 5.91 in/min)'
    >>> reading_words(Reading(value=1.152, unit=Unit.KJ_PER_MM), LengthUnit.INCH)
    '1.152 kJ/mm (29.26 kJ/in)'
    """
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
