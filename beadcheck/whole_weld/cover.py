"""What of the weld the photos show, and where to photograph."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.result import GapRecord
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.merge import Line

SHORTEST_GAP_MM: Final = 8.0
"""A shorter stretch of unsure stations is worth no photo of its own (common practice, no published
source)."""


def runs_of(flags: NDArray[np.bool_], *, closed: bool) -> list[tuple[int, int]]:
    """First place of each run of true, and the place after its last; past the end where it wraps.

    Examples
    --------
    >>> runs_of(np.array([True, False, True, True]), closed=True)
    [(2, 5)]
    >>> runs_of(np.array([True, False, True, True]), closed=False)
    [(0, 1), (2, 4)]
    """
    if flags.all():
        return [(0, flags.size)] if flags.size else []
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    starts, ends = np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist()
    runs = list(zip(starts, ends, strict=True))
    if closed and len(runs) > 1 and flags[0] and flags[-1]:
        last = runs.pop()
        runs[0] = (last[0], runs[0][1] + flags.size)
        runs.append(runs.pop(0))
    return runs


def gap_records(line: Line, clock: Clock) -> tuple[GapRecord, ...]:
    """Every stretch that no photo shows well enough."""
    step = line.step_mm
    return tuple(
        _gap(start * step, end * step, clock)
        for start, end in runs_of(~line.seen, closed=line.closed)
        if (end - start) * step >= SHORTEST_GAP_MM
    )


def _gap(from_mm: float, to_mm: float, clock: Clock) -> GapRecord:
    where = f"from {clock.words(from_mm)} to {clock.words(to_mm)}"
    return GapRecord(
        from_arc_mm=from_mm,
        to_arc_mm=to_mm,
        from_clock_deg=clock.degrees(from_mm),
        to_clock_deg=clock.degrees(to_mm),
        words=f"Photograph here: {where}, {to_mm - from_mm:.0f} mm.",
    )
