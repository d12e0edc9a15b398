"""Spectra of the ripple strip: frequencies, spacing at the peak, and signals within the band."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import gaussian_filter1d

from beadcheck.measurements.ripple_strip import Complexes, Floats, Strip

SPACING_RANGE: Final = (0.06, 1.2)
"""Spacings looked for, in half widths (common practice, no published source): finer is grain, wider
is weave."""

BAND_ROWS: Final = 8
"""Neighbouring rows that are laid over each other; farther ones may show light and dark swapped."""

PASS_BAND: Final = 0.6
"""Pass band about the ripples: standard deviation of the natural logarithm of frequency."""


def analytic(rows: NDArray[np.floating], *, px_per_mm: float, spacing_mm: float) -> Complexes:
    """(R, C) rows passed through a band about the spacing, as analytic signals of their precision.

    The ends are padded by reflection, or crests near them would be drawn inwards.
    """
    pad = min(rows.shape[1] - 1, round(2.0 * spacing_mm * px_per_mm))
    padded = np.pad(rows, ((0, 0), (pad, pad)), mode="reflect")
    length = fft.next_fast_len(padded.shape[1])
    per_mm = fft.fftfreq(length, 1.0 / px_per_mm)
    weight = np.zeros(length, dtype=rows.dtype)
    up = per_mm > 0
    weight[up] = 2.0 * np.exp(-0.5 * (np.log(per_mm[up] * spacing_mm) / PASS_BAND) ** 2)
    passed = fft.ifft(fft.fft(padded, length, axis=1) * weight, axis=1)
    return np.asarray(passed[:, pad : pad + rows.shape[1]])


def ripple_frequencies(strip: Strip) -> tuple[Floats, NDArray[np.bool_]]:
    """Every frequency of the strip's spectrum, per mm, and whether ripples may have it."""
    per_mm = fft.rfftfreq(fft.next_fast_len(strip.s_mm.size, real=True), 1.0 / strip.px_per_mm)
    low, high = (1.0 / (part * strip.half_width_mm) for part in SPACING_RANGE[::-1])
    return per_mm, (per_mm >= low) & (per_mm <= min(high, 0.4 * strip.px_per_mm))


def spectra(strip: Strip, rows: Floats) -> tuple[Floats, Complexes]:
    """Frequencies per mm in the range of ripples, and the rows' spectra there."""
    per_mm, used = ripple_frequencies(strip)
    length = fft.next_fast_len(strip.s_mm.size, real=True)
    window = np.hanning(rows.shape[1])
    return per_mm[used], fft.rfft(rows * window, length, axis=1)[:, used]


def power_of(strip: Strip, aligned: Floats) -> tuple[Floats, Floats]:
    """Frequencies per mm, and the power that neighbouring rows have there together."""
    per_mm, of_rows = spectra(strip, aligned)
    sums = np.cumsum(of_rows, axis=0)
    return per_mm, (np.abs(sums[BAND_ROWS:] - sums[:-BAND_ROWS]) ** 2).sum(axis=0)


def peak_spacing_mm(per_mm: Floats, power: Floats) -> float:
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


def standing_out(per_spacing: Floats, power: Floats) -> float:
    """Logarithm of the power within 15 % of the ripples' frequency over that farther off."""
    away = np.abs(np.log(per_spacing))
    peak, beside = away < 0.15, (away > 0.3) & (away < 0.8)
    if not peak.any() or not beside.any():
        return 0.0
    return float(np.log((power[peak].mean() + 1.0e-12) / (power[beside].mean() + 1.0e-12)))
