"""Single crests, picked to a part of a pixel from the crest signal."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from beadcheck.measurements.ripple_signal import CrestSignal
from beadcheck.measurements.ripple_strip import Floats

REACH: Final = 3.3
"""Longest gap that the search looks back over, in local spacings."""

GAP_SPREAD: Final = (0.30, 0.22)
"""Spread of gaps, in local spacings, that costs little, at the first and second search."""

GAP_COST: Final = 1.0
"""Cost of a gap 1.4 spreads away from the local spacing, in heights of a good crest."""

CEILING: Final = 8.0
"""The most that a gap may cost, in `GAP_COST`."""

START: Final = 0.7
"""A path starts and ends this near the outermost maxima, in local spacings."""

FAINT: Final = 0.0
"""Height, in heights of a good crest, below which a maximum is none: so a place without ripples
stays a long gap."""

WORTH: Final = 0.30
"""Height, in heights of a good crest, below which a maximum is no crest by itself."""

WEAK: Final = 0.5
"""Height at which a crest is taken without doubt."""

ODD_GAP: Final = 0.35
"""Logarithm of a gap over the median gap from which a missed or doubled crest is to be feared."""

END: Final = 0.5
"""Spacings from the end of the signal within which a crest is not trusted."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crests:
    """K crests in order along the weld.

    Attributes
    ----------
    x_px
        (K,) their places in columns of the strip.
    height
        (K,) height of each over the local height of crests: 1 is as clear as its neighbours.
    halves_apart_px
        Root mean square distance between the crests of the two halves of the rows.
    doubtful
        Expected number of crests missed or counted twice.
    """

    x_px: Floats
    height: Floats
    halves_apart_px: float
    doubtful: float


def pick_crests(
    signal: CrestSignal, *, spacings_px: Floats, within_px: tuple[float, float]
) -> Crests:
    """Pick the crests out of the signal, but for those near its ends or outside a range.

    Parameters
    ----------
    spacings_px
        (C,) spacing by the spectrum at every column.
    """
    tops, heights = _maxima(signal.whole)
    spacing_px = float(np.mean(spacings_px))
    about = np.interp(tops, np.arange(spacings_px.size), spacings_px)
    chosen = _best_sequence(tops, heights, about, spread=GAP_SPREAD[0])
    if chosen.size >= 5:
        local = _local_gap(tops, chosen)
        chosen = _best_sequence(tops, heights, local, spread=GAP_SPREAD[1])
    end_px = (
        max(END * spacing_px, within_px[0]),
        min(signal.whole.size - 1 - END * spacing_px, within_px[1]),
    )
    chosen = chosen[(tops[chosen] >= end_px[0]) & (tops[chosen] <= end_px[1])]
    places = tops[chosen]
    near = [_nearest_top(half, places, reach=0.35 * spacing_px) for half in signal.halves]
    apart = near[0] - near[1]
    apart = apart[np.isfinite(apart)]
    return Crests(
        x_px=places,
        height=heights[chosen],
        halves_apart_px=float(np.sqrt(np.mean(apart**2))) if apart.size >= 3 else spacing_px,
        doubtful=_doubtful(tops, heights, chosen),
    )


def _doubtful(tops: Floats, heights: Floats, chosen: NDArray[np.intp]) -> float:
    """Expected number of wrong decisions: on weak crests, maxima left out, gaps out of rhythm."""
    left_out = np.ones(tops.size, dtype=np.bool_)
    left_out[chosen] = False
    if chosen.size:
        left_out[: chosen[0]] = False
        left_out[chosen[-1] :] = False
    weak = np.clip(1.0 - heights[chosen] / WEAK, 0.0, 1.0).sum()
    clear = np.clip(heights[left_out] / WEAK, 0.0, 1.0).sum()
    gaps = np.diff(tops[chosen])
    uneven = np.abs(np.log(gaps / np.median(gaps))) if gaps.size else np.zeros(0)
    odd = np.clip((uneven - ODD_GAP) / ODD_GAP, 0.0, 1.0).sum()
    return float(0.5 * (weak + clear + odd))


def _maxima(signal: Floats) -> tuple[Floats, Floats]:
    """Places and heights of all maxima that are not faint, by parabolas through three samples."""
    inner = signal[1:-1]
    at = 1 + np.flatnonzero((inner > signal[:-2]) & (inner >= signal[2:]))
    before, top, after = signal[at - 1], signal[at], signal[at + 1]
    bend = before - 2.0 * top + after
    offset = np.clip(0.5 * (before - after) / np.where(bend < 0.0, bend, -1.0), -0.5, 0.5)
    heights = top - 0.25 * (before - after) * offset
    clear = heights > FAINT
    return (at + offset)[clear], heights[clear]


def _nearest_top(signal: Floats, places: Floats, *, reach: float) -> Floats:
    """Nearest maximum to each place, NaN where none lies within reach."""
    tops = np.r_[-np.inf, _maxima(signal)[0], np.inf]
    after = np.searchsorted(tops, places)
    nearest = np.where(
        places - tops[after - 1] < tops[after] - places, tops[after - 1], tops[after]
    )
    return np.where(np.abs(nearest - places) <= reach, nearest, np.nan)


def _local_gap(tops: Floats, chosen: NDArray[np.intp]) -> Floats:
    """Local spacing at every maximum: running median of the gaps between the chosen ones."""
    places = tops[chosen]
    gaps = median_filter(np.diff(places), size=9, mode="nearest")
    return np.asarray(np.interp(tops, 0.5 * (places[1:] + places[:-1]), gaps))


def _best_sequence(
    tops: Floats, heights: Floats, local_gap: Floats, *, spread: float
) -> NDArray[np.intp]:
    """Indices of the maxima, from one end to the other, that make the best rhythm.

    Dynamic programming: every crest earns its height above `WORTH`, every gap costs by how far it
    is from the local spacing; the cost levels off, so that a place truly without ripples is left as
    a long gap.
    """
    if tops.size == 0:
        return np.zeros(0, dtype=np.intp)
    gain = np.minimum(heights, 1.2) - WORTH
    score, before = gain.copy(), np.full(tops.size, -1, dtype=np.intp)
    # A path may start and end within one bridged gap of the ends only: no stretch is dropped for
    # its noise.
    first_free = np.searchsorted(tops, tops - REACH * local_gap)
    for i in range(int(np.searchsorted(tops, tops[0] + START * local_gap[0])), tops.size):
        first = min(int(first_free[i]), i - 1)
        off = ((tops[i] - tops[first:i]) / local_gap[i] - 1.0) / spread
        totals = score[first:i] - GAP_COST * np.minimum(0.5 * off**2, CEILING)
        best = int(np.argmax(totals))
        score[i] = gain[i] + totals[best]
        before[i] = first + best
    last = int(np.searchsorted(tops, tops[-1] - START * local_gap[-1]))
    chain = [last + int(np.argmax(score[last:]))]
    while before[chain[-1]] >= 0:
        chain.append(int(before[chain[-1]]))
    return np.array(chain[::-1], dtype=np.intp)
