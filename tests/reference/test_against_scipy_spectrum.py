"""Ripple spacing against known periodic faces, a Fourier estimate of scipy, and simulated welds.

`scipy.signal.periodogram` is the outside estimate of a steady period. The jittered welds follow the
published design of a simulation only (sawtooth-like ripples, accumulating jitter, uneven light,
noise); their truth is the drawn crests. Ripple shapes and light are common practice, no published
source.
"""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from scipy.signal import periodogram
from scipy.stats import binom

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.coupon import Shape
from beadcheck.measurements.ripple_spacing import ripple_quantities
from beadcheck.measurements.ripples import Ripples, find_ripples
from beadcheck.photo.picture import linear_grey
from beadcheck.quantity import Component, Quantity, Statistic
from beadcheck.surface import Points

Floats = NDArray[np.float64]


class FlatFromAfar:
    """A plate seen square on from so far that height does not shift anything."""

    shape = Shape.PLATE
    px_per_mm, tilt_deg, distance_mm, residual_px, blur_px = 10.0, 0.0, 1.0e6, 0.1, 1.0
    outside_diameter_mm = None

    def to_px(self, points_mm: Points) -> Points:
        return points_mm * self.px_per_mm

    def to_mm(self, points_px: Points) -> Points:
        return points_px / self.px_per_mm

    def seen_at_deg(self, points_mm: Points) -> Floats:
        return 90.0 - np.degrees(np.arctan(np.hypot(*points_mm.T) / self.distance_mm))

    def clock_deg(self, points_mm: Points) -> Floats:
        return np.full(len(points_mm), np.nan)

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
        del start_mm, end_mm
        return ()

    def target_outline_mm(self) -> tuple[Points, ...]:
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SimulatedWeld:
    """A weld face under drawn lamps, and the truth of its crests."""

    bead: BeadMap
    left_mm: Floats
    right_mm: Floats
    crests_mm: Floats
    length_mm: float

    def ripples(self) -> object:
        return find_ripples(
            self.bead,
            FlatFromAfar(),
            left_across_mm=self.left_mm,
            right_across_mm=self.right_mm,
            s_range_mm=(0.0, self.length_mm),
        )


def as_map(light: Floats, s_mm: Floats, across_mm: Floats, px_per_mm: float) -> BeadMap:
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    grey = np.round(255.0 * np.clip(coded, 0.0, 1.0)).astype(np.uint8)
    return BeadMap(
        bgr=np.repeat(grey[..., None], 3, axis=2),
        seen=np.ones(grey.shape, dtype=np.bool_),
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=px_per_mm,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )


def ripple_height(ahead_mm: Floats, crests_mm: Floats, spacing_mm: float, kind: str) -> Floats:
    """Height, 0 to 1, of the ripples at places measured along the weld from the crests."""
    phase = np.interp(ahead_mm, crests_mm, np.arange(crests_mm.size))
    part = phase - np.floor(phase)
    if kind == "domes":
        return np.abs(np.cos(np.pi * part)) ** 0.8
    if kind == "waves":
        return 0.5 + 0.5 * np.cos(2.0 * np.pi * part)
    # Scales: each ripple keeps its own shape and ends where the next one was laid over it.
    gap_mm = np.diff(crests_mm).min()
    edge = np.searchsorted(crests_mm - min(0.35 * spacing_mm, 0.6 * gap_mm), ahead_mm) - 1
    away = (ahead_mm - crests_mm[np.clip(edge, 0, crests_mm.size - 1)]) / spacing_mm
    return 1.0 - np.clip(np.abs(away) / 0.75, 0.0, 1.0) ** 1.6


def light_of(rng: np.random.Generator, height: Floats, s: Floats, t: Floats, step: float) -> Floats:
    """Light that a camera above sees under one to three lamps near the weld, matt and glossy."""
    slope_t, slope_s = np.gradient(height, step)
    normal = np.stack([-slope_s, -slope_t, np.ones_like(height)], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    place = np.stack(np.broadcast_arrays(s, t, height), axis=-1)
    light = rng.uniform(0.1, 0.5) * np.ones_like(height)
    gloss = rng.uniform(8.0, 60.0)
    for _ in range(rng.integers(1, 4)):
        turn, rise = rng.uniform(0, 2 * np.pi), np.radians(rng.uniform(20, 75))
        towards = np.array([np.cos(turn) * np.cos(rise), np.sin(turn) * np.cos(rise), np.sin(rise)])
        lamp = np.array([s.mean(), 0.0, 0.0]) + rng.uniform(150, 900) * towards - place
        lamp /= np.linalg.norm(lamp, axis=-1, keepdims=True)
        between = lamp + np.array([0.0, 0.0, 1.0])
        between /= np.linalg.norm(between, axis=-1, keepdims=True)
        light += rng.uniform(0.2, 0.8) * np.clip((normal * lamp).sum(axis=-1), 0, None)
        light += rng.uniform(0.3, 2) * np.clip((normal * between).sum(axis=-1), 0, None) ** gloss
    return light


def simulated_weld(
    rng: np.random.Generator, *, spread: float, ripple_mm: float | None = None
) -> SimulatedWeld:
    """A weld with jittered, bowed ripples of a relative spread, spatter, grain and noise."""
    length, half = rng.uniform(25, 50), rng.uniform(3, 6)
    spacing, px_per_mm = rng.uniform(0.9, 2.0), rng.uniform(9, 14)
    count = int(1.6 * length / spacing) + 20
    gaps = spacing * np.clip(1 + spread * rng.standard_normal(count), 0.35, 2.2)
    crests = np.cumsum(gaps) - 8 * spacing
    s = np.arange(int((length + 2) * px_per_mm)) / px_per_mm - 1
    across = np.arange(-int((half + 1.5) * px_per_mm), int((half + 1.5) * px_per_mm)) / px_per_mm
    middle = 0.2 * np.sin(s / 17 + rng.uniform(0, 6))
    half_width = half * (1 + 0.03 * np.sin(s / 9 + rng.uniform(0, 6)))
    v = np.clip((across[:, None] - middle) / half_width, -1, 1)
    bow = rng.uniform(0.2, 1.0) * half * np.abs(v) ** rng.uniform(2, 3) + rng.uniform(-0.3, 0.3) * v
    wobble = gaussian_filter(rng.standard_normal(v.shape), px_per_mm)
    ahead = s - bow + 0.04 * spacing * wobble / wobble.std()
    kind = str(rng.choice(["domes", "scales", "waves"], p=[0.4, 0.4, 0.2]))
    amplitude = rng.uniform(0.03, 0.06) * spacing if ripple_mm is None else ripple_mm
    height = rng.uniform(0.8, 2.5) * (1 - v**2)
    height += amplitude * np.sqrt(1 - v**2) * ripple_height(ahead, crests, spacing, kind)
    grain = gaussian_filter(rng.standard_normal(v.shape), 0.08 * px_per_mm)
    height += rng.uniform(0.002, 0.006) * grain / grain.std()
    light = light_of(rng, height, s[None, :], across[:, None], 1 / px_per_mm)
    for _ in range(rng.poisson(2)):
        away = np.hypot(s - rng.uniform(0, length), across[:, None] - rng.uniform(-half, half))
        light = np.where(away < rng.uniform(0.2, 0.5), 0.15 * light, light)
    light = gaussian_filter(light, rng.uniform(0.7, 1.4))
    light *= 0.3 / np.median(light)
    light += rng.uniform(0.005, 0.02) * rng.standard_normal(light.shape)
    return SimulatedWeld(
        bead=as_map(np.clip(light, 0, 1), s, across, px_per_mm),
        left_mm=middle - half_width,
        right_mm=middle + half_width,
        crests_mm=crests,
        length_mm=length,
    )


def true_gaps(weld: SimulatedWeld, ripples: Ripples) -> Floats:
    """Gaps between the true crests that the found ones span; a common shift of all is allowed."""
    spacing = np.diff(weld.crests_mm).mean()
    nearest = np.abs(weld.crests_mm - ripples.s_mm[:, None]).argmin(axis=1)
    off = 2 * np.pi * (ripples.s_mm - weld.crests_mm[nearest]) / spacing
    shift = np.angle(np.exp(1j * off).mean()) * spacing / (2 * np.pi)
    first, last = (
        int(np.abs(weld.crests_mm + shift - ripples.s_mm[end]).argmin()) for end in (0, -1)
    )
    return np.diff(weld.crests_mm[first : last + 1])


def by_statistic(ripples: Ripples) -> dict[Statistic, Quantity]:
    return {quantity.statistic: quantity for quantity in ripple_quantities(ripples)}


@pytest.mark.parametrize("period_mm", [0.8, 1.25, 2.4])
def test_a_steady_grating_gives_its_own_period_and_that_of_scipys_periodogram(
    period_mm: float,
) -> None:
    px_per_mm = 12.0
    s = np.arange(int(60 * px_per_mm)) / px_per_mm
    across = np.arange(-int(6 * px_per_mm), int(6 * px_per_mm)) / px_per_mm
    phase = (s - 0.06 * across[:, None] ** 2) / period_mm
    noise = np.random.default_rng(5).normal(0, 0.01, phase.shape)
    bead = as_map(0.3 + 0.06 * np.cos(2 * np.pi * phase) + noise, s, across, px_per_mm)
    half = np.full(s.size, 4.0)
    ripples = find_ripples(
        bead, FlatFromAfar(), left_across_mm=-half, right_across_mm=half, s_range_mm=(0.0, 60.0)
    )
    assert isinstance(ripples, Ripples)
    middle_row = linear_grey(bead.bgr[across.size // 2 - 2 : across.size // 2 + 3]).mean(axis=0)
    per_mm, power = periodogram(middle_row, fs=px_per_mm, window="hann", nfft=2**17)
    by_scipy_mm = 1.0 / per_mm[np.argmax(power)]
    mean = by_statistic(ripples)[Statistic.MEAN]
    # A periodogram of 60 mm tells a pure tone of this noise to well below 0.1 %.
    assert_allclose(mean.value, by_scipy_mm, rtol=2e-3)
    assert_allclose(mean.value, period_mm, rtol=2e-3)
    assert mean.expanded_uncertainty < 0.03 * period_mm
    # Nothing but picking noise is left of the spread: a few hundredths of the period.
    assert by_statistic(ripples)[Statistic.SD].value < 0.04 * period_mm


@pytest.fixture(scope="module")
def jittered() -> list[tuple[float, Floats, dict[Statistic, Quantity]]]:
    """Relative spread, true gaps and measured quantities of 112 simulated welds, refusals left
    out."""
    rows = []
    for number in range(112):
        rng = np.random.default_rng([2026, number])
        spread = rng.uniform(0.0, 0.2)
        weld = simulated_weld(rng, spread=spread)
        ripples = weld.ripples()
        if isinstance(ripples, Ripples):
            rows.append((spread, true_gaps(weld, ripples), by_statistic(ripples)))
    return rows


def test_few_rippled_welds_are_refused(
    jittered: list[tuple[float, Floats, dict[Statistic, Quantity]]],
) -> None:
    assert len(jittered) >= 106


@pytest.mark.parametrize("statistic", [Statistic.MEAN, Statistic.SD, Statistic.MIN, Statistic.MAX])
def test_the_stated_uncertainty_covers_the_truth_of_jittered_welds(
    statistic: Statistic, jittered: list[tuple[float, Floats, dict[Statistic, Quantity]]]
) -> None:
    truth = {
        Statistic.MEAN: np.mean,
        Statistic.SD: lambda gaps: np.std(gaps, ddof=1),
        Statistic.MIN: np.min,
        Statistic.MAX: np.max,
    }[statistic]
    covered = sum(
        abs(measured[statistic].value - truth(gaps)) <= measured[statistic].expanded_uncertainty
        for _, gaps, measured in jittered
    )
    # 95 % coverage, within what chance does to this number of welds (one-sided 99 %).
    assert covered >= binom.ppf(0.01, len(jittered), 0.95)


def test_the_mean_spacing_of_jittered_welds_is_near_the_realised_one(
    jittered: list[tuple[float, Floats, dict[Statistic, Quantity]]],
) -> None:
    errors = np.array(
        [
            measured[Statistic.MEAN].value / gaps.mean() - 1.0
            for spread, gaps, measured in jittered
            if spread > 0.05
        ]
    )
    # The accuracy study finds 0.16 to 0.4 % for picked peaks of 10 to 20 ripples in a
    # one-dimensional signal.
    assert np.median(np.abs(errors)) < 0.005
    assert abs(np.median(errors)) < 0.002


def test_no_ripples_are_invented_on_a_face_without_any() -> None:
    for number in range(20):
        rng = np.random.default_rng([7, number])
        weld = simulated_weld(rng, spread=0.1, ripple_mm=0.0)
        assert not isinstance(weld.ripples(), Ripples)
