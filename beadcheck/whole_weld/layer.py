"""Beads side by side from several photos, as one layer."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.result import (
    BeadWidthRecord,
    SectorBeadsRecord,
    SectorRecord,
    WholeLayerRecord,
    WholeLayerStationRecord,
)
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.merge import Line, Placed, over_places
from beadcheck.whole_weld.view import Floats

CORRELATION_MM: Final = 8.0
"""Length along the weld over which the errors of a bead's width stay alike."""
SHARED_U_MM: Final = 0.2
"""Standard uncertainty that all widths of one bead share, as all photos are of one camera and one
light: which side of each crease is lit, and how high the valleys lie (rendered caps)."""
LEAST_SEEN: Final = 0.3
"""A sector of which less is seen has no widths."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Widths:
    """(B, N) widths of B beads at the places of the line, and their standard uncertainties."""

    valleys_mm: Floats
    width_mm: Floats
    u_mm: Floats

    @property
    def seen(self) -> NDArray[np.bool_]:
        """(N,) bool: where all beads are."""
        return np.asarray(np.isfinite(self.width_mm).all(axis=0))


def whole_layer(
    placed: Sequence[Placed],
    line: Line,
    clock: Clock,
    sectors: Sequence[SectorRecord],
    *,
    u_scale_ratio: float,
) -> WholeLayerRecord | None:
    """Join the photos that show as many beads as most places do; None where none shows any."""
    layered = [each for each in placed if each.view.valleys_mm.shape[0] > 0]
    if not layered:
        return None
    votes = Counter[int]()
    for each in layered:
        votes[each.view.valleys_mm.shape[0]] += int(np.isfinite(each.view.valleys_mm).all(0).sum())
    valleys = votes.most_common(1)[0][0]
    agreeing = [each for each in layered if each.view.valleys_mm.shape[0] == valleys]
    widths = _widths(agreeing, line, u_scale_ratio)
    everywhere = np.ones(line.arc_mm.size, dtype=np.bool_)
    return WholeLayerRecord(
        count=valleys + 1,
        photos=tuple(each.view.photo for each in agreeing),
        widths=_records(widths, line, everywhere),
        sectors=tuple(
            SectorBeadsRecord(
                number=sector.number,
                widths=_records(widths, line, _inside(line, sector)),
            )
            for sector in sectors
        ),
        stations=tuple(
            WholeLayerStationRecord(
                arc_mm=float(line.arc_mm[i]),
                clock_deg=clock.degrees(float(line.arc_mm[i])),
                valleys_across_mm=tuple(map(float, widths.valleys_mm[:, i])),
                widths_mm=tuple(map(float, widths.width_mm[:, i])),
                widths_U_mm=tuple(COVERAGE_FACTOR * float(u) for u in widths.u_mm[:, i]),
            )
            for i in np.flatnonzero(widths.seen)
        ),
    )


def _widths(placed: Sequence[Placed], line: Line, u_scale_ratio: float) -> _Widths:
    """Weigh the photos at every place as their toes are: less the more aslant they see."""
    count = placed[0].view.valleys_mm.shape[0]
    places = np.full((len(placed), count, line.arc_mm.size), np.nan)
    u_mm, sine = np.full_like(places, np.nan), np.zeros((len(placed), 1, line.arc_mm.size))
    for row, each in enumerate(placed):
        view = each.view
        rows = (*view.valleys_mm, *view.u_valleys_mm, np.sin(np.radians(view.seen_deg)))
        found = over_places(each, rows, line.arc_mm, line.length_mm, closed=line.closed)
        places[row] = each.scale_ratio * found[:count]
        u_mm[row] = each.scale_ratio * found[count:-1]
        sine[row, 0] = np.nan_to_num(found[-1])
    weight = np.nan_to_num((sine / u_mm) ** 2)
    total = weight.sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        part = weight / total
        valleys = np.where(total > 0.0, np.nansum(part * places, axis=0), np.nan)
        own2 = np.nansum(part * u_mm**2, axis=0)
        apart2 = np.nansum(part * (places - valleys) ** 2, axis=0)
    u_valleys = np.sqrt(own2 + apart2)
    u_toe = line.own_u_mm / math.sqrt(2.0)
    edges = np.vstack([line.left_mm, valleys, line.right_mm])
    u_edges = np.vstack([u_toe, u_valleys, u_toe])
    width = np.diff(edges, axis=0)
    u_own = np.hypot(u_edges[1:], u_edges[:-1])
    return _Widths(
        valleys_mm=valleys,
        width_mm=width,
        u_mm=np.sqrt(u_own**2 + SHARED_U_MM**2 + (u_scale_ratio * width) ** 2),
    )


def _inside(line: Line, sector: SectorRecord) -> NDArray[np.bool_]:
    into_mm = line.arc_mm - sector.from_arc_mm
    if line.closed:
        into_mm = np.mod(into_mm, line.length_mm)
    return np.asarray((into_mm >= 0.0) & (into_mm < sector.to_arc_mm - sector.from_arc_mm))


def _records(widths: _Widths, line: Line, where: NDArray[np.bool_]) -> tuple[BeadWidthRecord, ...]:
    """Each bead over a part of the line; what all its widths share does not average out."""
    found = []
    for bead, (width_mm, u_mm) in enumerate(zip(widths.width_mm, widths.u_mm, strict=True)):
        used = where & np.isfinite(width_mm)
        if used.sum() < max(2.0, LEAST_SEEN * where.sum()):
            continue
        own, u_own = width_mm[used], u_mm[used]
        independent = max(1.0, used.sum() * line.step_mm / CORRELATION_MM)
        noise2 = np.maximum(u_own**2 - SHARED_U_MM**2, 0.0).mean()
        left_out = 1.0 - used.sum() / where.sum()
        u_mean = math.sqrt(
            noise2 / independent + SHARED_U_MM**2 + own.var() * left_out / independent
        )
        extreme_u = max(u_own[int(own.argmin())], u_own[int(own.argmax())])
        found.append(
            BeadWidthRecord(
                bead=bead + 1,
                mean_mm=float(own.mean()),
                mean_U_mm=COVERAGE_FACTOR * u_mean,
                min_mm=float(own.min()),
                max_mm=float(own.max()),
                extreme_U_mm=COVERAGE_FACTOR * float(extreme_u),
                count=int(used.sum()),
            )
        )
    return tuple(found)
