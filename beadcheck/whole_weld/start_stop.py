"""Candidates for starts, stops and tie-ins: where ripples turn over, or toes or rhythm step.

Where the ripples' bow turns over two runs meet, and nothing else looks so. Every other sign is a
step: what is left where a straight line through a short piece of the weld breaks. It is measured by
how far it swings elsewhere on the same weld: what a welder does all along is no sign of a start. A
smooth restart leaves none, and is not found.
"""

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from beadcheck.coupon import Coupon
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.result import StartStopRecord
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.crests import WholeCrests
from beadcheck.whole_weld.halves import welded_in_halves
from beadcheck.whole_weld.meetings import Meeting, meetings
from beadcheck.whole_weld.merge import Line
from beadcheck.whole_weld.numbers import Shown
from beadcheck.whole_weld.view import Floats, Places

Kind = Literal["start", "stop", "tie-in"]

HALF_WIDTHS: Final = 0.8
"""Length of weld on each side of a place that is looked at, in weld widths."""
CANDIDATE: Final = 3.0
"""Root sum of squares of what all signs exceed their usual swing by, from which on a place is told
(our estimate, on two renders for tuning)."""
CANDIDATE_AT_END: Final = 2.0
"""... at the likeliest place of those where a half must begin or end."""
PLAIN: Final = 8.0
"""From here on nothing is in doubt."""
CLEAR: Final = 2.0
"""Swings from which on a sign is named."""
APART_WIDTHS: Final = 1.5
"""Two candidates nearer than this, in weld widths, are one."""
CRESTS: Final = 6
"""Gaps between crests on each side whose mean is compared."""
MISSING_GAPS: Final = 3.0
"""Gaps that may be missing among those compared: a crest is not seen everywhere."""
MOST: Final = 12
FEWEST_PLACES: Final = 40
PLACE_WIDTHS: Final = 0.2
"""Standard uncertainty of a candidate's place, in weld widths (an estimate)."""
MEETING_WIDTHS: Final = 0.33
"""... of the place at which the ripples' bow turns over (renders for tuning)."""
MEETING_DOUBTS: Final = (0.3, 0.1)
"""Doubt of such a place that one photo shows, and that several show."""
END_DEG: Final = 25.0
"""Halves begin and end this near to 6 and 12 o'clock (common practice, no published source)."""
KIND_WORDS: Final[dict[Kind, str]] = {
    "start": "perhaps where a half starts",
    "stop": "perhaps where a half ends",
    "tie-in": "perhaps a stop and restart",
}
TURNS_OVER: Final = "bow_turn"
SIGNS: Final = {
    "left_step": "the left toe steps",
    "right_step": "the right toe steps",
    "width_step": "the width steps",
    "spacing_step": "the ripple spacing changes",
}


def start_stop_records(shown: Shown, clock: Clock, coupon: Coupon) -> tuple[StartStopRecord, ...]:
    """Places that look like a start, a stop or a tie-in, in order along the weld."""
    line = shown.line
    if np.count_nonzero(line.seen) < FEWEST_PLACES:
        return ()
    out = _out(line, shown.crests)
    kinds = np.array([_kind(clock.degrees(float(at)), coupon) for at in line.arc_mm])
    together = np.sqrt((np.maximum(out - 1.0, 0.0) ** 2).sum(axis=0))
    above = np.where(together >= _needed(together, kinds), together, 0.0)
    apart = max(1, round(APART_WIDTHS * _width_mm(line) / line.step_mm))
    found: list[StartStopRecord] = []
    for meeting in meetings(shown.placed, line):
        at = min(int(meeting.arc_mm / line.step_mm), above.size - 1)
        found.append(_met(kinds[at], out[:, at], meeting, shown, clock))
        above[_near(at, apart, line)] = 0.0
        if kinds[at] != "tie-in":
            # A half begins and ends once.
            above[kinds == kinds[at]] = 0.0
    while len(found) < MOST and above.any():
        at = int(np.argmax(above))
        found.append(_stepped(at, kinds[at], out[:, at], float(together[at]), shown, clock))
        above[_near(at, apart, line)] = 0.0
    return tuple(sorted(found, key=lambda each: each.arc_mm))


def _near(at: int, apart: int, line: Line) -> Places:
    near = np.arange(at - apart, at + apart + 1)
    size = line.arc_mm.size
    return near % size if line.closed else near[(near >= 0) & (near < size)]


def _needed(together: Floats, kinds: NDArray[np.str_]) -> Floats:
    """(N,) what makes a candidate: less for the likeliest place where a half must start or stop."""
    needed = np.full(together.size, CANDIDATE)
    for kind in ("start", "stop"):
        here = np.flatnonzero(kinds == kind)
        if here.size:
            needed[here[np.argmax(together[here])]] = CANDIDATE_AT_END
    return needed


def _width_mm(line: Line) -> float:
    return float(np.nanmedian(line.width_mm))


def _out(line: Line, crests: WholeCrests) -> Floats:
    """(4, N) how far each of `SIGNS` is out, in its own usual swings."""
    half = max(4, round(HALF_WIDTHS * _width_mm(line) / line.step_mm))
    steps = [_steps(values, half, line) for values in (line.left_mm, line.right_mm, line.width_mm)]
    return np.stack([_in_swings(step) for step in (*steps, _spacing_steps(line, crests))])


def _steps(values: Floats, half: int, line: Line) -> Floats:
    """(N,) step of a straight line that breaks at each place, fitted to `half` places each side."""
    at = np.arange(-half, half) + 0.5
    design = np.stack([np.ones(2 * half), at, at > 0.0], axis=1)
    weights = np.linalg.pinv(design)[2]
    mode = {"mode": "wrap"} if line.closed else {"mode": "constant", "constant_values": np.nan}
    padded = np.pad(values, half, **mode)
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * half)[: values.size]
    return np.asarray(windows @ weights, dtype=np.float64)


def _spacing_steps(line: Line, crests: WholeCrests) -> Floats:
    """(N,) logarithm of the ripple spacing after each place over that before it.

    NaN where the gaps on its two sides do not follow each other without a break.
    """
    gaps, count = crests.gaps_mm, crests.gaps_mm.size
    if count < 4 * CRESTS:
        return np.full(line.arc_mm.size, np.nan)
    logs = np.log(median_filter(gaps, 3, mode="wrap" if line.closed else "nearest"))
    around = np.searchsorted(crests.gap_at_mm, line.arc_mm)[:, None] + np.arange(-CRESTS, CRESTS)
    turns, own = np.divmod(around, count)
    at_mm = crests.gap_at_mm[own] + turns * line.length_mm
    # From the middle of the first gap to that of the last, one gap's worth is missing.
    told_mm = gaps[own].sum(axis=1) - 0.5 * (gaps[own[:, 0]] + gaps[own[:, -1]])
    unbroken = at_mm[:, -1] - at_mm[:, 0] < told_mm + MISSING_GAPS * float(np.median(gaps))
    if not line.closed:
        unbroken &= (turns == 0).all(axis=1)
    steps = logs[own[:, CRESTS:]].mean(axis=1) - logs[own[:, :CRESTS]].mean(axis=1)
    return np.where(unbroken & line.seen, steps, np.nan)


def _in_swings(values: Floats) -> Floats:
    """How far values are out, in standard deviations as their middle half tells them."""
    known = np.isfinite(values)
    if not known.any():
        return np.zeros(values.size)
    middle = np.nanmedian(values)
    swing = 1.4826 * float(np.nanmedian(np.abs(values - middle)))
    return np.where(known, np.abs(values - middle) / max(swing, 1e-6), 0.0)


def _stepped(
    at: int, kind: Kind, out: Floats, together: float, shown: Shown, clock: Clock
) -> StartStopRecord:
    """Candidate by the signs that step."""
    signs = _clear(out) or (list(SIGNS)[int(np.argmax(out))],)
    doubt = min(1.0, max(0.0, (PLAIN - together) / (PLAIN - CANDIDATE_AT_END)))
    u_mm = math.hypot(PLACE_WIDTHS * _width_mm(shown.line), shown.line.step_mm)
    arc_mm = at * shown.line.step_mm
    return _record(arc_mm, kind, signs, _Doubts(u_mm=u_mm, doubt=doubt), shown, clock)


def _met(kind: Kind, out: Floats, meeting: Meeting, shown: Shown, clock: Clock) -> StartStopRecord:
    """Candidate at which the ripples' bow turns over."""
    u_mm = math.hypot(MEETING_WIDTHS * _width_mm(shown.line), shown.line.step_mm)
    doubts = _Doubts(u_mm=u_mm, doubt=MEETING_DOUBTS[meeting.photos > 1])
    return _record(meeting.arc_mm, kind, (TURNS_OVER, *_clear(out)), doubts, shown, clock)


def _clear(out: Floats) -> tuple[str, ...]:
    return tuple(name for name, each in zip(SIGNS, out, strict=True) if each >= CLEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Doubts:
    """Standard uncertainty of a candidate's place, and doubt of itself."""

    u_mm: float
    doubt: float


def _record(
    arc_mm: float,
    kind: Kind,
    signs: tuple[str, ...],
    doubts: _Doubts,
    shown: Shown,
    clock: Clock,
) -> StartStopRecord:
    line = shown.line
    at = min(int(arc_mm / line.step_mm), line.arc_mm.size - 1)
    told = " and ".join({**SIGNS, TURNS_OVER: "the ripples turn over"}[name] for name in signs)
    return StartStopRecord(
        kind=kind,
        arc_mm=arc_mm,
        arc_U_mm=COVERAGE_FACTOR * doubts.u_mm,
        clock_deg=clock.degrees(arc_mm),
        doubt=doubts.doubt,
        signs=signs,
        photos=tuple(
            each.view.photo
            for each, sees in zip(shown.placed, line.seen_by[:, at], strict=True)
            if sees
        ),
        words=f"At {clock.words(arc_mm)} {told}: {KIND_WORDS[kind]}. Look there.",
    )


def _kind(clock_deg: float | None, coupon: Coupon) -> Kind:
    """Kind of end that is welded there: two halves uphill start at 6 o'clock and stop at 12."""
    if clock_deg is None or not welded_in_halves(coupon):
        return "tie-in"
    if abs(clock_deg - 180.0) <= END_DEG:
        return "start"
    return "stop" if min(clock_deg, 360.0 - clock_deg) <= END_DEG else "tie-in"
