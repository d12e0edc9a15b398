"""Tacks that the fit-up showed, told beside what a later pass shows at the same clock position."""

from collections.abc import Iterable
from typing import Final

import numpy as np

from beadcheck.pipeline.request import KnownTack
from beadcheck.result import ProblemRecord, Result
from beadcheck.surface import SolvedSurface
from beadcheck.toes import Toes
from beadcheck.units import wrapped_degrees

BESIDE_MM: Final = 5.0
"""A place this near to a tack lies at it: a start is told within 5 mm."""


def known_tacks(result: Result) -> tuple[KnownTack, ...]:
    """Tacks of a fit-up whose place on the clock is known, each once.

    Photos that overlap show one tack twice: within half their lengths they are one.
    """
    found: list[KnownTack] = []
    for tack in result.tacks:
        if tack.clock_deg is None or result.coupon.outside_diameter_mm is None:
            continue
        half_deg = 180.0 * tack.length_mm / (np.pi * result.coupon.outside_diameter_mm)
        if all(_apart_deg(tack.clock_deg, each.clock_deg) > half_deg for each in found):
            found.append(KnownTack(clock_deg=tack.clock_deg, length_mm=tack.length_mm))
    return tuple(found)


def tack_notices(
    toes: Toes, surface: SolvedSurface, tacks: Iterable[KnownTack]
) -> list[ProblemRecord]:
    """Name each tack that lies under this photo's stations, and the narrowest place if it is there.

    On plate, and without a 12 o'clock mark, nothing tells where a tack lies.
    """
    diameter_mm = surface.outside_diameter_mm
    clock = surface.clock_deg(toes.middle_mm)
    if diameter_mm is None or not np.isfinite(clock).all():
        return []
    per_mm = 360.0 / (np.pi * diameter_mm)
    used = np.flatnonzero(toes.used)
    notices = []
    for tack in tacks:
        away_mm = np.array([_apart_deg(tack.clock_deg, float(each)) for each in clock]) / per_mm
        there = away_mm <= 0.5 * tack.length_mm + BESIDE_MM
        if not there.any():
            continue
        first, last = toes.s_mm[there][[0, -1]]
        words = (
            f"The fit-up showed a tack of {tack.length_mm:.0f} mm at {tack.clock_deg:.0f}° on the "
            f"clock, here between {first:.0f} and {last:.0f} mm along the weld: look there for "
            "starts, stops and narrow places."
        )
        if used.size and there[used[int(toes.width_mm[used].argmin())]]:
            words += " This photo's narrowest place lies at it."
        notices.append(ProblemRecord(code="at_a_tack", message=words))
    return notices


def _apart_deg(one_deg: float, other_deg: float) -> float:
    """Angle between two clock positions, 0 to 180 degrees."""
    apart = wrapped_degrees(one_deg - other_deg)
    return min(apart, 360.0 - apart)
