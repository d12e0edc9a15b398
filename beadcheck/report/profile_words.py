"""Words about one section."""

from collections.abc import Sequence
from typing import Final

from beadcheck.report.wording import LengthUnit, clock_words, quantity_words, value_words
from beadcheck.result import ProfileRecord, ReadingRecord

ABOVE: Final = ("face_reinforcement", "root_reinforcement")
"""Heights that are counted from a line that must be named."""


def place_words(profile: ProfileRecord) -> str:
    """Where along the weld a section lies, and how it was measured.

    "section at 40.0 mm, 12:30 (15°), light-line"
    """
    words = [f"section at {profile.s_mm:.1f} mm"]
    if profile.clock_deg is not None:
        words.append(clock_words(profile.clock_deg))
    words.append(profile.method)
    return ", ".join(words)


def reading_lines(profile: ProfileRecord, unit: LengthUnit) -> list[str]:
    """Every value of one section with its U, a line for each name, sides beside each other."""
    names = dict.fromkeys(each.name for each in profile.readings)
    return [
        _line(name, [each for each in profile.readings if each.name == name], profile.above, unit)
        for name in names
    ]


def _line(name: str, readings: Sequence[ReadingRecord], above: str, unit: LengthUnit) -> str:
    values = [
        " ".join(
            each
            for each in (
                reading.side or "",
                value_words(reading.value, reading.expanded_uncertainty, reading.unit, unit),
            )
            if each
        )
        for reading in readings
    ]
    over = f" above {above}" if name in ABOVE and above else ""
    return f"{quantity_words(name)}{over}: {', '.join(values)}"
