"""The width along single welds, out of the results as they were saved."""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from sqlalchemy import select

from beadcheck.log.open import Log
from beadcheck.log.summary import AT_ONCE
from beadcheck.log.tables import document
from beadcheck.quantity import COVERAGE_FACTOR


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthAt:
    """Width at one sure station of the steady weld.

    Attributes
    ----------
    photo
        Index of the photo; distances along the weld begin anew in each.
    clock_deg
        None on a plate.
    """

    photo: int
    s_mm: float
    clock_deg: float | None
    width_mm: float
    u_width_mm: float


def widths_along(log: Log, numbers: Iterable[int]) -> Mapping[int, tuple[WidthAt, ...]]:
    """Widths along the weld of each of these measurements; none where there was no target.

    Only the stations are read of each result, which was checked when it was saved.

    Raises
    ------
    LogError
    """
    found: dict[int, tuple[WidthAt, ...]] = {}
    rest = iter(numbers)
    with log.reading() as connection:
        while portion := list(islice(rest, AT_ONCE)):
            query = select(document.c.measurement_id, document.c.result).where(
                document.c.measurement_id.in_(portion)
            )
            for number, text in connection.execute(query):
                found[number] = tuple(_widths(text))
    return found


def _widths(text: str) -> Iterator[WidthAt]:
    for station in json.loads(text)["stations"]:
        width_mm, s_mm = station["weld_width_mm"], station["s_mm"]
        if station["sure"] and station["steady"] and width_mm is not None and s_mm is not None:
            yield WidthAt(
                photo=station["photo"],
                s_mm=s_mm,
                clock_deg=station["clock_deg"],
                width_mm=width_mm,
                u_width_mm=station["weld_width_U_mm"] / COVERAGE_FACTOR,
            )
