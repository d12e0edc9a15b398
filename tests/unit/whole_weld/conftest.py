"""Invented welds with exact truth, as the results of single photos tell them.

A strip lies round a pipe in glued segments; every photo sees a stretch of it in the frame of the
segment that it shows most of. Nothing here is taken from the library's own geometry.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from beadcheck.coupon import Coupon, Position, Process, Progression, Shape
from beadcheck.pipeline import join
from beadcheck.result import (
    PhotoRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
    TargetFrameRecord,
    TargetPartRecord,
    coupon_record,
)

SEGMENT_MM = 238.0


@dataclass(frozen=True, kw_only=True)
class Ring:
    """A weld all round a pipe.

    `print_ratio` is printed over nominal length; `taken_ratio` what the photos were measured with.
    Widths are a mean, a wave of three periods and, behind `step_at_mm`, a step up to 12 o'clock.
    """

    true_mm: float = 219.1
    entered_mm: float = 219.1
    print_ratio: float = 1.0
    taken_ratio: float = 1.0
    bar_measured: bool = False
    slack_mm: float = 0.0
    shifts_mm: tuple[float, ...] = (0.0, 0.25, -0.1)
    spacing_mm: float = 2.13
    width_mm: float = 8.0
    wave_mm: float = 0.3
    step_mm: float = 0.0
    step_at_mm: float = 250.0
    toe_mm: float = -6.0
    meet_at_mm: tuple[float, float] | None = None
    stands_off: tuple[int, ...] = ()
    wander_mm: float = 0.0
    seam_hidden: bool = False
    photos: int = 7
    half_view_deg: float = 36.0
    noise_mm: float = 0.05
    generator: np.random.Generator = field(default_factory=lambda: np.random.default_rng(53))

    @property
    def girth_mm(self) -> float:
        return math.pi * self.true_mm

    @property
    def seen_ratio(self) -> float:
        """Length that a photo tells over the true one."""
        return self.taken_ratio / self.print_ratio

    @property
    def crests(self) -> int:
        return round(self.girth_mm / self.spacing_mm)

    @property
    def coupon(self) -> Coupon:
        return Coupon(
            shape=Shape.PIPE,
            outside_diameter_mm=self.entered_mm,
            process=Process.SMAW,
            position=Position.FIXED_INCLINED,
            progression=Progression.UP,
        )

    def width_at(self, arc_mm: np.ndarray) -> np.ndarray:
        turn = np.mod(arc_mm, self.girth_mm)
        return (
            self.width_mm
            + self.wave_mm * np.sin(6.0 * np.pi * turn / self.girth_mm)
            + self.step_mm * (turn > self.step_at_mm)
        )

    def photo(self, number: int, *, file: str | None = None) -> Result:
        middle_mm = (number + 0.37) / self.photos * self.girth_mm
        reach_mm = math.radians(self.half_view_deg) * 0.5 * self.true_mm
        arc_mm = np.arange(middle_mm - reach_mm, middle_mm + reach_mm)
        crest_mm = np.arange(-self.crests, 2 * self.crests) * self.girth_mm / self.crests
        crest_mm = crest_mm[(crest_mm > arc_mm[0]) & (crest_mm < arc_mm[-1])]
        width_mm = self.width_at(arc_mm) + self.generator.normal(size=arc_mm.size) * self.noise_mm
        parts = self._parts(middle_mm, reach_mm)
        slipped_mm = self.shifts_mm[parts[0].segment] * self.seen_ratio
        x_mm = (arc_mm + self._stood_off_mm(arc_mm)) * self.seen_ratio - slipped_mm
        seen_deg = 90.0 - 1.25 * np.degrees(np.abs(arc_mm - middle_mm) / (0.5 * self.true_mm))
        stations = tuple(
            StationRecord(
                photo=0,
                s_mm=float(x),
                clock_deg=float(360.0 * arc / self.girth_mm % 360.0),
                left_toe_px=(float(k), 100.0),
                right_toe_px=(float(k), 200.0),
                weld_width_mm=float(width * self.seen_ratio),
                weld_width_U_mm=0.2,
                sure=True,
                steady=True,
                left_toe_mm=(float(x), float(toe - width)),
                right_toe_mm=(float(x), float(toe)),
                seen_at_deg=float(seen),
            )
            for k, (arc, x, width, seen, toe) in enumerate(
                zip(arc_mm, x_mm, width_mm, seen_deg, self._toe_mm(arc_mm), strict=True)
            )
        )
        crest_x_mm = (crest_mm + self._stood_off_mm(crest_mm)) * self.seen_ratio - slipped_mm
        ripples = tuple(
            RippleRecord(
                photo=0,
                s_mm=0.0,
                px=(0.0, 0.0),
                place_mm=(float(x), self.toe_mm - 4.0),
                bow_mm=self._bow_mm(float(crest)),
            )
            for crest, x in zip(crest_mm, crest_x_mm, strict=True)
        )
        record = PhotoRecord(
            file=file or f"ring-{number}.jpg",
            kind="face",
            usable=True,
            px_per_mm=12.0,
            tilt_deg=4.0 + 0.7 * number,
            distance_mm=210.0 + 3.0 * number,
            problems=(),
            target="strip",
            frame=self._frame(parts, bulge=1.02 if number in self.stands_off else 1.0),
        )
        return Result(
            coupon=coupon_record(self.coupon),
            photos=(record,),
            stations=stations,
            ripples=ripples,
            quantities=(self._mean_width(width_mm),),
        )

    def results(self, *, without: tuple[int, ...] = ()) -> list[Result]:
        return [self.photo(number) for number in range(self.photos) if number not in without]

    def joined(self, *, without: tuple[int, ...] = ()) -> Result:
        return join(self.results(without=without), coupon=self.coupon)

    def _toe_mm(self, arc_mm: np.ndarray) -> np.ndarray:
        """The toe beside the strip, wandering as a hand does."""
        turn = np.mod(arc_mm, self.girth_mm)
        waves = sum(np.sin(turn / (2.0 + 1.3 * k) + 2.1 * k) for k in range(6))
        return self.toe_mm + self.wander_mm * waves

    def _bow_mm(self, arc_mm: float) -> float | None:
        """Bow of a ripple: one way between the places at which runs meet, else the other."""
        if self.meet_at_mm is None:
            return None
        first, last = self.meet_at_mm
        return 1.3 if first < arc_mm % self.girth_mm < last else -1.1

    def _stood_off_mm(self, arc_mm: np.ndarray) -> np.ndarray:
        """Paper beyond the arc: a slack strip uses up its excess between 5 and 7 o'clock."""
        turn, within = np.divmod(arc_mm / self.girth_mm, 1.0)
        return self.slack_mm * (turn + np.clip((within - 5.0 / 12.0) * 6.0, 0.0, 1.0))

    def _parts(self, middle_mm: float, reach_mm: float) -> list[TargetPartRecord]:
        """Parts in view, that which fills most of it first, with their steps from it."""
        ends_mm = [SEGMENT_MM * k - 14.0 for k in range(len(self.shifts_mm))]
        spans = []
        for turn in (-1, 0, 1):
            for segment, start in enumerate(ends_mm):
                end = [*ends_mm, ends_mm[0] + self.girth_mm][segment + 1]
                low = max(start + turn * self.girth_mm, middle_mm - reach_mm)
                high = min(end + turn * self.girth_mm, middle_mm + reach_mm)
                if high - low > 8.0:
                    spans.append((high - low, segment, turn))
        first = max(each for each in spans if each[2] == 0)
        ordered = [first, *(each for each in spans if each is not first)]
        excess_mm = (self.girth_mm + self.slack_mm) * self.seen_ratio - self._printed_turn_mm
        base = self.shifts_mm[first[1]]
        if self.seam_hidden:
            ordered = [each for each in ordered if each[2] == 0]
        return [
            TargetPartRecord(
                segment=segment,
                turn=turn,
                starts_mm=ends_mm[segment] * self.seen_ratio,
                shift_mm=(self.shifts_mm[segment] - base) * self.seen_ratio + turn * excess_mm,
                shift_u_mm=0.0 if (segment, turn) == first[1:] else 0.02,
            )
            for _, segment, turn in ordered
        ]

    @property
    def _printed_turn_mm(self) -> float:
        return math.pi * self.entered_mm * self.taken_ratio

    def _frame(self, parts: list[TargetPartRecord], *, bulge: float) -> TargetFrameRecord:
        alone_mm = bulge * self.true_mm * self.seen_ratio * (1.0 + self.generator.normal() * 0.0015)
        return TargetFrameRecord(
            parts=tuple(parts),
            print_ratio=self.taken_ratio,
            print_u_ratio=0.0014 if self.bar_measured else 0.00577,
            bar_measured=self.bar_measured,
            clock_sense=1,
            turn_mm=self._printed_turn_mm,
            strip_diameter_mm=self.entered_mm,
            alone_diameter_mm=alone_mm,
            alone_diameter_u_mm=0.002 * alone_mm,
        )

    def _mean_width(self, width_mm: np.ndarray) -> QuantityRecord:
        return QuantityRecord(
            name="weld_width",
            statistic="mean",
            value=float(width_mm.mean()),
            unit="mm",
            expanded_uncertainty=0.1,
            coverage_factor=2.0,
            count=width_mm.size,
            scope="photo",
            photo=0,
            side=None,
            s_range_mm=(0.0, 1.0),
        )


@pytest.fixture(scope="session", name="make_ring")
def _make_ring() -> Callable[..., Ring]:
    return Ring


@pytest.fixture(scope="session", name="changed_ring")
def _changed_ring() -> Callable[..., Ring]:
    return replace
