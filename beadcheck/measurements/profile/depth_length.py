"""How long an undercut, an underfill or a hollow runs along the weld, from its sections."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from beadcheck.measurements.profile.names import FOOT_UNSEEN, WITH_A_LINE
from beadcheck.measurements.profile.reading import ProfileReading
from beadcheck.measurements.profile.section import rectangular
from beadcheck.measurements.profile.value import station
from beadcheck.profiles import ProfileMethod
from beadcheck.quantity import (
    LENGTH_OF,
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Side,
    Statistic,
)
from beadcheck.units import Unit

COUNTS_FROM_MM: Final = 0.1
"""Depth from which something counts as there; less is within the roughness of rolled metal."""
LEAST_SECTIONS: Final = 5
FARTHEST_APART_MM: Final = 2.5
"""Sections wider apart may have a short one between them."""
TOO_FEW: Final = (
    "The sections lie too far apart, or are too few, to follow what runs along the weld."
)
CLOSER: Final = "Take light-line photos with the line moved on by 2 mm each time."


NEAREST_APART_MM: Final = 0.5
"""Sections nearer than this show one place twice: the deeper of them counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Depth:
    """Depth of something in one section, in mm, and its expanded uncertainty."""

    value: float
    expanded_uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthSection:
    """Depths that one section shows, at either toe or of its face; none where it shows none."""

    s_mm: float
    depths: Mapping[Side | None, Depth]


def depth_lengths(
    readings: Sequence[ProfileReading], name: QuantityName
) -> list[Quantity | NotMeasured]:
    """Longest unbroken stretch of a depth and the total, in mm, for each toe that has its own.

    NotMeasured where sections are sparse, and of an undercut on a pair.
    """
    pairs = all(reading.profile.method is ProfileMethod.PAIR for reading in readings)
    if name is QuantityName.UNDERCUT_DEPTH and pairs:
        return [NotMeasured(name=LENGTH_OF[name], reason=FOOT_UNSEEN, how_to=WITH_A_LINE)]
    return lengths_through(
        [
            DepthSection(
                s_mm=reading.profile.s_mm,
                depths={
                    side: Depth(value=found.value, expanded_uncertainty=found.expanded_uncertainty)
                    for side in sides_of(name)
                    if (found := reading.value(name, side)) is not None
                },
            )
            for reading in readings
        ],
        name,
    )


def sides_of(name: QuantityName) -> tuple[Side | None, ...]:
    """Toes that have such a depth each; None stands for the face between them."""
    return tuple(Side) if name is QuantityName.UNDERCUT_DEPTH else (None,)


def lengths_through(
    sections: Sequence[DepthSection],
    name: QuantityName,
    *,
    counts_from_mm: float = COUNTS_FROM_MM,
) -> list[Quantity | NotMeasured]:
    """Longest unbroken stretch of a depth and the total through neighbouring sections.

    Parameters
    ----------
    name
        Of the depth: one that `LENGTH_OF` knows.
    counts_from_mm
        Depth from which it counts as there; never less than can be told from rough metal.
    """
    least_mm = max(COUNTS_FROM_MM, counts_from_mm)
    ordered = _told_apart(sorted(sections, key=lambda section: section.s_mm))
    stations = np.array([section.s_mm for section in ordered])
    apart_mm = float(np.median(np.diff(stations))) if len(stations) > 1 else math.inf
    if len(stations) < LEAST_SECTIONS or apart_mm > FARTHEST_APART_MM:
        return [NotMeasured(name=LENGTH_OF[name], reason=TOO_FEW, how_to=CLOSER)]
    return [
        each
        for side in sides_of(name)
        for each in _lengths(
            [section.depths.get(side) for section in ordered],
            stations,
            apart_mm,
            name=LENGTH_OF[name],
            side=side,
            counts_from_mm=least_mm,
        )
    ]


def _told_apart(ordered: Sequence[DepthSection]) -> list[DepthSection]:
    """Sections without those that repeat a place, of which the deepest depths are kept."""
    kept: list[DepthSection] = []
    for section in ordered:
        if kept and section.s_mm - kept[-1].s_mm < NEAREST_APART_MM:
            last = kept.pop()
            deepest = {
                side: max(found, key=lambda depth: depth.value)
                for side in (*Side, None)
                if (found := [d for d in (last.depths.get(side), section.depths.get(side)) if d])
            }
            kept.append(replace(last, depths=deepest))
        else:
            kept.append(section)
    return kept


def _lengths(
    depths: Sequence[Depth | None],
    stations: np.ndarray,
    apart_mm: float,
    *,
    name: QuantityName,
    side: Side | None,
    counts_from_mm: float,
) -> list[Quantity | NotMeasured]:
    seen = [each for each in depths if each is not None]
    if len(seen) < 0.5 * len(depths):
        at = "" if side is None else f" at the {side.value} toe"
        missing = NotMeasured(
            name=name,
            reason=f"The depth{at} is known at too few sections.",
            how_to="Keep glare off the weld, and retake the photos.",
        )
        return [missing]
    there = [each is not None and each.value >= counts_from_mm for each in depths]
    sure = [
        each is not None and abs(each.value - counts_from_mm) > each.expanded_uncertainty
        for each in depths
    ]
    bridged = _bridged(there, sure)
    first, last = _longest_run(bridged, stations, apart_mm)
    longest = Quantity(
        name=name,
        statistic=Statistic.MAX,
        value=0.0 if last < first else float(stations[last] - stations[first]) + apart_mm,
        unit=Unit.MM,
        count=len(seen),
        budget=_budget(1, _doubtful_near(sure, first, last) * apart_mm, apart_mm),
        s_range_mm=(float(stations[0]), float(stations[-1])),
        side=side,
    )
    # Between sections that lie too far apart there may be more of it.
    gaps_mm = float(np.clip(np.diff(stations) - 2.0 * apart_mm, 0.0, None).sum())
    total = replace(
        longest,
        statistic=Statistic.TOTAL,
        value=apart_mm * sum(bridged),
        budget=_budget(
            max(1, sum(here and not before for before, here in pairwise([False, *bridged]))),
            apart_mm * sum(not each for each in sure) + gaps_mm,
            apart_mm,
        ),
    )
    return [longest, total]


def _budget(pieces: int, doubtful_mm: float, apart_mm: float) -> tuple[Component, ...]:
    return (
        # Each end lies anywhere between two sections.
        station("where it ends", math.sqrt(2.0 * pieces) * rectangular(apart_mm)),
        station("sections in which it is doubtful", rectangular(doubtful_mm)),
    )


def _bridged(there: Sequence[bool], sure: Sequence[bool]) -> list[bool]:
    """Sections that show it; a doubtful one between two others counts as one of them."""
    return [
        here or (0 < i < len(there) - 1 and not sure[i] and there[i - 1] and there[i + 1])
        for i, here in enumerate(there)
    ]


def _longest_run(there: Sequence[bool], stations: np.ndarray, apart_mm: float) -> tuple[int, int]:
    """First and last index of the longest run; a step over twice the usual ends one."""
    best, begin = (0, -1), None
    for i, here in enumerate(there):
        broken = i > 0 and stations[i] - stations[i - 1] > 2.0 * apart_mm
        if not here or (begin is not None and broken):
            begin = i if here else None
        elif begin is None:
            begin = i
        if begin is not None and stations[i] - stations[begin] >= (
            stations[best[1]] - stations[best[0]] if best[1] >= best[0] else 0.0
        ):
            best = (begin, i)
    return best


def _doubtful_near(sure: Sequence[bool], first: int, last: int) -> int:
    """Number of doubtful sections in the run and next to its ends."""
    if last < first:
        return _longest_doubt(sure)
    inside = sum(not each for each in sure[first : last + 1])
    before = next((i for i in range(first, 0, -1) if sure[i - 1]), 0)
    after = next((i for i in range(last, len(sure) - 1) if sure[i + 1]), len(sure) - 1)
    return inside + (first - before) + (after - last)


def _longest_doubt(sure: Sequence[bool]) -> int:
    longest = run = 0
    for each in sure:
        run = 0 if each else run + 1
        longest = max(longest, run)
    return longest
