"""Where along or round their welds somebody's width strays, weld by weld."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binomtest

from beadcheck.consistency import Change, Reading, Stretch, along, by_clock, change
from beadcheck.log import Log, SummaryRow, WidthAt, widths_along
from beadcheck.quantity import QuantityName
from beadcheck.trends.trend import MOST_ON_A_SIDE

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_WELDS: Final = 2 * MOST_ON_A_SIDE
"""Of each person: older welds were another hand's."""
THIRDS: Final = 3
STANDS_OUT: Final = 1.15
"""How many times as far as elsewhere the width strays at a place that is named."""
CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WithinWelds:
    """N welds, oldest first, at P places: the hours of the clock, or thirds of what a photo shows.

    Attributes
    ----------
    around
        Whether the places are the hours of the clock, from 12 o'clock on.
    strayed_mm
        (N, P) root mean square of the width's deviation from that weld's own mean; NaN where too
        little was measured.
    wider_mm
        (N, P) mean of that deviation.
    u_width_mm
        (N, P) root mean square of the widths' standard uncertainties.
    """

    around: bool
    rows: tuple[SummaryRow, ...]
    strayed_mm: Floats
    wider_mm: Floats
    u_width_mm: Floats

    def __post_init__(self) -> None:
        for array in (self.strayed_mm, self.wider_mm, self.u_width_mm):
            if array.ndim != 2 or len(array) != len(self.rows):
                msg = f"{len(self.rows)} welds want as many rows, not {array.shape}"
                raise ValueError(msg)
            array.flags.writeable = False

    def of(self, person: str) -> "WithinWelds":
        """Return one person's welds of these."""
        mine = np.array([row.person == person for row in self.rows], dtype=np.bool_)
        return WithinWelds(
            around=self.around,
            rows=tuple(row for row in self.rows if row.person == person),
            strayed_mm=self.strayed_mm[mine],
            wider_mm=self.wider_mm[mine],
            u_width_mm=self.u_width_mm[mine],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstPlace:
    """The place at which the width strays farthest, and plainly farther than elsewhere.

    Attributes
    ----------
    place
        Its index.
    there_mm, elsewhere_mm
        Root mean square over the welds that show both.
    wider_mm
        How much wider the welds are there than elsewhere, on average.
    worst_in, welds
        In how many of the welds that show it no other place strays as far.
    by_chance
        Whether chance alone, for which all places are alike, may have picked it that often
        (binomial test, 95 % for all places together).
    over_time
        The latest welds against the first, of one person; None where fewer than two on a side
        show the place.
    """

    place: int
    there_mm: float
    elsewhere_mm: float
    wider_mm: float
    worst_in: int
    welds: int
    by_chance: bool
    over_time: Change | None


def within_welds(log: Log, rows: Sequence[SummaryRow], name: QuantityName) -> WithinWelds | None:
    """Return where the latest welds of each person stray; None but for the width, or without any.

    Raises
    ------
    LogError
    """
    if name is not QuantityName.WELD_WIDTH:
        return None
    latest = _latest_of_each(rows)
    return strays(latest, widths_along(log, [row.measurement for row in latest]))


def strays(
    rows: Sequence[SummaryRow], widths: Mapping[int, Sequence[WidthAt]]
) -> WithinWelds | None:
    """Return how the width strays in these welds, round the clock if any is a pipe's.

    A plate's weld in several photos is left out: nobody knows which of them shows which part.
    """
    around = any(each.clock_deg is not None for mine in widths.values() for each in mine)
    kept: list[tuple[SummaryRow, list[tuple[float, float, float]]]] = []
    for row in rows:
        stretches = _stretches(widths.get(row.measurement, ()), around=around)
        if any(np.isfinite(strayed) for strayed, _, _ in stretches):
            kept.append((row, stretches))
    if not kept:
        return None
    table = np.array([stretches for _, stretches in kept], dtype=np.float64)
    return WithinWelds(
        around=around,
        rows=tuple(row for row, _ in kept),
        strayed_mm=table[..., 0].copy(),
        wider_mm=table[..., 1].copy(),
        u_width_mm=table[..., 2].copy(),
    )


def worst_place(within: WithinWelds) -> WorstPlace | None:
    """Return the place that stands out; None where none does beyond the widths' own doubt.

    A place that fewer than half as many welds show as the best shown one is passed over.
    """
    squares = within.strayed_mm**2
    known = np.isfinite(squares)
    several = known.sum(axis=1) >= 2
    shown = known & several[:, None]
    if not shown.any():
        return None
    counts = shown.sum(axis=0)
    there = np.where(2 * counts >= counts.max(), _column_means(squares, shown), np.nan)
    place = int(np.nanargmax(there))
    welds = shown[:, place]
    others = np.arange(squares.shape[1]) != place
    elsewhere = _row_means(squares[welds][:, others])
    doubt = float(np.mean(within.u_width_mm[welds, place] ** 2))
    if there[place] - doubt <= STANDS_OUT**2 * elsewhere.mean():
        return None
    count = int(welds.sum())
    worst_in = int((np.nanargmax(squares[welds], axis=1) == place).sum())
    # Where welds show unequally many places the mean chance stands for all: that is on the safe
    # side (W. Hoeffding, Annals of Mathematical Statistics 27, 1956).
    picked = float(np.mean(1.0 / known[welds].sum(axis=1)))
    chance = float(binomtest(worst_in, count, picked, alternative="greater").pvalue)
    wider = within.wider_mm[welds]
    return WorstPlace(
        place=place,
        there_mm=float(np.sqrt(there[place])),
        elsewhere_mm=float(np.sqrt(elsewhere.mean())),
        wider_mm=float(np.mean(wider[:, place] - _row_means(wider[:, others]))),
        worst_in=worst_in,
        welds=count,
        by_chance=bool(chance * np.count_nonzero(counts) > 1.0 - CONFIDENCE),
        over_time=_over_time(within, welds, place),
    )


def strayed_by_person_mm(within: WithinWelds) -> dict[str, Floats]:
    """Root mean square of each person's welds at every place, by name; NaN where there is none."""
    people = sorted({row.person for row in within.rows})
    squares = {person: within.of(person).strayed_mm ** 2 for person in people}
    return {
        person: np.sqrt(_column_means(mine, np.isfinite(mine))) for person, mine in squares.items()
    }


def _over_time(within: WithinWelds, welds: Mask, place: int) -> Change | None:
    if len({row.person for row in within.rows}) > 1:
        return None
    readings = [
        Reading(value=float(strayed), standard_uncertainty=float(u))
        for strayed, u in zip(
            within.strayed_mm[welds, place], within.u_width_mm[welds, place], strict=True
        )
    ]
    part = min(len(readings) // 2, MOST_ON_A_SIDE)
    return change(readings[:part], readings[-part:]) if part >= 2 else None


def _latest_of_each(rows: Iterable[SummaryRow]) -> list[SummaryRow]:
    by_person: dict[str, list[SummaryRow]] = defaultdict(list)
    for row in rows:
        by_person[row.person].append(row)
    kept = {row.measurement for own in by_person.values() for row in own[-MOST_WELDS:]}
    return [row for own in by_person.values() for row in own if row.measurement in kept]


def _stretches(widths: Sequence[WidthAt], *, around: bool) -> list[tuple[float, float, float]]:
    """Strayed, wider and doubt at each place of one weld."""
    known = [each for each in widths if (each.clock_deg is not None) == around]
    if len({each.photo for each in known}) > 1 and not around:
        known = []
    width = np.array([each.width_mm for each in known])
    off = width - width.mean() if known else width
    doubt = np.array([each.u_width_mm for each in known]) ** 2
    if around:
        clock = np.array([each.clock_deg for each in known], dtype=np.float64)
        places, doubts = by_clock(clock, off), by_clock(clock, doubt)
    else:
        places, doubts = _thirds(known, off), _thirds(known, doubt)
    return [
        (_rms(place), place.mean, float(np.sqrt(u.mean)))
        for place, u in zip(places, doubts, strict=True)
    ]


def _thirds(known: Sequence[WidthAt], values: Floats) -> tuple[Stretch, ...]:
    s_mm = np.array([each.s_mm for each in known])
    length_mm = float(np.ptp(s_mm)) if known else 0.0
    if length_mm <= 0.0:
        return tuple(along([0.0, 1.0, 2.0], [np.nan] * THIRDS, stretch_mm=1.0))
    # A hair longer, so that the last station belongs to the last third.
    return along(s_mm, values, stretch_mm=length_mm / THIRDS * (1.0 + 1e-9))


def _rms(place: Stretch) -> float:
    spread = place.sd**2 * (place.count - 1) / max(place.count, 1)
    return float(np.sqrt(place.mean**2 + spread))


def _column_means(squares: Floats, shown: Mask) -> Floats:
    counts = shown.sum(axis=0)
    sums = np.where(shown, squares, 0.0).sum(axis=0)
    return np.where(counts > 0, sums / np.maximum(counts, 1), np.nan)


def _row_means(values: Floats) -> Floats:
    """Mean of each row's known values; every row has one."""
    means: Floats = np.nanmean(values, axis=1)
    return means
