"""The truth of a whole circumference, by arc length from the strip's 12 o'clock in its sense."""

from dataclasses import asdict
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from samples.making.extents import body, lane_crests
from samples.making.noise import Floats
from samples.making.ring_photos import Ring, Shot
from samples.making.rounding import rounded
from samples.making.stage import Stage, set_stage
from samples.making.truth import LEAST_SEEN_DEG, markers, seen
from samples.making.weld import Weld
from samples.making.wrap import Slack, Wrap

Json: TypeAlias = Any


class Clock:
    """Turns places s of the metal into arcs from 12 o'clock, in the strip's sense."""

    def __init__(self, wrap: Wrap, stage: Stage) -> None:
        """Read 12 o'clock from the strip as it lies."""
        (sheet,) = stage.sheets
        zero = np.array([sheet.clock_zero_mm or 0.0, sheet.height_mm / 2])
        self.turn_mm = wrap.turn_mm
        self.sense = wrap.sense * sheet.clock_sense
        self.zero_s_mm = float(wrap.stz_mm(sheet, zero)[0])

    def arc_mm(self, s_mm: Floats) -> Floats:
        """Arcs from 0 to one turn."""
        return (self.sense * (s_mm - self.zero_s_mm)) % self.turn_mm

    def s_mm(self, arc_mm: Floats) -> Floats:
        """Places of arcs, within half a turn of 0."""
        s = self.zero_s_mm + self.sense * arc_mm
        return s - self.turn_mm * np.round(s / self.turn_mm)

    def degrees(self, arc_mm: Floats) -> Floats:
        """Clock positions."""
        return arc_mm / self.turn_mm * 360.0


def ring_truth(ring: Ring) -> dict[str, Json]:
    """Everything known of the circumference, and which photo shows what of it."""
    stages = [set_stage(shot.scene) for shot in ring.shots]
    own = next(stage for stage, shot in zip(stages, ring.shots, strict=True) if _own(shot))
    weld = own.weld
    assert weld is not None  # noqa: S101  (every ring is welded)
    wrap, kind = ring.coupon.wrap, ring.coupon.kind
    clock = Clock(wrap, own)
    arc = np.arange(0.0, clock.turn_mm)
    low, high = weld.toes_mm(clock.s_mm(arc))
    return {
        "ring": ring.name,
        "seed": own.scene.seed,
        "pipe": kind.pipe,
        "process": kind.process,
        "outside_diameter_mm": rounded(2 * wrap.radius_mm),
        "outside_diameter_entered_mm": ring.coupon.entered_mm,
        "wall_thickness_mm": kind.wall_mm,
        "turn_mm": rounded(clock.turn_mm),
        "flaws": asdict(ring.flaws),
        "clock": {"zero_s_mm": rounded(clock.zero_s_mm), "sense": clock.sense},
        "strip": _strip(own, wrap, clock),
        "arc_mm": rounded(arc),
        "lo_t_mm": rounded(low),
        "hi_t_mm": rounded(high),
        "width_mm": rounded(high - low),
        "in_body": [int(v) for v in body(weld, clock.s_mm(arc))],
        "bead_kind": "single" if len(weld.lanes) == 1 else f"{len(weld.lanes)} side by side",
        "beads": [_lane(weld, clock, lane, arc) for lane in range(len(weld.lanes))],
        "runs": [_run(weld, clock, number) for number in range(len(weld.beads))],
        "ends": _ends(weld, clock),
        "halves": _halves(weld, clock, arc, high - low),
        "photos": [
            _photo(stage, shot, clock) for stage, shot in zip(stages, ring.shots, strict=True)
        ],
        "left_out_arc_mm": None
        if ring.left_out_s_mm is None
        else rounded(clock.arc_mm(np.array(ring.left_out_s_mm))),
    }


def _own(shot: Shot) -> bool:
    return shot.role != "stranger"


def _strip(stage: Stage, wrap: Wrap, clock: Clock) -> dict[str, Json]:
    (sheet,) = stage.sheets
    seam_x = wrap.seam_x_mm(sheet)
    slack = wrap.slack
    return {
        "target_file": sheet.file.name,
        "side": "hi" if wrap.t_mm > 0 else "lo",
        "middle_t_mm": wrap.t_mm,
        "print_scale": wrap.print_scale,
        "ink_mm": wrap.ink_mm,
        "tilt_deg": wrap.tilt_deg,
        "thickness_mm": sheet.thickness_mm,
        "seam": {
            "arc_mm": rounded(clock.arc_mm(np.array(wrap.s_mm))),
            "tail_reads_mm": rounded(seam_x),
        },
        "joints": [asdict(joint) for joint in wrap.joints],
        "slack": None if slack is None else asdict(slack) | _from_to(slack, wrap, clock),
    }


def _from_to(slack: Slack, wrap: Wrap, clock: Clock) -> dict[str, Json]:
    along = np.array([slack.from_mm, slack.to_mm])
    return {"arc_mm": rounded(clock.arc_mm(wrap.s_mm + wrap.sense * along))}


def _lane(weld: Weld, clock: Clock, lane: int, arc: Floats) -> dict[str, Json]:
    """One of the beads side by side: its own edges, whichever run made them, and its crests."""
    s = clock.s_mm(arc)
    low, high = np.full_like(s, np.inf), np.full_like(s, -np.inf)
    shown_low, shown_high = np.zeros(len(s), dtype=bool), np.zeros(len(s), dtype=bool)
    for number, bead in enumerate(weld.beads):
        if bead.lane != lane:
            continue
        one_low, one_high = bead.toes_mm(s)
        for edge, total, shown, outward in (
            (one_low, low, shown_low, -1.0),
            (one_high, high, shown_high, 1.0),
        ):
            further = outward * (edge - total) > 0
            on_top = weld.uppermost(s, edge - 1e-6 * outward) == number
            total[further], shown[further] = edge[further], on_top[further]
    crest_s, crest_t = lane_crests(weld, lane, around_mm=0.0)
    crest_arc = clock.arc_mm(crest_s)
    order = np.argsort(crest_arc)
    return {
        "bead": lane,
        "lo_t_mm": rounded(low),
        "hi_t_mm": rounded(high),
        "width_mm": rounded(high - low),
        "lo_shown": [int(v) for v in shown_low],
        "hi_shown": [int(v) for v in shown_high],
        "crest_arc_mm": rounded(crest_arc[order]),
        "crest_t_mm": rounded(crest_t[order]),
        "crests": len(crest_arc),
    }


def _run(weld: Weld, clock: Clock, number: int) -> dict[str, Json]:
    bead = weld.beads[number]
    start, stop = _start_and_stop(weld, number)
    return {
        "run": number,
        "bead": bead.lane,
        "start_arc_mm": rounded(clock.arc_mm(np.array(start))),
        "stop_arc_mm": rounded(clock.arc_mm(np.array(stop))),
        "travel_sense": bead.direction * clock.sense,
        "length_mm": rounded(bead.end_mm - bead.start_mm),
        "style_width_mm": rounded(bead.style.width_mm),
        "style_pitch_mm": rounded(bead.style.pitch_mm),
    }


def _start_and_stop(weld: Weld, number: int) -> tuple[float, float]:
    bead = weld.beads[number]
    ends = (bead.start_mm, bead.end_mm)
    return ends if bead.direction > 0 else ends[::-1]


def _ends(weld: Weld, clock: Clock) -> list[dict[str, Json]]:
    """Every start and stop, in order of arc, each with the nearest other end of its bead.

    Halves tie in start on start at 6 o'clock and stop on stop at 12; a start on a stop is a restart
    in mid-half. Of two such ends the one laid later is seen.
    """
    ends = [
        _end(weld, clock, number, kind)
        for number in range(len(weld.beads))
        for kind in ("start", "stop")
    ]
    for end in ends:
        others = [o for o in ends if o["run"] != end["run"] and o["bead"] == end["bead"]]
        partner = min(
            others, key=lambda o: abs(_between(end["arc_mm"], o["arc_mm"], clock.turn_mm))
        )
        end["partner_arc_mm"] = partner["arc_mm"]
        end["place"] = "tie-in" if partner["kind"] == end["kind"] else "mid-half"
    return sorted(ends, key=lambda end: end["arc_mm"])


def _end(weld: Weld, clock: Clock, number: int, kind: str) -> dict[str, Json]:
    bead = weld.beads[number]
    s = _start_and_stop(weld, number)[kind == "stop"]
    inward = bead.direction if kind == "start" else -bead.direction
    inside = np.array([s + 0.05 * inward])
    middle = np.interp(bead.near(inside), bead.s_mm, bead.mid_mm)
    arc = clock.arc_mm(np.array(s))
    return {
        "run": number,
        "bead": bead.lane,
        "kind": kind,
        "arc_mm": rounded(arc),
        "clock_deg": rounded(clock.degrees(arc)),
        "shown": bool(weld.uppermost(inside, middle)[0] == number),
    }


def _between(a: float, b: float, turn_mm: float) -> float:
    return (a - b + turn_mm / 2) % turn_mm - turn_mm / 2


def _halves(weld: Weld, clock: Clock, arc: Floats, width: Floats) -> list[dict[str, Json]]:
    """From 0 to 180 degrees and from 180 to 360: what each is like clear of starts and stops."""
    rows = []
    of_body = body(weld, clock.s_mm(arc))
    for first in (0.0, 0.5):
        limits = first * clock.turn_mm, (first + 0.5) * clock.turn_mm
        inside = of_body & (arc >= limits[0]) & (arc < limits[1])
        gaps = np.concatenate([_gaps(weld, clock, lane, limits) for lane in range(len(weld.lanes))])
        rows.append(
            {
                "arc_mm": rounded(limits),
                "width_mean_mm": rounded(width[inside].mean()),
                "ripple_spacing_mean_mm": rounded(gaps.mean()),
                "ripple_spacing_sd_mm": rounded(gaps.std()),
            }
        )
    return rows


def _gaps(weld: Weld, clock: Clock, lane: int, limits: tuple[float, float]) -> Floats:
    s, _ = lane_crests(weld, lane, around_mm=0.0)
    arc = clock.arc_mm(s)
    order = np.argsort(arc)
    s, arc = s[order], arc[order]
    inside = body(weld, s) & (arc >= limits[0]) & (arc < limits[1])
    return np.diff(arc)[inside[1:] & inside[:-1]]


def _photo(stage: Stage, shot: Shot, clock: Clock) -> dict[str, Json]:
    """What a photo shows; of another coupon, only that it is another's."""
    row: dict[str, Json] = {"file": f"{shot.scene.name}.jpg", "role": shot.role}
    if not _own(shot):
        return row
    weld = stage.weld
    assert weld is not None  # noqa: S101  (every ring is welded)
    look = float(clock.arc_mm(np.array(shot.scene.view.at_st_mm[0])))
    around = look + np.arange(-clock.turn_mm / 2, clock.turn_mm / 2, 0.5)
    s = clock.s_mm(around)
    low, high = weld.toes_mm(s)
    there = _both_seen(stage, s, low, high)
    shown = around[there]
    return row | {
        "look_arc_mm": rounded(look),
        "shows_arc_mm": rounded(shown[[0, -1]] % clock.turn_mm),
        "shows_mm": rounded(shown[-1] - shown[0]),
        "markers": [m["id"] for m in markers(stage, 0) if m["in_view"]],
    }


def _both_seen(stage: Stage, s: Floats, low: Floats, high: Floats) -> NDArray[np.bool_]:
    zero = np.zeros_like(s)
    points = [np.stack([s, t, zero], axis=-1) for t in (low, high)]
    first, second = (seen(stage, stz, least_deg=LEAST_SEEN_DEG) for stz in points)
    return first & second
