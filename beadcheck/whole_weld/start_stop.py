"""Candidates for starts, stops and tie-ins: where width or rhythm change at one place.

Every sign is measured by how far it swings elsewhere on the same weld: what a welder does all along
is no sign of a start. A smooth restart leaves none, and is not found.
"""

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from scipy.ndimage import median_filter

from beadcheck.coupon import Coupon
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.result import StartStopRecord
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.crests import WholeCrests
from beadcheck.whole_weld.halves import welded_in_halves
from beadcheck.whole_weld.merge import Line
from beadcheck.whole_weld.numbers import Shown
from beadcheck.whole_weld.view import Floats

SIDE_WIDTHS: Final = 1.0
"""Length on each side of a place that is compared, in weld widths."""
SKIP_WIDTHS: Final = 0.35
"""Left out right at the place, in weld widths: a lump or a crater is neither side."""
CLEAR: Final = 4.0
"""A sign this many times as far out as it swings elsewhere is one (our estimate)."""
TOGETHER: Final = 5.0
"""Root sum of squares of all signs at one place from which on it is a candidate."""
PLAIN: Final = 12.0
"""From here on nothing is in doubt."""
APART_WIDTHS: Final = 1.5
"""Two candidates nearer than this, in weld widths, are one."""
CRESTS: Final = 4
"""Crests on each side whose spacing is compared."""
MOST: Final = 12
PLACE_WIDTHS: Final = 0.3
"""Standard uncertainty of a candidate's place, in weld widths (an estimate)."""
END_DEG: Final = 25.0
"""Halves begin and end this near to 6 and 12 o'clock (common practice, no published source)."""
Kind = Literal["start", "stop", "tie-in"]
KIND_WORDS: Final[dict[Kind, str]] = {
    "start": "perhaps where a half starts",
    "stop": "perhaps where a half ends",
    "tie-in": "perhaps a stop and restart",
}
SIGN_WORDS: Final = {
    "width_step": "the width changes",
    "bulge": "the weld bulges or narrows",
    "ripple_break": "the ripples break their rhythm",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Signs:
    """How far each sign is out at N places, in its own usual swings."""

    names: tuple[str, ...]
    out: Floats

    @property
    def together(self) -> Floats:
        """(N,) root sum of squares of what is clearly out."""
        return np.asarray(np.sqrt((np.maximum(self.out - 1.0, 0.0) ** 2).sum(axis=0)))


def start_stop_records(shown: Shown, clock: Clock, coupon: Coupon) -> tuple[StartStopRecord, ...]:
    """Places that look like a start, a stop or a tie-in, in order along the weld."""
    line = shown.line
    if np.count_nonzero(line.seen) < 40:
        return ()
    signs = _signs(line, shown.crests)
    width_mm = float(np.nanmedian(line.width_mm))
    apart = max(1, round(APART_WIDTHS * width_mm / line.step_mm))
    together = signs.together.copy()
    found: list[StartStopRecord] = []
    while len(found) < MOST:
        at = int(np.argmax(together))
        if together[at] < TOGETHER:
            break
        found.append(_record(at, signs, shown, clock, coupon))
        near = np.arange(at - apart, at + apart + 1)
        together[
            near % together.size if line.closed else near[(near >= 0) & (near < together.size)]
        ] = 0.0
    return tuple(sorted(found, key=lambda each: each.arc_mm))


def _signs(line: Line, crests: WholeCrests) -> _Signs:
    width_mm = float(np.nanmedian(line.width_mm))
    side = max(3, round(SIDE_WIDTHS * width_mm / line.step_mm))
    skip = max(1, round(SKIP_WIDTHS * width_mm / line.step_mm))
    before, after = (
        _mean_over(line.width_mm, line, *ends)
        for ends in ((-skip - side, -skip), (skip + 1, skip + side + 1))
    )
    here = _mean_over(line.width_mm, line, -skip, skip + 1)
    return _Signs(
        names=("width_step", "bulge", "ripple_break"),
        out=np.stack(
            [
                _in_swings(after - before),
                _in_swings(here - 0.5 * (before + after)),
                _rhythm_breaks(line, crests),
            ]
        ),
    )


def _mean_over(values: Floats, line: Line, first: int, last: int) -> Floats:
    """(N,) mean of the values from `first` up to `last` places on; NaN where few are seen."""
    reach = max(abs(first), abs(last)) + 1
    mode = "wrap" if line.closed else "constant"
    padded = (
        np.pad(values, reach, mode="wrap")
        if mode == "wrap"
        else np.pad(values, reach, constant_values=np.nan)
    )
    known = np.isfinite(padded)
    total = np.concatenate([[0.0], np.cumsum(np.where(known, padded, 0.0))])
    count = np.concatenate([[0], np.cumsum(known)])
    at = np.arange(values.size) + reach
    seen = count[at + last] - count[at + first]
    mean = (total[at + last] - total[at + first]) / np.maximum(seen, 1)
    return np.where(seen >= 0.6 * (last - first), mean, np.nan)


def _in_swings(values: Floats) -> Floats:
    """How far values are out, in standard deviations as their middle half tells them."""
    known = np.isfinite(values)
    if not known.any():
        return np.zeros(values.size)
    middle = np.nanmedian(values)
    swing = 1.4826 * float(np.nanmedian(np.abs(values - middle)))
    return np.where(known, np.abs(values - middle) / max(swing, 1e-6), 0.0)


def _rhythm_breaks(line: Line, crests: WholeCrests) -> Floats:
    """How far single gaps, and the spacing before and after, are out at every place."""
    out = np.zeros(line.arc_mm.size)
    gaps = crests.gaps_mm
    if gaps.size < 6 * CRESTS:
        return out
    local = median_filter(gaps, 2 * CRESTS + 1, mode="wrap" if line.closed else "nearest")
    log_gap = np.log(gaps / local)
    single = _in_swings(log_gap) * (np.abs(log_gap) > 0.2)
    cells = np.clip((crests.gap_at_mm / line.step_mm).astype(int), 0, out.size - 1)
    np.maximum.at(out, cells, single)
    # What a gap tells holds from one of its crests to the other.
    reach = max(1, math.ceil(0.5 * float(np.median(gaps)) / line.step_mm))
    spread = [np.roll(out, shift) for shift in range(-reach, reach + 1)]
    return np.asarray(np.max(spread, axis=0))


def _record(at: int, signs: _Signs, shown: Shown, clock: Clock, coupon: Coupon) -> StartStopRecord:
    line = shown.line
    clear = [name for name, out in zip(signs.names, signs.out[:, at], strict=True) if out >= CLEAR]
    names = tuple(clear) or (signs.names[int(np.argmax(signs.out[:, at]))],)
    strength = float(signs.together[at])
    doubt = min(1.0, max(0.0, (PLAIN - strength) / (PLAIN - TOGETHER)))
    arc_mm = float(line.arc_mm[at])
    kind = _kind(clock.degrees(arc_mm), coupon)
    told = " and ".join(SIGN_WORDS[name] for name in names)
    return StartStopRecord(
        kind=kind,
        arc_mm=arc_mm,
        arc_U_mm=COVERAGE_FACTOR * PLACE_WIDTHS * float(np.nanmedian(line.width_mm)),
        clock_deg=clock.degrees(arc_mm),
        doubt=doubt,
        signs=names,
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
