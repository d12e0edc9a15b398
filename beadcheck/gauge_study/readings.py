"""The readings of a study: which part, by whom, and what was read."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.gauge_study import StudyTooSmallError, StudyUnevenError


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyReading:
    """One reading of one part, in the study's unit.

    Attributes
    ----------
    by
        Person or phone: whoever is compared.
    gauge
        What a hand gauge reads at the same place; None where nobody laid one on.
    """

    part: str
    by: str
    value: float
    gauge: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrossedReadings:
    """Readings in a block: (P, A, T) `values` of named parts and appraisers."""

    parts: tuple[str, ...]
    appraisers: tuple[str, ...]
    values: NDArray[np.float64]


def crossed(readings: Sequence[StudyReading]) -> CrossedReadings:
    """Sort readings into a block; parts, people and repeats keep their order.

    Raises
    ------
    StudyUnevenError, StudyTooSmallError
    """
    parts = tuple(dict.fromkeys(reading.part for reading in readings))
    people = tuple(dict.fromkeys(reading.by for reading in readings))
    cells: dict[tuple[str, str], list[float]] = {}
    for reading in readings:
        cells.setdefault((reading.part, reading.by), []).append(reading.value)
    most = max((len(cell) for cell in cells.values()), default=0)
    for part in parts:
        for who in people:
            count = len(cells.get((part, who), []))
            if count != most:
                raise StudyUnevenError(who, part, count, most)
    if min(len(parts), len(people), most) < 2:
        raise StudyTooSmallError(len(parts), len(people), most)
    values = [[cells[part, who] for who in people] for part in parts]
    return CrossedReadings(
        parts=parts, appraisers=people, values=np.array(values, dtype=np.float64)
    )
