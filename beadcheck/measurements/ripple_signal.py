"""One signal along the weld whose maxima are the ripple crests, whatever the light."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import gaussian_filter1d, uniform_filter1d

from beadcheck.measurements.ripple_shape import OWN_RHYTHM, Rhythm
from beadcheck.measurements.ripple_spectrum import analytic
from beadcheck.measurements.ripple_strip import ROWS, Complexes, Floats, smoothed

LEVEL_OVER: Final = 2.5
"""Length (standard deviation, in spacings) over which the signal's strength is levelled."""

LIGHT_OVER: Final = 10.0
"""Length (standard deviation, in spacings) over which the rows' weights may change with the
light."""

WHOLE_PULL: Final = 0.25
"""Weight of the whole weld's row weights beside the local ones."""

SLOW_OVER: Final = 4.0
"""Length (standard deviation, in spacings) over which the light's shift against the grooves is
averaged."""

GROOVE_SHARE: Final = 0.35
"""Weight of the groove signal beside that of brightness: grooves are truer, brightness is less
noisy."""

FINE: Final = (0.04, 0.12)
"""Pass band of groove sharpness: standard deviations of the two Gaussians, in spacings."""

STEADY_PULL: Final = 0.25
"""Weight of the weld's mean shift of light against the local one."""

ROUNDED_DEG: Final = 25.0
FAR_ROUND_DEG: Final = 85.0
"""From here on a surface turns under the light; from there on glints run over whole ripples."""

FOLLOWED_OVER: Final = 2.5
FOLLOWED_SHARE: Final = (0.2, 0.5)
FOLLOWED_ROWS: Final = 9
"""Length, weights (below and from `FAR_ROUND_DEG` on) and rows for grooves that are followed. On
163 renders of pipe photos crests missed or doubled fell from 1.3 to 0.8 a photo on small pipes,
where nearly every photo had shown one too many; on large ones the median fell from 1.4 to 1.2."""

GROOVE_ROWS: Final = 5
"""Rows whose grooves are joined elsewhere."""

GROOVES_SEEN: Final = 0.2
"""Coherence of brightness and grooves below which the grooves say nothing."""

GROOVES_CLEAR: Final = 0.45
"""Coherence from which the grooves can tell a shift that changes along the weld: grain reaches
0.35."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrestSignal:
    """Ripple signal along the weld.

    Attributes
    ----------
    whole
        (C,) its maxima are the crests, about 1 high where they are clear.
    halves
        The same from two separate halves of the rows.
    coherence
        0 to 1: how steadily brightness and grooves keep step.
    agreement
        0 to 1: correlation of two separate halves of the rows.
    strength
        How far the rhythm stands above chance, see `_strength`.
    """

    whole: Floats
    halves: tuple[Floats, Floats]
    coherence: float
    agreement: float
    strength: float


def crest_signal(rhythm: Rhythm, *, px_per_mm: float, turning_deg: float) -> CrestSignal:
    """Join the rows, and brightness with grooves, into one signal.

    A ripple is brightest on the flank that faces the light, so bright lines shift by up to half a
    spacing against the crests as the lamp's direction changes along the weld. The grooves between
    ripples are where the light changes abruptly, whether to bright or to dark. So brightness, which
    is less noisy, gives the detail, and its slow shift against the grooves is taken out; crests lie
    midway between grooves.

    Where the surface turns under the light, by `turning_deg` in all, glints run from one groove of
    a ripple to the next as the weld goes round: brightness alone shows up to a ripple too many.
    There it counts as far as it keeps step with the grooves about it.
    """
    rounded = turning_deg >= ROUNDED_DEG
    rows = analytic(rhythm.aligned, px_per_mm=px_per_mm, spacing_mm=rhythm.spacing_mm)
    spacing_px = rhythm.spacing_mm * px_per_mm
    weights = _local_weights(rows, row_weights(rows), spacing_px=spacing_px)
    weighted = weights * rows
    bright = _levelled(weighted.sum(axis=0), spacing_px=spacing_px)
    sharp = _sharpness(
        rhythm.aligned,
        np.abs(weights),
        spacing_px=spacing_px,
        rows=FOLLOWED_ROWS if rounded else GROOVE_ROWS,
    )
    groove = analytic(sharp[None, :], px_per_mm=px_per_mm, spacing_mm=rhythm.spacing_mm)[0]
    groove = _levelled(groove, spacing_px=spacing_px)
    crossed = groove * np.conj(bright)
    shift, coherence = _slow_shift(crossed, spacing_px=spacing_px)
    joined = bright * shift
    if coherence >= GROOVES_SEEN and rounded:
        followed = smoothed(crossed, FOLLOWED_OVER * spacing_px)
        joined = bright * followed + FOLLOWED_SHARE[turning_deg >= FAR_ROUND_DEG] * groove
        shift = np.exp(1j * np.angle(followed))
    elif coherence >= GROOVES_SEEN:
        joined = joined + GROOVE_SHARE * groove
    first, second = (weighted[_half(half)].sum(axis=0) for half in (0, 1))
    return CrestSignal(
        whole=-_levelled(joined, spacing_px=spacing_px).real,
        halves=(
            -_levelled(first * shift, spacing_px=spacing_px).real,
            -_levelled(second * shift, spacing_px=spacing_px).real,
        ),
        coherence=coherence,
        agreement=_agreement(first, second),
        strength=_strongest(bright, rhythm, spacing_px=spacing_px),
    )


def row_weights(rows: Complexes) -> Complexes:
    """(R,) complex weights under which the rows add up best.

    They are the first eigenvector of the rows' covariance, noise taken off its diagonal; complex,
    since the light may show a ripple earlier in one row than in another, or light for dark.
    """
    covariance = rows @ np.conj(rows.T) / rows.shape[1]
    beside = np.abs(np.diag(covariance, 2))
    np.fill_diagonal(covariance, np.r_[beside[:1], beside, beside[-1:]])
    vector = np.linalg.eigh(covariance)[1][:, -1]
    vector = vector * np.exp(-1j * np.angle(np.sum(vector * np.abs(vector))))
    return np.asarray(np.conj(vector))


def _local_weights(rows: Complexes, weights: Complexes, *, spacing_px: float) -> Complexes:
    """(R, C) weights that follow the light along the weld, starting from those of the whole weld.

    One step of the power iteration towards the first eigenvector of each place's own covariance.
    """
    crossed = rows * np.conj(weights @ rows)
    local = smoothed(crossed, LIGHT_OVER * spacing_px)
    local = local / (np.linalg.norm(local, axis=0) + 1.0e-12)
    return np.asarray(np.conj(local) + WHOLE_PULL * weights[:, None])


def _half(half: int) -> NDArray[np.bool_]:
    """(R,) rows of one half, in blocks of four turn about."""
    return np.asarray((np.arange(ROWS) // 4) % 2 == half)


def _agreement(first: Complexes, second: Complexes) -> float:
    """Correlation of two analytic signals."""
    strength = np.linalg.norm(first) * np.linalg.norm(second)
    return float(np.abs(np.vdot(first, second)) / (strength + 1.0e-12))


def _strongest(bright: Complexes, rhythm: Rhythm, *, spacing_px: float) -> float:
    """Strength of the whole weld, or of a long piece: runs that meet keep each its own rhythm."""
    found = [_strength(bright, rhythm.standing_out, spacing_px=spacing_px)]
    for piece, own_mm in zip(rhythm.pieces, rhythm.spacings_mm, strict=True):
        own_px = spacing_px * own_mm / rhythm.spacing_mm
        if bright[piece].size >= OWN_RHYTHM * own_px:
            found.append(_strength(bright[piece], rhythm.standing_out, spacing_px=own_px))
    return max(found)


def _strength(bright: Complexes, standing_out: float, *, spacing_px: float) -> float:
    """Rise of the signal's autocorrelation to one spacing, and three tenths of two more signs.

    Any noise that has passed the band rises to one spacing; only a rhythm rises again to two, and
    stands out of the spectrum before the band. The weights part simulated beads without ripples
    from those with.
    """
    size = bright.size
    power = np.abs(fft.fft(bright, 2 * size)) ** 2
    correlation = fft.ifft(power)[:size].real
    correlation = correlation / (correlation[0] + 1.0e-12) / (1.0 - np.arange(size) / size)
    first, second = (
        _rise(correlation, [round(part * spacing_px) for part in parts])
        for parts in ((0.3, 0.75, 1.3), (1.2, 1.7, 2.4))
    )
    return first + 0.3 * second + 0.3 * standing_out


def _rise(correlation: Floats, bounds: list[int]) -> float:
    """Highest value in the later stretch less the lowest in the one before it."""
    low, middle, high = (min(bound, correlation.size - 1) for bound in bounds)
    if not low < middle < high:
        return 0.0
    return float(correlation[middle : high + 1].max() - correlation[low:middle].min())


def _levelled(signal: Complexes, *, spacing_px: float) -> Complexes:
    """Analytic signal over its own local strength."""
    power = smoothed(np.abs(signal) ** 2, LEVEL_OVER * spacing_px)
    return np.asarray(signal / np.sqrt(power + 0.02 * np.median(power) + 1.0e-12))


def _sharpness(aligned: Floats, weights: Floats, *, spacing_px: float, rows: int) -> Floats:
    """(C,) logarithm of how abruptly light changes along the weld, bright or dark alike.

    So many neighbouring rows are joined before bright and dark count alike.
    """
    narrow, wide = max(0.6, FINE[0] * spacing_px), max(1.2, FINE[1] * spacing_px)
    fine = gaussian_filter1d(aligned, narrow, axis=1) - gaussian_filter1d(aligned, wide, axis=1)
    sharp = (weights * np.abs(uniform_filter1d(fine, rows, axis=0))).sum(axis=0)
    return np.asarray(np.log(sharp + 0.1 * np.median(sharp) + 1.0e-12))


def _slow_shift(crossed: Complexes, *, spacing_px: float) -> tuple[Complexes, float]:
    """Unit phasor that turns brightness into step with the grooves, and their coherence."""
    local = smoothed(crossed, SLOW_OVER * spacing_px)
    coherence = float(np.mean(np.abs(local)))
    if coherence < GROOVES_SEEN:
        # Without grooves the brightest place of a ripple is taken for its crest.
        return np.full(crossed.size, -1.0 + 0.0j), coherence
    mean = complex(np.mean(crossed))
    steady = mean / abs(mean) if abs(mean) > 0.0 else -1.0 + 0.0j
    if coherence < GROOVES_CLEAR:
        return np.full(crossed.size, steady), coherence
    pulled = local + STEADY_PULL * steady
    size: NDArray[np.float64] = np.maximum(np.abs(pulled), 1.0e-9)
    return np.asarray(pulled / size), coherence
