"""From places of the whole weld into the pixels of one of its photos."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.result import Result, StationRecord, WholeWeldRecord

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Toe:
    """One toe of one photo at N places along, growing.

    `across_mm`, (N,), is how far across it lies, `px`, (N, 2), where it is seen.
    """

    arc_mm: Floats
    across_mm: Floats
    px: Floats

    def at(self, arc_mm: Floats) -> tuple[Floats, Floats]:
        """Place across, (M,), and pixels, (M, 2), at any places along; past an end, straight on."""
        values = np.concatenate([self.across_mm[:, None], self.px], axis=1)
        # The stretch that a place lies in, or the one beside it.
        k = np.clip(np.searchsorted(self.arc_mm, arc_mm) - 1, 0, self.arc_mm.size - 2)
        into = (arc_mm - self.arc_mm[k]) / (self.arc_mm[k + 1] - self.arc_mm[k])
        there = values[k] + into[:, None] * (values[k + 1] - values[k])
        return there[:, 0], there[:, 1:]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Way:
    """Where the places of the whole weld lie in one photo.

    Attributes
    ----------
    photo
        Index into the result's photos.
    arc_mm, seen_deg
        (N,) the stations that it shows well enough, in order and not counted round, and the angle
        at which each is seen.
    left, right
        Both toes, at all its stations.
    """

    photo: int
    arc_mm: Floats
    seen_deg: Floats
    left: Toe
    right: Toe

    def to_px(self, arc_mm: Floats, across_mm: Floats) -> Floats:
        """(R, C, 2) pixels of C places along and R places across.

        Each lies on the straight line through both toes; the photo's perspective bends it by less
        than a tenth of a pixel so near to them.
        """
        left_mm, left_px = self.left.at(arc_mm)
        right_mm, right_px = self.right.at(arc_mm)
        slope = (right_px - left_px) / (right_mm - left_mm)[:, None]
        return np.asarray(left_px + (across_mm[:, None] - left_mm)[..., None] * slope)


def ways(result: Result, whole: WholeWeldRecord) -> tuple[Way, ...]:
    """Ways into every photo of the whole weld.

    A photo's stations tell both of each toe, its pixels and its place in the target's frame, as the
    photo's surface laid them.
    """
    across_weld = _course(result, whole)
    found = []
    for placed in whole.placed:
        own = [s for s in result.stations if s.photo == placed.photo and _placed_station(s)]
        ratio = 1.0 if whole.closure is None else whole.closure.scale_ratio
        toes_mm = np.array([(s.left_toe_mm, s.right_toe_mm) for s in own], dtype=np.float64)
        if across_weld is not None:
            toes_mm = across_weld.apply(toes_mm.reshape(-1, 2)).reshape(toes_mm.shape)
        else:
            toes_mm = ratio * (toes_mm + np.array([placed.offset_mm, 0.0]))
        toes_px = np.array([(s.left_toe_px, s.right_toe_px) for s in own], dtype=np.float64)
        found.append(_way(placed.photo, own, toes_mm, toes_px))
    return tuple(found)


def _placed_station(station: StationRecord) -> bool:
    return None not in (station.left_toe_mm, station.right_toe_mm, station.seen_at_deg)


def _way(photo: int, own: list[StationRecord], toes_mm: Floats, toes_px: Floats) -> Way:
    counts = np.array([s.sure and s.steady for s in own], dtype=np.bool_)
    middle_mm = toes_mm[:, :, 0].mean(axis=1)[counts]
    seen = np.array([s.seen_at_deg for s in own], dtype=np.float64)[counts]
    order = np.argsort(middle_mm)
    left, right = (_toe(toes_mm[:, side], toes_px[:, side]) for side in (0, 1))
    return Way(photo=photo, arc_mm=middle_mm[order], seen_deg=seen[order], left=left, right=right)


def _toe(toe_mm: Floats, toe_px: Floats) -> Toe:
    arc_mm, first = np.unique(toe_mm[:, 0], return_index=True)
    return Toe(arc_mm=arc_mm, across_mm=toe_mm[first, 1], px=toe_px[first])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Course:
    """Turn and shift of a plate's target frame onto places along and across its weld."""

    turn: Floats
    shift: Floats

    def apply(self, points_mm: Floats) -> Floats:
        return np.asarray(points_mm @ self.turn + self.shift)


def _course(result: Result, whole: WholeWeldRecord) -> _Course | None:
    """How a plate's weld lies in the frame of its target; None on pipe, where the strip tells."""
    if whole.shape == "pipe":
        return None
    pairs = [(each, result.stations[each.station]) for each in whole.stations]
    framed = np.array(
        [0.5 * (np.array(s.left_toe_mm) + np.array(s.right_toe_mm)) for _, s in pairs]
    )
    laid = np.array([(w.arc_mm, 0.5 * (w.left_across_mm + w.right_across_mm)) for w, _ in pairs])
    # Turn without stretching by the singular value decomposition (Kabsch 1976).
    left, _, right = np.linalg.svd((framed - framed.mean(axis=0)).T @ (laid - laid.mean(axis=0)))
    turn = left @ np.diag([1.0, np.sign(np.linalg.det(left @ right))]) @ right
    return _Course(turn=turn, shift=laid.mean(axis=0) - framed.mean(axis=0) @ turn)
