"""The stations of all photos as one line of stations, a millimetre apart."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.whole_weld.view import Floats, Places, View

NEAR_MM: Final = 1.6
"""A place between two stations of a photo that lie no further apart than twice this is seen."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Placed:
    """A view where it lies in the whole weld.

    Attributes
    ----------
    offset_mm, u_offset_mm
        To be added to its x, and the standard uncertainty of that.
    scale_ratio
        By what all its lengths are multiplied then.
    """

    view: View
    offset_mm: float
    u_offset_mm: float
    scale_ratio: float

    def arc_mm(self, x_mm: Floats) -> Floats:
        """Places along the weld of places in the view's frame, not counted round yet."""
        return (x_mm + self.offset_mm) * self.scale_ratio


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """The weld at N evenly spaced places; NaN where no photo shows it well enough.

    Attributes
    ----------
    length_mm
        Of the whole line; on pipe it closes on itself.
    closed
        Whether it does.
    arc_mm, left_mm, right_mm, width_mm
        (N,) places, toes across the weld, and widths.
    u_mm, own_u_mm
        (N,) standard uncertainty of the width, and the part of it that no other place shares.
    u_arc_mm
        (N,) of the place, scale left out.
    best
        (N,) place in `placed` of the view that shows it most squarely; -1 where none does.
    seen_by
        (V, N) bool: which views show it.
    station
        (N,) index into the result's stations of the best view's nearest station; -1 without one.
    """

    length_mm: float
    closed: bool
    arc_mm: Floats
    left_mm: Floats
    right_mm: Floats
    width_mm: Floats
    u_mm: Floats
    own_u_mm: Floats
    u_arc_mm: Floats
    best: Places
    seen_by: NDArray[np.bool_]
    station: Places

    @property
    def seen(self) -> NDArray[np.bool_]:
        """(N,) bool: where any photo shows it."""
        return self.best >= 0

    @property
    def step_mm(self) -> float:
        """Distance from one place to the next."""
        return self.length_mm / self.arc_mm.size

    @property
    def middle_mm(self) -> Floats:
        """(N,) midway between the toes."""
        return 0.5 * (self.left_mm + self.right_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Share:
    """What one view says at all N places; NaN where it says nothing."""

    values: Floats
    station: Places


def merged(placed: Sequence[Placed], *, length_mm: float, closed: bool) -> Line:
    """Weigh the photos at every place: by their uncertainties, and less the more aslant they see.

    What each photo's widths share is taken to be shared by all photos, as they were taken with one
    camera in one light: it does not average out.
    """
    count = max(1, round(length_mm))
    arc_mm = np.asarray((np.arange(count) + 0.5) * (length_mm / count), dtype=np.float64)
    shares = [_share(each, arc_mm, length_mm, closed=closed) for each in placed]
    # Rows of `values`: left, right, width, u, sine of the angle of sight.
    values = np.stack([share.values for share in shares])
    sine, u_mm = values[:, 4], values[:, 3]
    shared_u = np.array([each.view.shared_u_mm for each in placed])[:, None] * np.ones(count)
    weight = np.nan_to_num((sine / u_mm) ** 2)
    seen = weight > 0.0
    total = weight.sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        part = weight / total
        left, right, width = (
            np.where(total > 0.0, np.nansum(part * values[:, row], axis=0), np.nan)
            for row in range(3)
        )
        own2 = np.maximum(u_mm**2 - shared_u**2, 0.0) / sine**2
        # Photos that differ by more than they own to know each place no better than that.
        apart2 = np.nansum(part * (values[:, 2] - width) ** 2, axis=0)
        several = np.maximum(seen.sum(axis=0) - 1, 1)
        own_u = np.sqrt(np.nansum(part**2 * own2, axis=0) + apart2 / several)
        u_shared = np.nansum(part * np.minimum(shared_u, u_mm), axis=0)
        offsets = np.array([each.u_offset_mm for each in placed])[:, None]
        u_arc = np.sqrt(np.nansum(part * offsets**2, axis=0))
    best = np.where(total > 0.0, np.argmax(np.nan_to_num(sine), axis=0), -1)
    station = np.array([share.station for share in shares])[best, np.arange(count)]
    return Line(
        length_mm=length_mm,
        closed=closed,
        arc_mm=arc_mm,
        left_mm=left,
        right_mm=right,
        width_mm=width,
        u_mm=np.where(total > 0.0, np.hypot(own_u, u_shared), np.nan),
        own_u_mm=np.where(total > 0.0, own_u, np.nan),
        u_arc_mm=np.where(total > 0.0, u_arc, np.nan),
        best=best,
        seen_by=seen,
        station=np.where(best >= 0, station, -1),
    )


def _share(placed: Placed, arc_mm: Floats, length_mm: float, *, closed: bool) -> _Share:
    view, ratio = placed.view, placed.scale_ratio
    own_mm = placed.arc_mm(view.x_mm)
    station = np.full(arc_mm.size, -1, dtype=np.intp)
    rows = (
        ratio * view.left_mm,
        ratio * view.right_mm,
        ratio * view.width_mm,
        ratio * view.u_mm,
        np.sin(np.radians(view.seen_deg)),
    )
    values = over_places(placed, rows, arc_mm, length_mm, closed=closed)
    for at_mm, after, near in _turns(own_mm, arc_mm, length_mm, closed=closed):
        nearer = np.where(
            np.abs(own_mm[after] - at_mm) < np.abs(own_mm[after - 1] - at_mm), after, after - 1
        )
        station[near] = view.station[nearer[near]]
    return _Share(values=values, station=station)


def over_places(
    placed: Placed, rows: Sequence[Floats], arc_mm: Floats, length_mm: float, *, closed: bool
) -> Floats:
    """(R, N) what a view says at its own stations, at places of the whole weld; NaN beyond it."""
    own_mm = placed.arc_mm(placed.view.x_mm)
    values = np.full((len(rows), arc_mm.size), np.nan)
    for at_mm, _, near in _turns(own_mm, arc_mm, length_mm, closed=closed):
        for row, of_view in enumerate(rows):
            values[row, near] = np.interp(at_mm[near], own_mm, of_view)
    return values


def _turns(
    own_mm: Floats, arc_mm: Floats, length_mm: float, *, closed: bool
) -> Iterator[tuple[Floats, Places, NDArray[np.bool_]]]:
    """Places counted on by whole turns, the station after each, and whether it is near enough."""
    turns = np.arange(np.floor(own_mm[0] / length_mm), np.floor(own_mm[-1] / length_mm) + 1.0)
    for turn in turns if closed else (0.0,):
        at_mm = arc_mm + turn * length_mm
        after = np.clip(np.searchsorted(own_mm, at_mm), 1, own_mm.size - 1)
        near = (at_mm >= own_mm[0] - 0.5) & (at_mm <= own_mm[-1] + 0.5)
        near &= own_mm[after] - own_mm[after - 1] <= 2.0 * NEAR_MM
        yield at_mm, after, near
