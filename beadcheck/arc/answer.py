"""The numbers that can be asked of an arc's settings, and what an answer is."""

from dataclasses import dataclass
from enum import StrEnum

from beadcheck.arc.reading import Reading


class Asked(StrEnum):
    """What is asked of the settings."""

    MEAN_CURRENT = "mean_current"
    MEAN_POWER = "mean_power"
    TRAVEL_SPEED = "travel_speed"
    ARC_ENERGY = "arc_energy"
    HEAT_INPUT = "heat_input"
    PULSE_RATE = "pulse_rate"
    PEAK_SHARE = "peak_share"
    TRAVEL_PER_PULSE = "travel_per_pulse"
    PULSE_OVERLAP = "pulse_overlap"
    PULSES_ROUND_PIPE = "pulses_round_pipe"
    WANTED_TRAVEL_PER_PULSE = "wanted_travel_per_pulse"
    WANTED_TRAVEL_SPEED = "wanted_travel_speed"
    WANTED_BACKGROUND_TIME = "wanted_background_time"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One number that follows, and from what."""

    asked: Asked
    reading: Reading
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unanswered:
    """What cannot be worked out yet, and what it still needs."""

    asked: Asked
    needs: str
