"""The bow of the ripples, straightened out, and their spacing by the spectrum."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import gaussian_filter1d, uniform_filter1d

from beadcheck.measurements.ripple_strip import Complexes, Floats, Strip
from beadcheck.measurements.ripple_turn import Turn, bow_turn

Places = NDArray[np.intp]

SPACING_RANGE: Final = (0.06, 1.2)
"""Spacings looked for, in half widths (common practice, no published source): finer is grain, wider
is weave."""

BOWS: Final = np.linspace(-1.6, 1.6, 33)
SKEWS: Final = np.linspace(-0.6, 0.6, 9)
"""Bows and skews tried first, in half widths."""

BAND_ROWS: Final = 8
"""Neighbouring rows that are laid over each other; farther ones may show light and dark swapped."""

APART: Final = 4
"""Rows between those whose lag corrects the shape."""

PASS_BAND: Final = 0.6
"""Pass band about the ripples: standard deviation of the natural logarithm of frequency."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrestShape:
    """Where along the weld a crest lies in each row, relative to the middle row, in mm.

    `bow_mm * v**2 + skew_mm * v + flare_mm * v**4 - crown_mm * v**2 * lean`, v being the row: the
    last term is what perspective does to a crown of that height, seen aslant along the weld.
    """

    bow_mm: float = 0.0
    skew_mm: float = 0.0
    flare_mm: float = 0.0
    crown_mm: float = 0.0

    def ahead_mm(self, row: Floats, lean: Floats) -> Floats:
        """(R, C) lead of the crest at (R,) rows and (C,) leans."""
        v = row[:, None]
        fixed = self.bow_mm * v**2 + self.skew_mm * v + self.flare_mm * v**4
        return np.asarray(fixed - self.crown_mm * v**2 * lean[None, :])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rhythm:
    """The strip's strongest repetition.

    Attributes
    ----------
    spacing_mm
        Spacing by the spectrum.
    shapes
        Shapes of the crests: one, or two where the bow turns over in between. Their crown is one.
    pieces
        Columns of each shape.
    aligned
        (R, C) contrast with the shape taken out: crests stand upright.
    u_crown_mm
        Standard uncertainty of the shapes' `crown_mm`.
    standing_out
        Natural logarithm of the power about the spacing over that beside it.
    """

    spacing_mm: float
    shapes: tuple[CrestShape, ...]
    pieces: tuple[slice, ...]
    aligned: Floats
    u_crown_mm: float
    standing_out: float


def find_rhythm(strip: Strip, lean: Floats) -> Rhythm:
    """Find the shape of the crests and their spacing by the spectrum.

    Parameters
    ----------
    lean
        (C,) how far a point raised by 1 mm seems shifted along the weld, in mm per mm.
    """
    shape, spacing_mm = _coarse(strip)
    turn = bow_turn(strip, lean)
    shapes = (shape,) if turn is None else _either_side(turn)
    piece = np.zeros(strip.s_mm.size, dtype=np.intp)
    if turn is not None:
        piece[turn.column :] = 1
        spacing_mm = _peak_spacing_mm(*_power(strip, _aligned(strip, shapes, piece, lean)))
    u_crown_mm = float("inf")
    for _ in range(3):
        aligned = _aligned(strip, shapes, piece, lean)
        lags = _lags(strip, aligned, lean, piece, spacing_mm=spacing_mm)
        shapes, u_crown_mm = _refined(strip, lags, shapes, mean_lean=float(lean.mean()))
    aligned = _aligned(strip, shapes, piece, lean)
    per_mm, power = _power(strip, aligned)
    spacing_mm = _peak_spacing_mm(per_mm, power)
    return Rhythm(
        spacing_mm=spacing_mm,
        shapes=shapes,
        pieces=_pieces(piece),
        aligned=aligned,
        u_crown_mm=u_crown_mm,
        standing_out=_standing_out(per_mm * spacing_mm, power),
    )


def analytic(rows: Floats, *, px_per_mm: float, spacing_mm: float) -> Complexes:
    """(R, C) rows passed through a band about the spacing, as analytic signals.

    The ends are padded by reflection, or crests near them would be drawn inwards.
    """
    pad = min(rows.shape[1] - 1, round(2.0 * spacing_mm * px_per_mm))
    padded = np.pad(rows, ((0, 0), (pad, pad)), mode="reflect")
    length = fft.next_fast_len(padded.shape[1])
    per_mm = fft.fftfreq(length, 1.0 / px_per_mm)
    weight = np.zeros(length)
    up = per_mm > 0
    weight[up] = 2.0 * np.exp(-0.5 * (np.log(per_mm[up] * spacing_mm) / PASS_BAND) ** 2)
    passed = fft.ifft(fft.fft(padded, length, axis=1) * weight, axis=1)
    return np.asarray(passed[:, pad : pad + rows.shape[1]])


def ripple_frequencies(strip: Strip) -> tuple[Floats, NDArray[np.bool_]]:
    """Every frequency of the strip's spectrum, per mm, and whether ripples may have it."""
    per_mm = fft.rfftfreq(fft.next_fast_len(strip.s_mm.size, real=True), 1.0 / strip.px_per_mm)
    low, high = (1.0 / (part * strip.half_width_mm) for part in SPACING_RANGE[::-1])
    return per_mm, (per_mm >= low) & (per_mm <= min(high, 0.4 * strip.px_per_mm))


def _spectra(strip: Strip, rows: Floats) -> tuple[Floats, Complexes]:
    """Frequencies per mm in the range of ripples, and the rows' spectra there."""
    per_mm, used = ripple_frequencies(strip)
    length = fft.next_fast_len(strip.s_mm.size, real=True)
    window = np.hanning(rows.shape[1])
    return per_mm[used], fft.rfft(rows * window, length, axis=1)[:, used]


def _coarse(strip: Strip) -> tuple[CrestShape, float]:
    """Shape under which neighbouring rows agree best, over all frequencies at once.

    The part of the power that rows add up coherently is free of grain and noise, which differ from
    row to row.
    """
    # Shapes are compared only: single precision is enough, and twice as fast.
    row = (0.5 * (strip.row[::2] + strip.row[1::2])).astype(np.float32)
    per_mm, spectra = _spectra(strip, 0.5 * (strip.contrast[::2] + strip.contrast[1::2]))
    half, band, spectra = strip.half_width_mm, BAND_ROWS // 2, spectra.astype(np.complex64)
    turn = (2j * np.pi * per_mm * half).astype(np.complex64)
    bows = np.exp(BOWS.astype(np.float32)[:, None, None] * (row**2)[:, None] * turn)
    best, chosen, kept = -np.inf, CrestShape(), np.zeros(per_mm.size)
    alone = (np.abs(spectra) ** 2).sum(axis=0) * band
    for skew in SKEWS:
        turned = bows * (spectra * np.exp(np.float32(skew) * row[:, None] * turn))
        sums = np.cumsum(turned, axis=1)
        bands = sums[:, band:] - sums[:, :-band]
        together = (np.abs(bands) ** 2).sum(axis=1)
        scores = together.sum(axis=1)
        first = int(np.argmax(scores))
        if scores[first] > best:
            best, kept = float(scores[first]), together[first]
            chosen = CrestShape(bow_mm=float(BOWS[first]) * half, skew_mm=float(skew) * half)
    return chosen, _peak_spacing_mm(per_mm, kept - alone)


def _peak_spacing_mm(per_mm: Floats, power: Floats) -> float:
    """Spacing at the highest peak of a power spectrum smoothed over jitter, to a part of a bin."""
    step = per_mm[1] - per_mm[0]
    smooth = gaussian_filter1d(power, max(1.0, 0.04 * per_mm.mean() / step))
    peak = int(np.argmax(smooth))
    return 1.0 / float(per_mm[0] + step * (peak + _parabola_offset(smooth, peak)))


def _parabola_offset(values: Floats, peak: int) -> float:
    """Offset of the top of the parabola through a peak and its neighbours, within half a step."""
    if not 0 < peak < values.size - 1:
        return 0.0
    before, at, after = (float(value) for value in values[peak - 1 : peak + 2])
    bend = before - 2.0 * at + after
    return 0.0 if bend >= 0.0 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))


def _standing_out(per_spacing: Floats, power: Floats) -> float:
    """Logarithm of the power within 15 % of the ripples' frequency over that farther off."""
    away = np.abs(np.log(per_spacing))
    peak, beside = away < 0.15, (away > 0.3) & (away < 0.8)
    if not peak.any() or not beside.any():
        return 0.0
    return float(np.log((power[peak].mean() + 1.0e-12) / (power[beside].mean() + 1.0e-12)))


def _either_side(turn: Turn) -> tuple[CrestShape, CrestShape]:
    """Shapes before and behind a turn of the bow, as the turn alone tells them."""
    return (
        CrestShape(bow_mm=turn.bow_mm, crown_mm=turn.crown_mm),
        CrestShape(bow_mm=-turn.bow_mm, crown_mm=turn.crown_mm),
    )


def _pieces(piece: Places) -> tuple[slice, ...]:
    """Columns of each piece."""
    steps = [0, *(np.flatnonzero(np.diff(piece)) + 1), piece.size]
    return tuple(slice(first, last) for first, last in pairwise(steps))


def _aligned(strip: Strip, shapes: Sequence[CrestShape], piece: Places, lean: Floats) -> Floats:
    """(R, C) contrast read along the crests: each stands upright at its place in the middle row."""
    ahead = np.choose(piece, [shape.ahead_mm(strip.row, lean) for shape in shapes])
    x = np.arange(strip.s_mm.size) + ahead * strip.px_per_mm
    low = np.clip(np.floor(x).astype(np.intp), 0, strip.s_mm.size - 2)
    part = np.clip(x - low, 0.0, 1.0)
    rows = np.arange(strip.row.size)[:, None]
    return np.asarray(
        strip.contrast[rows, low] * (1.0 - part) + strip.contrast[rows, low + 1] * part
    )


def _power(strip: Strip, aligned: Floats) -> tuple[Floats, Floats]:
    """Frequencies per mm, and the power that neighbouring rows have there together."""
    per_mm, spectra = _spectra(strip, aligned)
    sums = np.cumsum(spectra, axis=0)
    return per_mm, (np.abs(sums[BAND_ROWS:] - sums[:-BAND_ROWS]) ** 2).sum(axis=0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Lags:
    """Lags in mm of P rows behind the one `APART` before each, in W windows of three spacings.

    `lag_mm` and `weight` are (P, W), `lean` and `piece` (W,).
    """

    lag_mm: Floats
    weight: Floats
    lean: Floats
    piece: Places


def _refined(
    strip: Strip, lags: _Lags, shapes: Sequence[CrestShape], *, mean_lean: float
) -> tuple[tuple[CrestShape, ...], float]:
    """Correct the shapes by what is left of the lag between nearby rows, window by window.

    Lags between neighbours do not care where light and dark swap sides.
    """
    v1, v2 = strip.row[:-APART, None], strip.row[APART:, None]
    here = [lags.piece == number for number in range(len(shapes))]
    of_shape = (v2**2 - v1**2, v2 - v1, v2**4 - v1**4)
    terms = np.broadcast_arrays(
        *(term * within for within in here for term in of_shape),
        (v1**2 - v2**2) * (lags.lean - mean_lean),
    )
    columns = np.stack([term.ravel() for term in terms], axis=1)
    fit, u_fit = _robust_fit(columns, lags.lag_mm.ravel(), lags.weight.ravel())
    crown = float(fit[-1])
    corrected = tuple(
        replace(
            shape,
            bow_mm=shape.bow_mm + float(bow) + crown * mean_lean,
            skew_mm=shape.skew_mm + float(skew),
            flare_mm=shape.flare_mm + float(flare),
            crown_mm=shape.crown_mm + crown,
        )
        for shape, (bow, skew, flare) in zip(shapes, fit[:-1].reshape(-1, 3), strict=True)
    )
    return corrected, float(u_fit[-1])


def _lags(
    strip: Strip, aligned: Floats, lean: Floats, piece: Places, *, spacing_mm: float
) -> _Lags:
    """Lags of the rows behind each other."""
    signal = uniform_filter1d(
        analytic(aligned, px_per_mm=strip.px_per_mm, spacing_mm=spacing_mm), 3, axis=0
    )
    window = max(3, round(3.0 * spacing_mm * strip.px_per_mm))
    middles = slice(window // 2, None, window)
    crossed = uniform_filter1d(signal[APART:] * np.conj(signal[:-APART]), window, axis=1)
    crossed = crossed[:, middles]
    weight = np.abs(crossed)
    return _Lags(
        lag_mm=-np.angle(crossed) * spacing_mm / (2.0 * np.pi),
        weight=weight / (weight + np.median(weight) + 1.0e-12),
        lean=lean[middles],
        piece=piece[middles],
    )


def _robust_fit(columns: Floats, target: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Weighted least squares with Cauchy weights; the fit and its standard uncertainties."""
    weights = weight
    for _ in range(5):
        normal = (columns * weights[:, None]).T @ columns
        # A thousandth of the diagonal keeps a term that nothing shows at its present value.
        normal += np.diag(1.0e-3 * np.diag(normal) + 1.0e-12)
        fit = np.linalg.solve(normal, (columns * weights[:, None]).T @ target)
        left = target - columns @ fit
        spread = 1.4826 * float(np.median(np.abs(left))) + 1.0e-9
        weights = weight / (1.0 + (left / (2.0 * spread)) ** 2)
    u_fit = spread * np.sqrt(np.diag(np.linalg.inv(normal)))
    return np.asarray(fit, dtype=np.float64), np.asarray(u_fit, dtype=np.float64)
