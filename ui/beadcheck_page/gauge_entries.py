"""What was typed beside the photo's values, as readings of a study."""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from beadcheck.gauge_study import StudyReading
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.units import inches, millimetres
from beadcheck_page.gauge_places import Place
from beadcheck_page.refusals import UnusableGaugeReadingError

LONGEST: Final = 20_000
LONGEST_NUMBER: Final = 20
SOMEBODY: Final = "photo"
"""Who read, where nobody was named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """Gauge readings as they stand in the fields.

    Attributes
    ----------
    result
        Key of the result beside which they were typed.
    by_place
        Words by the place's key.
    """

    result: str = ""
    unit: LengthUnit = LengthUnit.MM
    by_place: Mapping[str, str] = field(default_factory=dict)


def typed(sent: object) -> Typed:
    """Read what the fields' script sent; what makes no sense is as if nothing had been typed.

    Examples
    --------
    >>> typed('{"result": "k", "unit": "mm", "typed": {"0-1": "9,4"}}').by_place
    {'0-1': '9,4'}
    >>> typed("nonsense").by_place
    {}
    """
    try:
        told = json.loads(sent) if isinstance(sent, str) and len(sent) <= LONGEST else None
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict) or not isinstance(told.get("typed"), dict):
        return Typed()
    words = {
        key: each for key, each in told["typed"].items() if isinstance(each, str) and each.strip()
    }
    unit = LengthUnit.INCH if told.get("unit") == LengthUnit.INCH.value else LengthUnit.MM
    return Typed(result=str(told.get("result")), unit=unit, by_place=words)


def in_unit(entered: Typed, unit: LengthUnit) -> Typed:
    """Readings as they are shown in another unit; what is no number stays as it was typed.

    Examples
    --------
    >>> in_unit(Typed(by_place={"0-1": "12,7", "0-2": "9.x"}), LengthUnit.INCH).by_place
    {'0-1': '0.5', '0-2': '9.x'}
    """
    if entered.unit is unit:
        return entered
    turned = {}
    for key, words in entered.by_place.items():
        value = _number(words)
        if value is None:
            turned[key] = words
        elif unit is LengthUnit.INCH:
            turned[key] = f"{round(inches(value), 4):g}"
        else:
            turned[key] = f"{round(millimetres(value), 3):g}"
    return Typed(result=entered.result, unit=unit, by_place=turned)


def study_readings(
    places: Sequence[Place], entered: Typed, result: Result, by: str | None
) -> tuple[StudyReading, ...]:
    """Photo and gauge at each place where a gauge reading was typed, in mm.

    Raises
    ------
    UnusableGaugeReadingError
    """
    readings = []
    for place in places:
        words = entered.by_place.get(place.key)
        if words is None:
            continue
        value = _number(words)
        file = result.photos[place.photo].file
        if value is None:
            raise UnusableGaugeReadingError(f"{file}, place {place.number}")
        gauge_mm = millimetres(value) if entered.unit is LengthUnit.INCH else value
        readings.append(
            StudyReading(
                part=f"{file}, place {place.number}",
                by=by or SOMEBODY,
                value=place.value_mm,
                gauge=gauge_mm,
            )
        )
    return tuple(readings)


def _number(words: str) -> float | None:
    """Number of 0 or above, with a point or a comma."""
    try:
        value = float(words[:LONGEST_NUMBER].strip().replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) and value >= 0.0 else None
