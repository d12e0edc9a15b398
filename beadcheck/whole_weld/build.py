"""From the joined results of single photos to the record of the whole weld."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon, Shape
from beadcheck.limits import LimitSet
from beadcheck.quantity import COVERAGE_FACTOR, Quantity
from beadcheck.result import (
    ClosureRecord,
    GluedJointRecord,
    LeftOutRecord,
    PlacedPhotoRecord,
    Result,
    WholeCrestRecord,
    WholeStationRecord,
    WholeWeldRecord,
)
from beadcheck.whole_weld.belong import belonging
from beadcheck.whole_weld.beyond import beyond_limits
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.closure import Closure, Curved, closure_of, curved_of, known_of
from beadcheck.whole_weld.cover import gap_records
from beadcheck.whole_weld.crests import WholeCrests, whole_crests
from beadcheck.whole_weld.halves import half_records
from beadcheck.whole_weld.merge import Line, Placed, merged
from beadcheck.whole_weld.numbers import Shown, waves_of
from beadcheck.whole_weld.place import U_READ_MM, Strip, strip_of
from beadcheck.whole_weld.sectors import SECTORS, part_quantities, sector_records
from beadcheck.whole_weld.start_stop import start_stop_records
from beadcheck.whole_weld.view import View, views_of


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeWeld:
    """The whole weld: its record, and what its photos say of it together."""

    record: WholeWeldRecord
    quantities: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Laid:
    """Photos where they lie in the whole weld, and how that was found."""

    placed: tuple[Placed, ...]
    strip: Strip
    curved: Curved | None
    closure: Closure


def whole_weld(
    result: Result,
    coupon: Coupon,
    *,
    limit_set: LimitSet,
    arc: ArcSettings,
    sectors: int = SECTORS,
) -> WholeWeld | None:
    """Join the photos from above of one result; None unless two of them show weld and target.

    Parameters
    ----------
    arc
        Settings of the pass, for the pulse overlap.
    sectors
        Number of sectors of the clock.
    """
    views = [view for view in views_of(result) if view.frame.turn_mm is not None]
    if len(views) < 2 or coupon.shape is not Shape.PIPE or coupon.outside_diameter_mm is None:
        return None
    sorted_out = belonging(views, turn_mm=views[0].frame.turn_mm)
    laid = _round_pipe(sorted_out.views, coupon.outside_diameter_mm)
    length_mm = laid.closure.length_mm
    line = merged(laid.placed, length_mm=length_mm, closed=True)
    shown = Shown(
        placed=laid.placed,
        line=line,
        crests=whole_crests(laid.placed, line),
        u_scale_ratio=laid.closure.u_scale_ratio,
    )
    clock = Clock(length_mm=length_mm, sense=sorted_out.views[0].frame.clock_sense)
    everywhere = np.ones(line.arc_mm.size, dtype=np.bool_)
    quantities = part_quantities(
        shown, waves_of(line), everywhere, ends=(0.0, line.length_mm), coupon=coupon, arc=arc
    )
    return WholeWeld(
        record=WholeWeldRecord(
            shape="pipe",
            photos=tuple(each.view.photo for each in laid.placed),
            placed=tuple(_placed_record(each) for each in laid.placed),
            left_out=tuple(
                LeftOutRecord(photo=each.photo, code=each.code, reason=each.reason)
                for each in sorted_out.left_out
            ),
            length_mm=length_mm,
            length_U_mm=COVERAGE_FACTOR * laid.closure.u_length_mm,
            outside_diameter_mm=laid.closure.diameter_mm,
            clock_sense=clock.sense,
            closure=_closure_record(laid, coupon.outside_diameter_mm),
            joints=_joint_records(laid, clock),
            stations=_station_records(laid, line, clock),
            crests=_crest_records(laid.placed, shown.crests, clock),
            crest_count=shown.crests.count,
            crest_count_U=None
            if shown.crests.u_count is None
            else COVERAGE_FACTOR * shown.crests.u_count,
            gaps=gap_records(line, clock),
            sectors=sector_records(shown, clock, coupon, arc, result.profiles, count=sectors),
            beyond_limits=beyond_limits(
                line, clock, result.profiles, limit_set=limit_set, coupon=coupon
            ),
            halves=half_records(shown, clock, coupon),
            start_stops=start_stop_records(shown, clock),
        ),
        quantities=quantities,
    )


def _round_pipe(views: Sequence[View], entered_mm: float) -> _Laid:
    """Lay photos of one strip round their pipe."""
    known, curved = known_of(views, entered_mm), curved_of(views)
    turn_mm = views[0].frame.turn_mm or math.pi * entered_mm
    # Without a photo of the seam curvature tells the turn, else what is known of pipe and print.
    u_before = turn_mm * math.hypot(known.u_diameter_ratio, known.u_print_ratio)
    excess_mm, u_excess_mm = math.pi * entered_mm - turn_mm, u_before
    if curved is not None:
        own = 1.0 / u_before**2, 1.0 / (math.pi * curved.u_mm) ** 2
        seen_mm = math.pi * curved.diameter_mm - turn_mm
        excess_mm = (own[0] * excess_mm + own[1] * seen_mm) / sum(own)
        u_excess_mm = 1.0 / math.sqrt(sum(own))
    strip = strip_of(views, excess_mm=excess_mm, u_excess_mm=u_excess_mm)
    closure = closure_of(strip, curved, known)
    placed = []
    for view in views:
        offset_mm, u_mm = strip.offset_mm(view.frame.parts[0])
        placed.append(
            Placed(
                view=view,
                offset_mm=offset_mm,
                u_offset_mm=math.hypot(u_mm, U_READ_MM),
                scale_ratio=closure.scale_ratio,
            )
        )
    return _Laid(placed=tuple(placed), strip=strip, curved=curved, closure=closure)


def _closure_record(laid: _Laid, entered_mm: float) -> ClosureRecord:
    strip, closure, curved = laid.strip, laid.closure, laid.curved
    return ClosureRecord(
        fault=closure.fault.value,
        words=closure.words,
        seen_by="seam" if strip.by_seam else "curvature",
        photos=strip.by_seam or tuple(each.view.photo for each in laid.placed),
        turn_mm=strip.length_mm,
        turn_U_mm=COVERAGE_FACTOR * strip.u_length_mm,
        expected_mm=math.pi * entered_mm,
        curved_diameter_mm=None if curved is None else curved.diameter_mm,
        curved_diameter_U_mm=None if curved is None else COVERAGE_FACTOR * curved.u_mm,
        scale_ratio=closure.scale_ratio,
        scale_U_ratio=COVERAGE_FACTOR * closure.u_scale_ratio,
    )


def _placed_record(placed: Placed) -> PlacedPhotoRecord:
    first_mm, last_mm = placed.arc_mm(placed.view.x_mm[[0, -1]])
    return PlacedPhotoRecord(
        photo=placed.view.photo,
        offset_mm=placed.offset_mm,
        offset_U_mm=COVERAGE_FACTOR * placed.u_offset_mm,
        from_arc_mm=float(first_mm),
        to_arc_mm=float(last_mm),
    )


def _joint_records(laid: _Laid, clock: Clock) -> tuple[GluedJointRecord, ...]:
    """Where the strip is glued together, as far as photos show both sides."""
    strip, ratio = laid.strip, laid.closure.scale_ratio
    shifts = strip.shift_mm
    found = []
    for segment in range(1, shifts.size):
        joint_mm = next(
            (
                part.starts_mm
                for each in laid.placed
                for part in each.view.frame.parts
                if part.segment == segment and part.turn == 0
            ),
            None,
        )
        if joint_mm is None:
            continue
        arc_mm = ratio * (joint_mm + float(shifts[segment - 1]))
        found.append(
            GluedJointRecord(
                arc_mm=arc_mm,
                clock_deg=clock.degrees(arc_mm) or 0.0,
                shift_mm=ratio * float(shifts[segment] - shifts[segment - 1]),
                shift_U_mm=COVERAGE_FACTOR * strip.u_shift_mm(segment),
            )
        )
    return tuple(found)


def _station_records(laid: _Laid, line: Line, clock: Clock) -> tuple[WholeStationRecord, ...]:
    u_scale = laid.closure.u_scale_ratio
    return tuple(
        WholeStationRecord(
            arc_mm=float(line.arc_mm[i]),
            arc_U_mm=COVERAGE_FACTOR
            * math.hypot(float(line.u_arc_mm[i]), u_scale * float(line.arc_mm[i])),
            clock_deg=clock.degrees(float(line.arc_mm[i])),
            left_across_mm=float(line.left_mm[i]),
            right_across_mm=float(line.right_mm[i]),
            weld_width_mm=float(line.width_mm[i]),
            weld_width_U_mm=COVERAGE_FACTOR * float(line.u_mm[i]),
            photo=laid.placed[line.best[i]].view.photo,
            photos=tuple(
                each.view.photo
                for each, sees in zip(laid.placed, line.seen_by[:, i], strict=True)
                if sees
            ),
            station=int(line.station[i]),
        )
        for i in np.flatnonzero(line.seen)
    )


def _crest_records(
    placed: Sequence[Placed], crests: WholeCrests, clock: Clock
) -> tuple[WholeCrestRecord, ...]:
    return tuple(
        WholeCrestRecord(
            arc_mm=float(arc_mm),
            clock_deg=clock.degrees(float(arc_mm)),
            photo=placed[best].view.photo,
            ripple=int(ripple),
        )
        for arc_mm, best, ripple in zip(crests.arc_mm, crests.best, crests.ripple, strict=True)
    )
