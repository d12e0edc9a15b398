"""From the joined results of single photos to the record of the whole weld."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon, Position, StripSide
from beadcheck.limits import LimitSet
from beadcheck.quantity import COVERAGE_FACTOR, Quantity
from beadcheck.result import LeftOutRecord, Result, WholeWeldRecord
from beadcheck.whole_weld.beyond import beyond_limits
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.cover import gap_records
from beadcheck.whole_weld.crest_count import crest_count
from beadcheck.whole_weld.crests import whole_crests
from beadcheck.whole_weld.halves import half_records
from beadcheck.whole_weld.laid import Laid
from beadcheck.whole_weld.layer import whole_layer
from beadcheck.whole_weld.merge import merged
from beadcheck.whole_weld.numbers import Shown, waves_of
from beadcheck.whole_weld.plate import along_plate
from beadcheck.whole_weld.round_pipe import round_pipe
from beadcheck.whole_weld.sectors import part_quantities, sector_records
from beadcheck.whole_weld.start_stop import start_stop_records
from beadcheck.whole_weld.told import (
    closure_record,
    crest_records,
    joint_records,
    placed_record,
    station_records,
)

CLOCK_SECTORS: Final = 12
TILTED: Final = (Position.HORIZONTAL, Position.FIXED_INCLINED)
"""Positions in which one toe lies higher than the other all along: 2G and 6G."""
STRETCH_MM: Final = 25.0
"""About how long a stretch of a plate's weld is, where nobody says how many are wanted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeWeld:
    """The whole weld: its record, and what its photos say of it together.

    `quantities` is empty where only one photo is part of it.
    """

    record: WholeWeldRecord
    quantities: tuple[Quantity, ...]


def whole_weld(
    result: Result,
    coupon: Coupon,
    *,
    limit_set: LimitSet,
    arc: ArcSettings,
    sectors: int | None = None,
) -> WholeWeld | None:
    """Join the photos from above of one result; None unless two of them show weld and target.

    Parameters
    ----------
    arc
        Settings of the pass, for the pulse overlap.
    sectors
        Number of sectors of the clock, or of stretches of a plate's weld; None takes 12, and
        stretches of about 25 mm.
    """
    laid = laid_weld(result, coupon)
    if laid is None:
        return None
    line = merged(laid.placed, length_mm=laid.length_mm, closed=laid.round is not None)
    shown = Shown(
        placed=laid.placed,
        line=line,
        crests=whole_crests(laid.placed, line),
        u_scale_ratio=laid.u_scale_ratio,
    )
    if sectors is None:
        by_length = max(1, round(laid.length_mm / STRETCH_MM))
        sectors = by_length if laid.round is None else CLOCK_SECTORS
    everywhere = np.ones(line.arc_mm.size, dtype=np.bool_)
    return WholeWeld(
        record=_record(result, coupon, laid, shown, limit_set=limit_set, arc=arc, sectors=sectors),
        quantities=part_quantities(
            shown, waves_of(line), everywhere, ends=(0.0, line.length_mm), coupon=coupon, arc=arc
        )
        if len(laid.placed) > 1
        else (),
    )


def laid_weld(result: Result, coupon: Coupon) -> Laid | None:
    """Photos where they lie in the whole weld, and those left out; None without two of them."""
    if any(photo.frame is not None for photo in result.photos):
        diameter_mm = coupon.strip_diameter_mm
        if diameter_mm is None:
            return along_plate(result)
        u_bore_ratio = coupon.u_strip_diameter_ratio if coupon.seen_from_inside else None
        return round_pipe(result, diameter_mm, u_bore_ratio=u_bore_ratio)
    return None


def _record(
    result: Result,
    coupon: Coupon,
    laid: Laid,
    shown: Shown,
    *,
    limit_set: LimitSet,
    arc: ArcSettings,
    sectors: int,
) -> WholeWeldRecord:
    line, crests, profiles = shown.line, shown.crests, result.profiles
    clock = Clock(length_mm=laid.length_mm, sense=laid.clock_sense)
    inside = coupon.seen_from_inside
    count, sides = crest_count(laid.placed, line, clock), _high_and_low(coupon)
    told_sectors = sector_records(shown, clock, coupon, arc, profiles, count=sectors)
    return WholeWeldRecord(
        shape="plate" if laid.round is None else "pipe",
        photos=tuple(each.view.photo for each in laid.placed),
        placed=tuple(placed_record(each) for each in laid.placed),
        left_out=tuple(
            LeftOutRecord(photo=each.photo, code=each.code, reason=each.reason)
            for each in laid.left_out
        ),
        length_mm=laid.length_mm,
        length_U_mm=COVERAGE_FACTOR * laid.u_length_mm,
        outside_diameter_mm=None if inside or laid.round is None else laid.length_mm / math.pi,
        bore_mm=laid.length_mm / math.pi if inside else None,
        clock_sense=laid.clock_sense,
        closure=closure_record(laid, None if laid.round is None else coupon.strip_diameter_mm),
        joints=joint_records(laid, clock),
        stations=station_records(laid, line, clock),
        crests=crest_records(laid.placed, crests, clock),
        crest_count=None if count is None else count.count,
        crest_count_U=None
        if count is None or count.u_count is None
        else COVERAGE_FACTOR * count.u_count,
        crest_count_words="" if count is None else count.words,
        gaps=gap_records(line, clock),
        sectors=told_sectors,
        beyond_limits=beyond_limits(line, clock, profiles, limit_set=limit_set, coupon=coupon),
        halves=half_records(shown, clock, coupon),
        start_stops=start_stop_records(shown, clock, coupon),
        layer=whole_layer(laid.placed, line, clock, told_sectors, u_scale_ratio=laid.u_scale_ratio),
        left_is=sides[0],
        right_is=sides[1],
    )


def _high_and_low(coupon: Coupon) -> tuple[str | None, str | None]:
    """What the left and the right toe are as the pipe stood; None where nobody said.

    The right toe, facing the strip's direction, is the one beside the strip.
    """
    if coupon.strip_side is None or coupon.position not in TILTED:
        return None, None
    ends = ("low side", "high side")
    return ends if coupon.strip_side is StripSide.HIGH else ends[::-1]
