"""The bow of the ripples, straightened out, and their spacing by the spectrum."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from beadcheck.measurements.ripple_spectrum import (
    BAND_ROWS,
    analytic,
    peak_spacing_mm,
    power_of,
    spectra,
    standing_out,
)
from beadcheck.measurements.ripple_strip import Floats, Strip, power_of_all, power_together
from beadcheck.measurements.ripple_turn import Turn, bow_turn

Places = NDArray[np.intp]

BOWS: Final = np.linspace(-1.6, 1.6, 33)
SKEWS: Final = np.linspace(-0.6, 0.6, 9)
"""Bows and skews tried first, in half widths."""

APART: Final = 4
"""Rows between those whose lag corrects the shape."""

NEAR_WHOLE: Final = 0.35
"""Logarithm by which the spacings of two runs differ at most from that of both (our estimate)."""

OWN_RHYTHM: Final = 8.0
"""Spacings that a piece of the weld needs to tell a rhythm by itself."""


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
        Spacing by the spectrum, over all pieces.
    spacings_mm
        That of each piece.
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
    spacings_mm: tuple[float, ...]
    shapes: tuple[CrestShape, ...]
    pieces: tuple[slice, ...]
    aligned: Floats
    u_crown_mm: float
    standing_out: float

    @property
    def along_mm(self) -> Floats:
        """(C,) spacing of the piece that each column belongs to."""
        return self._along(self.spacings_mm)

    @property
    def bow_along_mm(self) -> Floats:
        """(C,) bow of the shape that each column belongs to."""
        return self._along([shape.bow_mm for shape in self.shapes])

    def _along(self, values: Sequence[float]) -> Floats:
        return np.repeat(values, [piece.stop - piece.start for piece in self.pieces])


def find_rhythm(strip: Strip, lean: Floats) -> Rhythm:
    """Find the shape of the crests and their spacing by the spectrum.

    Parameters
    ----------
    lean
        (C,) how far a point raised by 1 mm seems shifted along the weld, in mm per mm.
    """
    shape, spacing_mm = _coarse(strip)
    turn = bow_turn(strip, lean)
    shapes: tuple[CrestShape, ...] = (shape,) if turn is None else _either_side(turn)
    piece = np.zeros(strip.s_mm.size, dtype=np.intp)
    if turn is not None:
        piece[turn.column :] = 1
        spacing_mm = peak_spacing_mm(*power_of(strip, _aligned(strip, shapes, piece, lean)))
    u_crown_mm = float("inf")
    for _ in range(3):
        aligned = _aligned(strip, shapes, piece, lean)
        lags = _lags(strip, aligned, lean, piece, spacing_mm=spacing_mm)
        shapes, u_crown_mm = _refined(strip, lags, shapes, mean_lean=float(lean.mean()))
    aligned = _aligned(strip, shapes, piece, lean)
    per_mm, power = power_of(strip, aligned)
    spacing_mm = peak_spacing_mm(per_mm, power)
    pieces = _pieces(piece)
    spacings_mm = _spacings_mm(strip, aligned, pieces, spacing_mm)
    lengths = [each.stop - each.start for each in pieces]
    count = sum(length / own for length, own in zip(lengths, spacings_mm, strict=True))
    return Rhythm(
        spacing_mm=sum(lengths) / count,
        spacings_mm=spacings_mm,
        shapes=shapes,
        pieces=pieces,
        aligned=aligned,
        u_crown_mm=u_crown_mm,
        standing_out=standing_out(per_mm * spacing_mm, power),
    )


def _spacings_mm(
    strip: Strip, aligned: Floats, pieces: Sequence[slice], whole_mm: float
) -> tuple[float, ...]:
    """Spacing of each piece by its own spectrum, or that of the whole where a piece is short."""
    if len(pieces) == 1:
        return (whole_mm,)
    found = []
    for piece in pieces:
        cut = replace(strip, s_mm=strip.s_mm[piece], contrast=strip.contrast[:, piece])
        long = cut.s_mm.size >= OWN_RHYTHM * whole_mm * strip.px_per_mm
        if not long:
            found.append(whole_mm)
            continue
        per_mm, power = power_of(cut, aligned[:, piece])
        near = np.abs(np.log(per_mm * whole_mm)) < NEAR_WHOLE
        found.append(peak_spacing_mm(per_mm[near], power[near]))
    return tuple(found)


def _coarse(strip: Strip) -> tuple[CrestShape, float]:
    """Shape under which neighbouring rows agree best, over all frequencies at once.

    The part of the power that rows add up coherently is free of grain and noise, which differ from
    row to row.
    """
    # Shapes are compared only: single precision is enough, and twice as fast.
    row = (0.5 * (strip.row[::2] + strip.row[1::2])).astype(np.float32)
    per_mm, of_rows = spectra(strip, 0.5 * (strip.contrast[::2] + strip.contrast[1::2]))
    half, band, of_rows = strip.half_width_mm, BAND_ROWS // 2, of_rows.astype(np.complex64)
    turn = (2j * np.pi * per_mm * half).astype(np.complex64)
    bows = np.exp(BOWS.astype(np.float32)[:, None, None] * (row**2)[:, None] * turn)
    best, chosen, kept = -np.inf, CrestShape(), np.zeros(per_mm.size)
    alone = power_of_all(of_rows) * band
    for skew in SKEWS:
        turned = bows * (of_rows * np.exp(np.float32(skew) * row[:, None] * turn))
        together = power_together(turned, band)
        scores = together.sum(axis=1)
        first = int(np.argmax(scores))
        if scores[first] > best:
            best, kept = float(scores[first]), together[first]
            chosen = CrestShape(bow_mm=float(BOWS[first]) * half, skew_mm=float(skew) * half)
    return chosen, peak_spacing_mm(per_mm, kept - alone)


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
    columns = np.arange(strip.s_mm.size)
    places = columns + ahead * strip.px_per_mm
    return np.stack(
        [np.interp(at, columns, row) for at, row in zip(places, strip.contrast, strict=True)]
    )


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
    # Single precision is far finer than what grain does to a lag, and twice as fast.
    rows = aligned.astype(np.float32)
    signal = uniform_filter1d(
        analytic(rows, px_per_mm=strip.px_per_mm, spacing_mm=spacing_mm), 3, axis=0
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
