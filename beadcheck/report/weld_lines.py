"""The weld of one photo as lines, ready to be drawn at any size."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import groupby
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import Points
from beadcheck.result import OpeningRecord, QuantityRecord, Result, StationRecord, TackRecord

GAP_STEPS: Final = 2.5
"""Stations farther apart than this many of their usual steps are not joined by a line."""
MARKS: Final = 12.0
"""About as many numbered places stand along a weld whose photo has no scale."""


class ToeState(Enum):
    """How the toes stand at a stretch of stations, and so how they are drawn."""

    SURE = auto()
    UNSURE = auto()
    LEFT_OUT = auto()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stretch:
    """Neighbouring stations in one state; both toes as (N, 2) pixels."""

    state: ToeState
    left_px: Points
    right_px: Points


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """The narrowest or the widest station: its index, the word for it, its width and U."""

    station: int
    word: str
    width: float
    expanded: float | None
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldLines:
    """One photo's weld.

    Attributes
    ----------
    s
        (N,) stations, growing, in `unit`: mm, or px in a photo without a target.
    left_px, right_px
        (N, 2) the toes there.
    clock_deg
        (N,) clock positions without a jump at 12 o'clock, or None.
    crests_px
        (M, 2) ripple crests.
    valleys_px
        (K, 2) each, the stretches of the valleys between beads side by side that are seen.
    extremes
        Narrowest and widest station that statistics use, in the order along the weld.
    tacks, of_joint
        Tacks of a joint that is not welded yet, and whether it is one: toes are the edges of its
        root opening then.
    """

    stations: tuple[StationRecord, ...]
    s: NDArray[np.float64]
    unit: str
    left_px: Points
    right_px: Points
    clock_deg: NDArray[np.float64] | None
    crests_px: Points
    valleys_px: tuple[Points, ...] = ()
    extremes: tuple[Extreme, ...]
    tacks: tuple[TackRecord, ...] = ()
    of_joint: bool = False

    @property
    def middle_px(self) -> Points:
        """(N, 2) midway between the toes."""
        return 0.5 * (self.left_px + self.right_px)

    @property
    def width_px(self) -> float:
        """Typical distance between the toes."""
        return float(np.median(np.hypot(*(self.right_px - self.left_px).T)))

    def at(self, s: NDArray[np.float64]) -> tuple[Points, Points]:
        """Both toes at any places along the weld, between the stations."""
        left, right = (
            np.stack([np.interp(s, self.s, toe[:, i]) for i in (0, 1)], axis=1)
            for toe in (self.left_px, self.right_px)
        )
        return left, right

    @property
    def numbered_step(self) -> float:
        """Distance between numbered places, in `unit`: 10 mm, or a round number of pixels."""
        if self.unit == "mm":
            return 10.0
        wished = max(float(np.ptp(self.s)) / MARKS, 1.0)
        decade = 10.0 ** np.floor(np.log10(wished))
        return float(decade * next(each for each in (1, 2, 5, 10) if each * decade >= wished))

    def marks(self, step: float) -> NDArray[np.float64]:
        """Every multiple of a step that lies on the weld."""
        first = np.ceil(self.s[0] / step)
        last = np.floor(self.s[-1] / step)
        # Adding 0 makes a -0 a 0.
        return step * np.arange(first, last + 1.0) + 0.0

    def clock_marks(self, step_deg: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Places along the weld of every multiple of a step of the clock, and these positions.

        Both are empty where the clock positions are not known.
        """
        if self.clock_deg is None:
            return np.empty(0), np.empty(0)
        order = np.argsort(self.clock_deg)
        clock, s = self.clock_deg[order], self.s[order]
        first, last = np.ceil(clock[0] / step_deg), np.floor(clock[-1] / step_deg)
        marks_deg = step_deg * np.arange(first, last + 1.0)
        return np.interp(marks_deg, clock, s), marks_deg % 360.0

    def moved(self, matrix: NDArray[np.float64]) -> "WeldLines":
        """Return the same weld after a (2, 3) affine map of its pixels."""

        def move(points: Points) -> Points:
            return points @ matrix[:, :2].T + matrix[:, 2]

        return replace(
            self,
            left_px=move(self.left_px),
            right_px=move(self.right_px),
            crests_px=move(self.crests_px),
            valleys_px=tuple(map(move, self.valleys_px)),
        )

    def hand_lines(self) -> Iterator[Points]:
        """Return each run of a toe that a person placed, as (N, 2) pixels."""
        for toe_px, by_hand in (
            (self.left_px, [station.left_placed_by_hand for station in self.stations]),
            (self.right_px, [station.right_placed_by_hand for station in self.stations]),
        ):
            for run in _runs(by_hand):
                yield toe_px[run]

    def stretches(self) -> Iterator[Stretch]:
        """Runs of stations in one state; each reaches to the first station of the next."""
        states = [_state(station) for station in self.stations]
        steps = np.diff(self.s)
        starts_anew = np.concatenate([[0], np.cumsum(steps > GAP_STEPS * np.median(steps))])
        keys = list(zip(starts_anew, states, strict=True))
        for (part, state), group in groupby(range(len(keys)), key=keys.__getitem__):
            indices = list(group)
            following = indices[-1] + 1
            if following < len(keys) and keys[following][0] == part:
                indices.append(following)
            yield Stretch(
                state=state, left_px=self.left_px[indices], right_px=self.right_px[indices]
            )


def _runs(members: Sequence[bool]) -> Iterator[list[int]]:
    """Indices of each run of members."""
    for member, group in groupby(range(len(members)), key=members.__getitem__):
        if member:
            yield list(group)


def weld_lines(result: Result, photo_index: int) -> WeldLines | None:
    """Weld of one photo in its own pixels, or None where fewer than two stations are known."""
    openings = [each for each in result.openings if each.photo == photo_index]
    found = [station for station in result.stations if station.photo == photo_index]
    stations = sorted(map(_as_station, openings) if openings else found, key=_place)
    if len(stations) < 2:
        return None
    crests = [ripple.px for ripple in result.ripples if ripple.photo == photo_index]
    return WeldLines(
        stations=tuple(stations),
        s=np.array([_place(station) for station in stations]),
        unit="mm" if stations[0].s_px is None else "px",
        left_px=np.array([station.left_toe_px for station in stations], dtype=np.float64),
        right_px=np.array([station.right_toe_px for station in stations], dtype=np.float64),
        clock_deg=_clock(stations),
        crests_px=np.array(crests, dtype=np.float64).reshape(-1, 2),
        valleys_px=tuple(_valleys(result, photo_index)),
        tacks=tuple(each for each in result.tacks if each.photo == photo_index),
        of_joint=bool(openings),
        extremes=_extremes(
            stations, [each for each in result.quantities if each.photo == photo_index]
        ),
    )


def _valleys(result: Result, photo_index: int) -> Iterator[Points]:
    """Return the seen stretches of every valley between beads side by side."""
    for layer in result.layers:
        if layer.photo == photo_index and layer.stations:
            px = np.array([each.valleys_px for each in layer.stations])
            for valley in range(px.shape[1]):
                for run in _runs([each.seen[valley] for each in layer.stations]):
                    yield px[run, valley]


def _as_station(each: OpeningRecord) -> StationRecord:
    """An open joint's station is drawn as a weld's, its edges in place of the toes."""
    return StationRecord(
        photo=each.photo,
        s_mm=each.s_mm,
        clock_deg=each.clock_deg,
        left_toe_px=each.left_px,
        right_toe_px=each.right_px,
        weld_width_mm=each.opening_mm,
        weld_width_U_mm=each.opening_U_mm,
        sure=each.sure,
        steady=True,
    )


def _place(station: StationRecord) -> float:
    """Where along the weld: in mm, or in pixels in a photo without a target."""
    place = station.s_mm if station.s_px is None else station.s_px
    return 0.0 if place is None else place


def _state(station: StationRecord) -> ToeState:
    if not station.steady:
        return ToeState.LEFT_OUT
    return ToeState.SURE if station.sure else ToeState.UNSURE


def _clock(stations: Sequence[StationRecord]) -> NDArray[np.float64] | None:
    clock = [station.clock_deg for station in stations]
    known = [each for each in clock if each is not None]
    if len(known) < len(clock):
        return None
    return np.asarray(np.unwrap(known, period=360.0), dtype=np.float64)


def _extremes(
    stations: Sequence[StationRecord], quantities: Sequence[QuantityRecord]
) -> tuple[Extreme, ...]:
    """Narrowest and widest station that statistics use, in the order along the weld.

    Each carries the U of the narrowest or widest width as a quantity, so that one picture does not
    show two of them.
    """
    unit = "mm" if stations[0].weld_width_px is None else "px"
    widths = {
        index: width
        for index, station in enumerate(stations)
        if station.sure and station.steady and (width := _width(station)) is not None
    }
    expanded = {
        each.statistic: each.expanded_uncertainty
        for each in quantities
        if each.name in {"weld_width", "root_opening"} and each.unit == unit
    }
    if not widths or not expanded:
        return ()  # a photo that was refused has no narrowest place, only stations
    extremes = [
        Extreme(
            station=index,
            word=word,
            width=widths[index],
            expanded=expanded.get(statistic),
            unit=unit,
        )
        for index, word, statistic in (
            (min(widths, key=widths.__getitem__), "narrowest", "min"),
            (max(widths, key=widths.__getitem__), "widest", "max"),
        )
    ]
    return tuple(sorted(extremes, key=lambda each: each.station))


def _width(station: StationRecord) -> float | None:
    return station.weld_width_mm if station.weld_width_px is None else station.weld_width_px
