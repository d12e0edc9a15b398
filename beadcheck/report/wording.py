"""The words and rounded numbers that people read, the same in pictures and tables."""

import math
from collections.abc import Iterable
from enum import StrEnum
from typing import Final

from beadcheck.limits import Finding
from beadcheck.result import CheckRecord, NotMeasuredRecord, PhotoRecord
from beadcheck.units import MM_PER_INCH


class LengthUnit(StrEnum):
    """What lengths are shown in; with `INCH`, inches stand beside the millimetres."""

    MM = "mm"
    INCH = "inch"


FINDING_ORDER: Final = (
    Finding.OUTSIDE,
    Finding.UNDECIDED,
    Finding.WITHIN,
    Finding.NOT_MEASURED,
)
"""What asks for something comes first."""
QUANTITY_WORDS: Final = {
    "weld_width": "weld width",
    "centreline_deviation": "centreline deviation",
    "toe_waviness": "toe waviness",
    "ripple_spacing": "ripple spacing",
    "pulse_overlap": "pulse overlap",
    "travel_speed": "travel speed",
    "face_reinforcement": "face reinforcement",
    "root_reinforcement": "root reinforcement",
    "concavity": "concavity",
    "concavity_length": "concavity length",
    "convexity": "convexity",
    "undercut_depth": "undercut depth",
    "undercut_length": "undercut length",
    "underfill": "underfill",
    "underfill_length": "underfill length",
    "depth_below_surface": "depth below surface",
    "toe_angle": "toe angle",
    "root_opening": "root opening",
    "root_face": "root face",
    "linear_misalignment": "linear misalignment",
    "section_area": "section area above the surface",
    "bead_width": "bead width",
    "groove_overlap": "cap over the groove's edge, mean of both sides",
    "mean_current": "mean current",
    "mean_power": "mean power",
    "arc_energy": "arc energy (heat input of AWS and ASME)",
    "heat_input": "heat input (EN 1011-1)",
    "pulse_rate": "pulse rate",
}
STATISTIC_WORDS: Final = {
    ("weld_width", "min"): "narrowest",
    ("weld_width", "max"): "widest",
    ("root_opening", "min"): "narrowest",
    ("root_opening", "max"): "widest",
    ("ripple_spacing", "max"): "longest gap",
    ("centreline_deviation", "max"): "",
    ("toe_waviness", "sd"): "",
    ("ripple_spacing", "min"): "shortest gap",
    **{
        (name, "mean"): ""
        for name in (
            "mean_current",
            "mean_power",
            "travel_speed",
            "arc_energy",
            "heat_input",
            "pulse_rate",
        )
    },
    ("weld_width", "max - mean"): "widest above the mean",
    ("weld_width", "mean - min"): "narrowest below the mean",
}
PLAIN_STATISTICS: Final = {
    "mean": "mean",
    "sd": "spread (sd)",
    "min": "least",
    "max": "largest",
}
DECIMALS: Final = {
    "mm": 2,
    "mm2": 1,
    "in": 3,
    "px": 1,
    "%": 0,
    "deg": 0,
    "mm/s": 2,
    "mm/min": 0,
    "in/min": 1,
    "ratio": 2,
    "A": 0,
    "W": -1,
    "kJ/mm": 3,
    "kJ/in": 1,
    "Hz": 2,
}
"""A hundredth of a millimetre and a thousandth of an inch are less than any U of a phone photo."""
IN_INCHES: Final = {"mm": ("in", 1.0 / MM_PER_INCH), "kJ/mm": ("kJ/in", MM_PER_INCH)}
"""What stands beside a unit where inches are wanted, and how many of it make one."""
NONE: Final = "none"
"""A depth of zero without any doubt: nothing of it can be there."""
UNIT_SIGNS: Final = {"deg": "°", "ratio": "", "mm2": " mm²", "1": ""}


def quantity_words(name: str) -> str:
    """Name of a quantity in plain words.

    Examples
    --------
    >>> quantity_words("ripple_spacing")
    'ripple spacing'
    """
    return QUANTITY_WORDS.get(name, name.replace("_", " "))


def statistic_words(name: str, statistic: str, side: str | None = None) -> str:
    """Which summary a value is, in plain words, with its side where it has one.

    Empty where the quantity's name says it all.

    Examples
    --------
    >>> statistic_words("weld_width", "min")
    'narrowest'
    >>> statistic_words("toe_waviness", "sd", "left")
    'left toe'
    """
    words = STATISTIC_WORDS.get((name, statistic), PLAIN_STATISTICS.get(statistic, statistic))
    return ", ".join(each for each in (words, f"{side} toe" if side else "") if each)


def full_words(name: str, statistic: str | None, side: str | None = None) -> str:
    """Name of a quantity and which summary of it is meant.

    Examples
    --------
    >>> full_words("weld_width", "mean")
    'weld width, mean'
    >>> full_words("centreline_deviation", "max")
    'centreline deviation'
    """
    which = "" if statistic is None else statistic_words(name, statistic, side)
    return ", ".join(each for each in (quantity_words(name), which) if each)


def value_words(value: float, expanded: float | None, unit: str, show: LengthUnit) -> str:
    """Value ± U with its unit, rounded; U is rounded up, so that it never claims too much.

    Examples
    --------
    >>> value_words(9.906, 0.1761, "mm", LengthUnit.MM)
    '9.91 ± 0.18 mm'
    >>> value_words(9.906, 0.1761, "mm", LengthUnit.INCH)
    '9.91 ± 0.18 mm (0.390 ± 0.007 in)'
    >>> value_words(0.691, 0.0412, "kJ/mm", LengthUnit.INCH)
    '0.691 ± 0.042 kJ/mm (17.6 ± 1.1 kJ/in)'
    >>> value_words(0.62, 0.031, "ratio", LengthUnit.MM)
    '62 ± 4 %'
    >>> value_words(3.2, None, "mm", LengthUnit.MM)
    '3.20 mm'
    >>> value_words(2163.0, 162.4, "W", LengthUnit.MM)
    '2160 ± 170 W'
    >>> value_words(1.5, 0.021, "mm/s", LengthUnit.MM)
    '1.50 ± 0.03 mm/s (90 ± 2 mm/min)'
    """
    metric, *imperial = value_lines(value, expanded, unit, show)
    return f"{metric} ({imperial[0]})" if imperial else metric


def value_lines(
    value: float, expanded: float | None, unit: str, show: LengthUnit
) -> tuple[str, ...]:
    """Value ± U as `value_words` gives it, the inches, where wanted, as a line of their own.

    So is the travel for a minute, as welders tell it.
    """
    if unit == "ratio":
        return (percent_words(value, expanded, decimals=0),)
    if value == 0.0 and expanded == 0.0:
        return (NONE,)
    metric = _rounded(value, expanded, unit)
    if unit == "mm/s":
        return metric, _per_minute(value, expanded, show)
    if show is LengthUnit.MM or unit not in IN_INCHES:
        return (metric,)
    imperial, factor = IN_INCHES[unit]
    in_inches = None if expanded is None else factor * expanded
    return metric, _rounded(factor * value, in_inches, imperial)


def _per_minute(speed_mm_s: float, expanded_mm_s: float | None, show: LengthUnit) -> str:
    """Travel of a minute, in mm or, where inches are wanted, in inches."""
    in_inches = show is LengthUnit.INCH
    factor = 60.0 / MM_PER_INCH if in_inches else 60.0
    expanded = None if expanded_mm_s is None else factor * expanded_mm_s
    unit = "in/min" if in_inches else "mm/min"
    return _rounded(factor * speed_mm_s, expanded, unit)


def percent_words(value: float, expanded: float | None, *, decimals: int) -> str:
    """Ratio ± U as a percentage, rounded as `value_words` rounds.

    Examples
    --------
    >>> percent_words(0.0231, 0.0102, decimals=1)
    '2.3 ± 1.1 %'
    """
    in_percent = None if expanded is None else 100.0 * expanded
    return _rounded(100.0 * value, in_percent, "%", decimals)


def finding_count_words(checks: Iterable[CheckRecord]) -> str:
    """How many findings there are of each kind; a kind without any is left out.

    Examples
    --------
    >>> finding_count_words([])
    'No limit was checked'
    """
    findings = [check.finding for check in checks]
    counts = [f"{findings.count(kind)} {kind}" for kind in FINDING_ORDER if kind in findings]
    return "Findings: " + ", ".join(counts) if counts else "No limit was checked"


def unchecked_words(photos: Iterable[PhotoRecord]) -> str:
    """Which limits could not be checked for want of a scale; empty where every photo has one."""
    if any(photo.usable and photo.without_target for photo in photos):
        return "Limits on lengths were not checked: without a target there is no scale."
    return ""


def not_measured_words(records: Iterable[NotMeasuredRecord]) -> list[str]:
    """What is missing, in one text for each reason: names, then why, then how to get it."""
    names: dict[tuple[str, str], dict[str, None]] = {}
    for each in records:
        names.setdefault((each.reason, each.how_to), {})[quantity_words(each.name)] = None
    return [
        f"{', '.join(words)}. {reason} {how_to}".strip()
        for (reason, how_to), words in names.items()
    ]


def clock_words(clock_deg: float) -> str:
    """Clock position as hours and minutes of a clock face, and in degrees.

    Examples
    --------
    >>> clock_words(45.0)
    '1:30 (45°)'
    >>> clock_words(0.0)
    '12:00 (0°)'
    """
    minutes = round(clock_deg * 2.0) % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d} ({round(clock_deg) % 360}°)"


def _rounded(value: float, expanded: float | None, unit: str, decimals: int | None = None) -> str:
    decimals = DECIMALS.get(unit, 2) if decimals is None else decimals
    sign = UNIT_SIGNS.get(unit, f" {unit}")
    # Adding 0 makes a rounded -0 a 0.
    number = f"{round(value, decimals) + 0.0:.{max(decimals, 0)}f}"
    if expanded is None:
        return f"{number}{sign}"
    # A hair less than a whole step is not rounded up by the binary fraction alone.
    steps = math.ceil(expanded * 10**decimals - 1e-6)
    return f"{number} ± {steps / 10**decimals:.{max(decimals, 0)}f}{sign}"
