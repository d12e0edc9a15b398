"""Toes are followed through a likelihood whose truth is known."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.ndimage import gaussian_filter
from scipy.special import ndtr

from beadcheck.toes.trace import TracedWeld, follow_toes

PITCH_MM = 0.13
S_MM = np.arange(3.0, 75.0, PITCH_MM)
ACROSS_MM = np.arange(-13.0, 14.0, PITCH_MM)
SETTLED = slice(12, -12)  # the ends of the strip have fewer neighbours to average with


def wavy_weld(width_mm: float, blur_mm: float, wander_mm: float) -> tuple[np.ndarray, ...]:
    """True left and right toe, and the blurred likelihood of weld between them."""
    middle = 0.7 + wander_mm * np.sin(S_MM / 9.0)
    left = middle - 0.5 * width_mm + 0.15 * np.sin(S_MM / 4.0)
    right = middle + 0.5 * width_mm + 0.15 * np.cos(S_MM / 5.0)
    across = ACROSS_MM[:, None]
    likelihood = ndtr((across - left) / blur_mm) * ndtr((right - across) / blur_mm)
    return left, right, likelihood.astype(np.float32)


def traced(likelihood: np.ndarray, width_mm: float) -> TracedWeld:
    return follow_toes(
        likelihood,
        np.ones(likelihood.shape, dtype=bool),
        s_mm=S_MM,
        across_mm=ACROSS_MM,
        core_mm=(float(S_MM[0]), float(S_MM[-1])),
        width_mm=width_mm,
    )


@settings(max_examples=25, deadline=None)
@given(width_mm=st.floats(5.0, 12.0), blur_mm=st.floats(0.05, 0.5), wander_mm=st.floats(0.0, 0.8))
def test_both_toes_are_followed_to_a_fraction_of_a_pixel(
    width_mm: float, blur_mm: float, wander_mm: float
) -> None:
    left, right, likelihood = wavy_weld(width_mm, blur_mm, wander_mm)
    weld = traced(likelihood, width_mm)
    # A fifth of a pixel of the strip, of which averaging over 1 mm of a wavy toe takes the most.
    assert_allclose(weld.left.across_mm[SETTLED], left[SETTLED], atol=0.2 * PITCH_MM)
    assert_allclose(weld.right.across_mm[SETTLED], right[SETTLED], atol=0.2 * PITCH_MM)


def test_blur_alone_does_not_move_the_toes() -> None:
    _left, _right, sharp = wavy_weld(8.3, 0.05, 0.3)
    _, _, soft = wavy_weld(8.3, 0.6, 0.3)
    shift = traced(soft, 8.3).left.across_mm - traced(sharp, 8.3).left.across_mm
    assert abs(shift[SETTLED].mean()) < 0.01  # mm; the place itself is known to about 0.05 mm


def test_a_softer_edge_is_reported_as_softer() -> None:
    _, _, sharp = wavy_weld(8.3, 0.1, 0.3)
    _, _, soft = wavy_weld(8.3, 0.5, 0.3)
    assert (
        traced(soft, 8.3).left.softness_mm.mean() > 2.0 * traced(sharp, 8.3).left.softness_mm.mean()
    )


def test_no_edge_shows_as_no_contrast() -> None:
    _left, _right, likelihood = wavy_weld(8.3, 0.2, 0.0)
    washed_out = slice(S_MM.size // 3, 2 * S_MM.size // 3)
    likelihood[: ACROSS_MM.size // 2, washed_out] = 0.55
    contrast = traced(likelihood, 8.3).left.contrast
    assert contrast[washed_out][30:-30].max() < 0.35
    assert np.median(np.delete(contrast, np.r_[washed_out])) > 0.9


def test_a_speck_of_likelihood_beside_the_weld_does_not_draw_the_toe_to_it() -> None:
    left, _, likelihood = wavy_weld(8.3, 0.15, 0.2)
    speck = (np.abs(ACROSS_MM[:, None] - (left[None, :] - 2.2)) < 0.5) & (np.abs(S_MM - 40.0) < 0.8)
    likelihood = np.maximum(likelihood, gaussian_filter(speck.astype(np.float32), 0.8))
    assert_allclose(traced(likelihood, 8.3).left.across_mm[SETTLED], left[SETTLED], atol=0.1)


@pytest.mark.parametrize("missing", ["left", "right"])
def test_each_toe_stays_on_its_own_side(missing: str) -> None:
    _, _, likelihood = wavy_weld(8.3, 0.15, 0.2)
    weld = traced(likelihood, 8.3)
    toe = weld.left if missing == "left" else weld.right
    assert ((toe.across_mm < 0.7) == (missing == "left")).all()
