"""Places of the whole weld as records of the result."""

import math
from collections.abc import Sequence

import numpy as np

from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.result import (
    ClosureRecord,
    GluedJointRecord,
    PlacedPhotoRecord,
    WholeCrestRecord,
    WholeStationRecord,
)
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.crests import WholeCrests
from beadcheck.whole_weld.laid import Laid
from beadcheck.whole_weld.merge import Line, Placed


def closure_record(laid: Laid, entered_mm: float | None) -> ClosureRecord | None:
    """Whether the strip closes; None on plate."""
    if laid.round is None or entered_mm is None:
        return None
    strip, closure, curved = laid.round.strip, laid.round.closure, laid.round.curved
    return ClosureRecord(
        fault=closure.fault.value,
        words=closure.words,
        seen_by=strip.closed_by.value,
        photos=strip.closing,
        turn_mm=strip.length_mm,
        turn_U_mm=COVERAGE_FACTOR * strip.u_length_mm,
        expected_mm=math.pi * entered_mm,
        curved_diameter_mm=None if curved is None else curved.diameter_mm,
        curved_diameter_U_mm=None if curved is None else COVERAGE_FACTOR * curved.u_mm,
        scale_ratio=closure.scale_ratio,
        scale_U_ratio=COVERAGE_FACTOR * closure.u_scale_ratio,
    )


def placed_record(placed: Placed) -> PlacedPhotoRecord:
    """Where one photo lies."""
    first_mm, last_mm = placed.arc_mm(placed.view.x_mm[[0, -1]])
    return PlacedPhotoRecord(
        photo=placed.view.photo,
        offset_mm=placed.offset_mm,
        offset_U_mm=COVERAGE_FACTOR * placed.u_offset_mm,
        from_arc_mm=float(first_mm),
        to_arc_mm=float(last_mm),
    )


def joint_records(laid: Laid, clock: Clock) -> tuple[GluedJointRecord, ...]:
    """Where the strip is glued together, as far as photos show the segments."""
    if laid.round is None:
        return ()
    strip, ratio = laid.round.strip, laid.round.closure.scale_ratio
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


def station_records(laid: Laid, line: Line, clock: Clock) -> tuple[WholeStationRecord, ...]:
    """Every place that a photo shows well enough."""
    u_scale = laid.u_scale_ratio
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


def crest_records(
    placed: Sequence[Placed], crests: WholeCrests, clock: Clock
) -> tuple[WholeCrestRecord, ...]:
    """Every ripple crest, once."""
    return tuple(
        WholeCrestRecord(
            arc_mm=float(arc_mm),
            clock_deg=clock.degrees(float(arc_mm)),
            photo=placed[best].view.photo,
            ripple=int(ripple),
        )
        for arc_mm, best, ripple in zip(crests.arc_mm, crests.best, crests.ripple, strict=True)
    )
