"""Travel speed, what is usual, and the question whether pulse times are seconds."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.arc.pulses import pulse_rate_hz
from beadcheck.arc.reading import Reading
from beadcheck.coupon import PanelTimes, Process, TimesAre

S_PER_MIN: Final = 60.0
USUAL_TRAVEL_MM_MIN: Final[Mapping[Process, tuple[float, float]]] = MappingProxyType(
    {
        Process.GTAW: (51.0, 203.0),
        Process.GTAW_PULSED: (51.0, 203.0),
        Process.SMAW: (76.0, 254.0),
    }
)
"""Slowest and fastest travel by hand, in mm/min: 2 to 8 and 3 to 10 in/min.

Verified in a weak public page only, so beyond them is a remark, never a refusal.
"""


def speed_of_ripples_mm_s(spacing_mm: float, period_s: float, pulses: int) -> float:
    """Travel speed, in mm/s, from the spacing of ripples that lie some pulses apart.

    Examples
    --------
    >>> speed_of_ripples_mm_s(1.5, 0.75, 1)
    2.0
    """
    return spacing_mm / (pulses * period_s)


def speed_of_run_mm_s(length_mm: float, arc_time_s: float) -> float:
    """Travel speed, in mm/s, of a run that took so long to weld.

    Examples
    --------
    >>> speed_of_run_mm_s(150.0, 60.0)
    2.5
    """
    return length_mm / arc_time_s


def letters_of(process: Process) -> str:
    """Letters that welders know a process by.

    Examples
    --------
    >>> letters_of(Process.GTAW_PULSED)
    'GTAW'
    """
    return process.value.partition("-")[0].upper()


def travel_remark(speed: Reading, process: Process | None) -> str:
    """Remark on a travel speed, in mm/s, that hands seldom go; empty where it is usual.

    A speed whose uncertainty reaches what is usual gets no remark, nor does a process of which
    nothing is known.
    """
    if process is None or process not in USUAL_TRAVEL_MM_MIN:
        return ""
    slowest, fastest = USUAL_TRAVEL_MM_MIN[process]
    value = S_PER_MIN * speed.value
    expanded = S_PER_MIN * speed.expanded_uncertainty
    if value - expanded > fastest:
        word = "faster"
    elif value + expanded < slowest:
        word = "slower"
    else:
        return ""
    return (
        f"{value:.0f} mm/min is {word} than hands usually weld with {letters_of(process)} "
        f"({slowest:.0f} to {fastest:.0f} mm/min)."
    )


def times_question(
    times: PanelTimes, process: Process | None, *, ripples_mm: float | None, pulses: int = 1
) -> str:
    """Question whether the numbers of a panel are seconds, with what follows if they are.

    Parameters
    ----------
    ripples_mm
        Ripple spacing, in mm; None where it is not known yet, and no speed follows.
    pulses
        How many pulses lie between two ripples.
    """
    numbers = f"{times.peak:g} (peak) and {times.background:g} (background)"
    follows = what_follows(times, process, ripples_mm=ripples_mm, pulses=pulses)
    return f"Are {numbers} seconds, or marks of a dial? {follows[0].upper()}{follows[1:]}."


def what_follows(
    times: PanelTimes, process: Process | None, *, ripples_mm: float | None, pulses: int = 1
) -> str:
    """What follows if the numbers of a panel are seconds, as part of a sentence."""
    try:
        period_s = times.confirmed(TimesAre.SECONDS).period_s
    except ValueError:
        return "as seconds they make no pulse"
    rate = f"{pulse_rate_hz(period_s):.2g}"
    words = f"as seconds they make {rate} pulse{'' if rate == '1' else 's'} a second"
    if ripples_mm is None:
        return words
    speed_mm_s = speed_of_ripples_mm_s(ripples_mm, period_s, pulses)
    words += (
        f", and with ripples {ripples_mm:.2g} mm apart a travel of "
        f"{S_PER_MIN * speed_mm_s:.0f} mm/min"
    )
    if process is not None and process in USUAL_TRAVEL_MM_MIN:
        slowest, fastest = USUAL_TRAVEL_MM_MIN[process]
        words += f" (by hand {slowest:.0f} to {fastest:.0f} mm/min is usual)"
    return words
