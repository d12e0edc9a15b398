"""What one photo from above shows of the weld, in the target's own frame."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import PhotoKind
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    Quantity,
    QuantityName,
    Scope,
    Statistic,
    combined_standard_uncertainty,
)
from beadcheck.result import (
    PhotoRecord,
    Result,
    StationRecord,
    TargetFrameRecord,
    quantity_of,
)

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

COLUMNS: Final = 7
"""Numbers of a station: two places, width, its doubt, angle of sight."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class View:
    """One photo: N stations that statistics use, and K ripple crests.

    Attributes
    ----------
    photo
        Index into the result's photos.
    x_mm
        (N,) along the weld in the target's frame, growing.
    left_mm, right_mm
        (N,) y of the toes.
    u_mm
        (N,) standard uncertainty of the widths, what all of a photo shares included.
    shared_u_mm
        The part of that which all widths of the photo share.
    seen_deg
        (N,) between line of sight and surface.
    station
        (N,) index into the result's stations.
    crest_mm, crest
        (K,) x of the crests, growing, and their index into the result's ripples.
    valleys_mm, u_valleys_mm
        (V, N) y of the valleys between beads side by side, growing, and its standard uncertainty;
        NaN where one is not seen, and no row for a single bead.
    crest_bow_mm
        (K,) how far their ends at the toes lie ahead of their middles, along x; NaN where not told.
    quantities
        What the photo gave, for the budgets.
    """

    photo: int
    record: PhotoRecord
    frame: TargetFrameRecord
    x_mm: Floats
    left_mm: Floats
    right_mm: Floats
    width_mm: Floats
    u_mm: Floats
    shared_u_mm: float
    seen_deg: Floats
    station: Places
    crest_mm: Floats
    crest: Places
    valleys_mm: Floats
    u_valleys_mm: Floats
    crest_bow_mm: Floats
    quantities: tuple[Quantity, ...]

    @property
    def middle_mm(self) -> Floats:
        """(N,) y midway between the toes."""
        return 0.5 * (self.left_mm + self.right_mm)

    def quantity(self, name: QuantityName, statistic: Statistic) -> Quantity | None:
        """One of the photo's own values."""
        return next(
            (q for q in self.quantities if (q.name, q.statistic) == (name, statistic)), None
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """The straight line in a target's frame along which x counts, y to its right: (2,) each."""

    start_mm: Floats
    direction: Floats

    def places(self, points_mm: Floats) -> Floats:
        """(N, 2) places along and across the line."""
        along, across = self.direction, np.array([-self.direction[1], self.direction[0]])
        return np.asarray((points_mm - self.start_mm) @ np.stack([along, across], axis=1))


AS_FRAMED: Final = Course(start_mm=np.zeros(2), direction=np.array([1.0, 0.0]))
"""The target's frame itself."""


def views_of(result: Result, course: Course = AS_FRAMED) -> tuple[View, ...]:
    """Views of the photos from above in which a target and the weld were found, in their order."""
    found = []
    for photo, record in enumerate(result.photos):
        if record.kind == PhotoKind.FACE and record.usable and record.frame is not None:
            view = _view(result, photo, record, record.frame, course)
            if view is not None:
                found.append(view)
    return tuple(found)


def _view(
    result: Result, photo: int, record: PhotoRecord, frame: TargetFrameRecord, course: Course
) -> View | None:
    own = [
        (place, station)
        for place, station in enumerate(result.stations)
        if station.photo == photo and station.sure and station.steady
    ]
    rows = np.array([row for _, station in own for row in _row(station)], dtype=np.float64)
    if len(own) < 2 or rows.size != COLUMNS * len(own):
        return None
    rows = rows.reshape(-1, COLUMNS)
    left_mm, right_mm = (course.places(rows[:, first : first + 2]) for first in (0, 2))
    x_mm = 0.5 * (left_mm[:, 0] + right_mm[:, 0])
    order = np.argsort(x_mm, kind="stable")
    width_mm, u_mm, seen_deg = rows[order, 4:].T
    quantities = tuple(quantity_of(q) for q in result.quantities if q.photo == photo)
    crests = sorted(
        (float(course.places(np.array(ripple.place_mm))[0]), place)
        for place, ripple in enumerate(result.ripples)
        if ripple.photo == photo and ripple.place_mm is not None
    )
    valleys_mm, u_valleys_mm = _valleys(result, photo, [each for _, each in own], course)
    return View(
        photo=photo,
        record=record,
        frame=frame,
        x_mm=x_mm[order],
        left_mm=left_mm[order, 1],
        right_mm=right_mm[order, 1],
        width_mm=width_mm,
        u_mm=u_mm,
        shared_u_mm=_shared_u_mm(quantities),
        seen_deg=seen_deg,
        station=np.array([place for place, _ in own], dtype=np.intp)[order],
        crest_mm=np.array([x for x, _ in crests], dtype=np.float64),
        crest=np.array([place for _, place in crests], dtype=np.intp),
        valleys_mm=valleys_mm[:, order],
        u_valleys_mm=u_valleys_mm[:, order],
        crest_bow_mm=_bows_mm(result, [place for _, place in crests]),
        quantities=quantities,
    )


def _valleys(
    result: Result, photo: int, own: Sequence[StationRecord], course: Course
) -> tuple[Floats, Floats]:
    """(V, N) places across of the valleys at a photo's stations, and their uncertainties."""
    stations = {
        each.s_mm: each
        for layer in result.layers
        if layer.photo == photo
        for each in layer.stations
    }
    count = max((len(each.seen) for each in stations.values()), default=0)
    places, u_mm = np.full((2, count, len(own)), np.nan)
    for column, station in enumerate(own):
        at = None if station.s_mm is None else stations.get(station.s_mm)
        if at is None:
            continue
        across = course.places(np.array(at.valleys_mm))[:, 1]
        seen = np.array(at.seen)
        order = np.argsort(across)
        places[:, column] = np.where(seen, across, np.nan)[order]
        expanded = np.where(seen, np.array(at.valleys_U_mm), np.nan)
        u_mm[:, column] = expanded[order] / COVERAGE_FACTOR
    return places, u_mm


def _bows_mm(result: Result, crests: Sequence[int]) -> Floats:
    """(K,) bows along x of crests in the order of x, by their index into the result's ripples.

    A photo's own s may grow the other way.
    """
    bows = [result.ripples[crest].bow_mm for crest in crests]
    sense = 1.0 if len(crests) < 2 or crests[0] < crests[-1] else -1.0
    return sense * np.array([math.nan if bow is None else bow for bow in bows], dtype=np.float64)


def _row(station: StationRecord) -> Sequence[float]:
    """Both toes, width, its standard uncertainty and the angle of sight; empty without."""
    left, right = station.left_toe_mm, station.right_toe_mm
    width_mm, expanded, seen = (
        station.weld_width_mm,
        station.weld_width_U_mm,
        station.seen_at_deg,
    )
    if left is None or right is None or width_mm is None or expanded is None or seen is None:
        return ()
    u_mm = expanded / COVERAGE_FACTOR
    return (*left, *right, width_mm, u_mm, seen)


def _shared_u_mm(quantities: Sequence[Quantity]) -> float:
    """What all widths of one photo share: the mean's budget, its own stations' part left out."""
    for quantity in quantities:
        if (quantity.name, quantity.statistic) == (QuantityName.WELD_WIDTH, Statistic.MEAN):
            return combined_standard_uncertainty(
                c for c in quantity.budget if c.scope is not Scope.STATION
            )
    return 0.0
