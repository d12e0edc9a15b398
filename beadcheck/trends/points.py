"""What stands as one point on a person's charts: one value of a weld, or several readings."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from beadcheck.consistency.chart_constants import MOST_READINGS
from beadcheck.consistency.control_chart import FEWEST_VALUES
from beadcheck.log import SummaryRow


class Grouping(StrEnum):
    """Why the readings stand together, or do not."""

    SINGLE = "single"
    UNEVEN = "uneven"
    PHOTOS = "photos"
    PASSES = "passes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One point of the charts.

    Attributes
    ----------
    welds
        Indices of the welds that it stands for.
    readings
        The value that stands for the weld, or the several readings.
    measured_at
        When the last of them was measured.
    """

    welds: tuple[int, ...]
    readings: tuple[float, ...]
    measured_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """Points in their order.

    Attributes
    ----------
    sizes
        How many readings the welds have, each number once, ascending.
    """

    grouping: Grouping
    each: tuple[Point, ...]
    sizes: tuple[int, ...]

    @property
    def grouped(self) -> bool:
        """Whether each point is several readings, so that a chart of means and ranges suits."""
        return self.grouping in {Grouping.PHOTOS, Grouping.PASSES}


def points_of(rows: Sequence[SummaryRow], parts: Sequence[SummaryRow]) -> Points:
    """Group readings where every group is as large; else one value stands for each weld.

    Groups are the photos of a weld, or the passes of a coupon where all are of one kind: passes
    that differ by their kind would make the spread within a group mean something else than chance
    (rational subgroups: ISO 7870-2; NIST/SEMATECH e-Handbook, 6.3.2).

    Parameters
    ----------
    rows
        The value that stands for each weld, oldest first.
    parts
        What single photos gave beside it.
    """
    readings = single_readings(rows, parts)
    sizes = [len(each) for each in readings]
    by_coupon: dict[str, list[int]] = defaultdict(list)
    for index, row in enumerate(rows):
        by_coupon[row.coupon].append(index)
    coupons = [tuple(welds) for welds in by_coupon.values()]
    kinds = {row.weld_pass for row in rows}
    if _alike(sizes):
        grouping = Grouping.PHOTOS
        each = [
            _point(rows, (index,), [reading.value for reading in mine])
            for index, mine in enumerate(readings)
        ]
    elif len(kinds) == 1 and None not in kinds and _alike([len(welds) for welds in coupons]):
        grouping = Grouping.PASSES
        each = [_point(rows, welds, [rows[k].value for k in welds]) for welds in coupons]
    else:
        grouping = Grouping.UNEVEN if max(sizes, default=1) > 1 else Grouping.SINGLE
        each = [_point(rows, (index,), [row.value]) for index, row in enumerate(rows)]
    return Points(grouping=grouping, each=tuple(each), sizes=tuple(sorted(set(sizes))))


def single_readings(
    rows: Sequence[SummaryRow], parts: Sequence[SummaryRow]
) -> list[tuple[SummaryRow, ...]]:
    """What the photos of each weld gave; the one value, where nothing else is known."""
    of: dict[int, list[SummaryRow]] = defaultdict(list)
    for part in parts:
        of[part.measurement].append(part)
    return [
        # A value of the whole coupon is made of the others, and is no reading beside them.
        (*of[row.measurement], *([row] if row.photo is not None or not of[row.measurement] else []))
        for row in rows
    ]


def _alike(sizes: Sequence[int]) -> bool:
    """Whether groups of these sizes make charts of means and ranges."""
    one_size = len(set(sizes)) == 1 and 2 <= sizes[0] <= MOST_READINGS
    return one_size and len(sizes) >= FEWEST_VALUES


def _point(rows: Sequence[SummaryRow], welds: tuple[int, ...], readings: Sequence[float]) -> Point:
    return Point(
        welds=welds,
        readings=tuple(readings),
        measured_at=max(rows[k].measured_at for k in welds),
    )
