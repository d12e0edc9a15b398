"""Width and evenness of simulated toes: the stated uncertainty covers the truth."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import binomtest

from beadcheck.measurements.evenness import evenness_quantities
from beadcheck.measurements.width import width_quantities
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.toes import Toes, ToeUncertainty

STATIONS = 83
TURN = np.deg2rad(23.0)  # the weld lies askew on the surface
ALONG = np.array([np.cos(TURN), np.sin(TURN)])
ACROSS = np.array([-np.sin(TURN), np.cos(TURN)])


def toes_of(left: np.ndarray, right: np.ndarray, u_mm: float, *, steps_mm: float = 1.0) -> Toes:
    s_mm = 5.0 + steps_mm * np.arange(left.size)
    left_mm = s_mm[:, None] * ALONG + left[:, None] * ACROSS + 31.0
    right_mm = s_mm[:, None] * ALONG + right[:, None] * ACROSS + 31.0
    return Toes(
        s_mm=s_mm,
        left_mm=left_mm,
        right_mm=right_mm,
        left_px=12.0 * left_mm,
        right_px=12.0 * right_mm,
        u_left_mm=np.full(left.size, u_mm),
        u_right_mm=np.full(left.size, u_mm),
        hand_u_left_mm=np.zeros(left.size),
        hand_u_right_mm=np.zeros(left.size),
        sure=np.ones(left.size, dtype=bool),
        steady=np.ones(left.size, dtype=bool),
        correlation_mm=1.0,
        shared=ToeUncertainty(tone_curve_mm=0.0, definition_mm=0.0, finder_width_mm=0.07),
    )


def true_toes(generator: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    s = np.arange(STATIONS)
    phase = generator.uniform(0.0, 6.3, 4)
    wander = 0.4 * np.sin(s / 11.0 + phase[0])
    left = -4.6 + wander + 0.2 * np.sin(s / 3.0 + phase[1])
    return left, 4.4 + wander + 0.25 * np.sin(s / 4.3 + phase[2])


def by_name(quantities: tuple[Quantity | NotMeasured, ...]) -> dict[tuple, Quantity]:
    return {(q.name, q.statistic, q.side): q for q in quantities if isinstance(q, Quantity)}


def all_of(toes: Toes) -> dict[tuple, Quantity]:
    return by_name((*width_quantities(toes), *evenness_quantities(toes)))


def test_without_noise_every_value_is_the_plain_statistic() -> None:
    left, right = true_toes(np.random.default_rng(7))
    found = all_of(toes_of(left, right, 1e-6))
    widths = right - left
    width = QuantityName.WELD_WIDTH
    assert_allclose(found[width, Statistic.MEAN, None].value, widths.mean(), rtol=1e-9)
    assert_allclose(found[width, Statistic.SD, None].value, widths.std(ddof=1), rtol=1e-6)
    assert_allclose(found[width, Statistic.MIN, None].value, widths.min(), rtol=1e-9)
    assert_allclose(found[width, Statistic.MAX, None].value, widths.max(), rtol=1e-9)


@pytest.mark.parametrize("noise_mm", [0.03, 0.12])
def test_noise_of_the_toes_is_covered_by_the_stated_uncertainty(noise_mm: float) -> None:
    generator = np.random.default_rng(20261)
    hits: dict[tuple, list[bool]] = {}
    for _ in range(150):
        left, right = true_toes(generator)
        truth = all_of(toes_of(left, right, 1e-6))
        noisy = all_of(
            toes_of(
                left + noise_mm * generator.standard_normal(STATIONS),
                right + noise_mm * generator.standard_normal(STATIONS),
                noise_mm,
            )
        )
        for name, quantity in noisy.items():
            error = abs(quantity.value - truth[name].value)
            hits.setdefault(name, []).append(error <= quantity.expanded_uncertainty)
    for name, covered in hits.items():
        interval = binomtest(sum(covered), len(covered)).proportion_ci(0.95)
        assert interval.high >= 0.95, (name, interval)


def test_a_straight_even_weld_has_no_spread_left_once_noise_is_taken_out() -> None:
    generator = np.random.default_rng(3)
    flat = np.zeros(STATIONS)
    noise = 0.1
    toes = toes_of(
        flat - 4.0 + noise * generator.standard_normal(STATIONS),
        flat + 4.0 + noise * generator.standard_normal(STATIONS),
        noise,
    )
    spread = all_of(toes)[QuantityName.WELD_WIDTH, Statistic.SD, None]
    assert spread.value <= spread.expanded_uncertainty


def test_the_definition_of_the_toe_is_in_the_width_but_not_in_its_spread() -> None:
    left, right = true_toes(np.random.default_rng(5))
    found = all_of(toes_of(left, right, 0.05))
    scopes = {
        statistic: {c.scope for c in found[QuantityName.WELD_WIDTH, statistic, None].budget}
        for statistic in (Statistic.MEAN, Statistic.SD)
    }
    assert Scope.DEFINITION in scopes[Statistic.MEAN]
    assert Scope.DEFINITION not in scopes[Statistic.SD]


def test_a_bow_of_the_weld_is_its_centreline_deviation() -> None:
    s = np.arange(STATIONS, dtype=float)
    bow = 1.3 * (1.0 - ((s - s.mean()) / s.max() * 2.0) ** 2)
    found = all_of(toes_of(bow - 3.9, bow + 4.2, 1e-6))
    residual = bow - np.polyval(np.polyfit(s, bow, 1), s)
    value = found[QuantityName.CENTRELINE_DEVIATION, Statistic.MAX, None].value
    assert_allclose(value, np.abs(residual).max(), rtol=0.02)  # the ends' line is the frame


def test_only_the_wavy_toe_is_reported_as_wavy() -> None:
    s = np.arange(STATIONS)
    found = all_of(toes_of(-4.0 + 0.3 * np.sin(s / 2.1), np.full(STATIONS, 4.0), 1e-6))
    name = (QuantityName.TOE_WAVINESS, Statistic.SD)
    assert_allclose(found[*name, Side.LEFT].value, 0.3 / np.sqrt(2.0), rtol=0.1)
    assert found[*name, Side.RIGHT].value < 0.01


def test_a_weld_shorter_than_the_window_has_no_waviness_but_a_reason() -> None:
    left, right = true_toes(np.random.default_rng(5))
    waviness = [
        q
        for q in evenness_quantities(toes_of(left[:20], right[:20], 0.05))
        if q.name is QuantityName.TOE_WAVINESS
    ]
    assert len(waviness) == 2
    assert all(isinstance(q, NotMeasured) and "25 mm" in q.reason for q in waviness)
