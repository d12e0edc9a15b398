"""Edges of a slit at known fractions of a pixel, in maps drawn by the error function."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import erf

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.fit_up.edges import slit_edges

PX_PER_MM = 12.0
AXIS = Axis(origin_mm=(3.0, 7.0), direction=(1.0, 0.0), across=(0.0, 1.0))


def coded(light):
    """sRGB code values of linear light (IEC 61966-2-1)."""
    code = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(255.0 * np.clip(code, 0.0, 1.0)).astype(np.uint8)


def a_map(left, right, *, blur_mm=0.1, dark=0.012, filled=None, noise=0.0):
    """Map whose slit runs from left to right, (C,) mm each, between bevels that darken inwards."""
    s = np.arange(left.size) / PX_PER_MM
    across = np.arange(-144, 145) / PX_PER_MM
    step = [
        0.5 * (1.0 + erf(sign * (across[:, None] - edge) / (np.sqrt(2.0) * blur_mm)))
        for sign, edge in ((1.0, left), (-1.0, right))
    ]
    inside = step[0] * step[1]
    bevel = 0.08 + 0.012 * np.minimum(np.abs(across), 8.0)[:, None]
    light = dark * inside + bevel * (1.0 - inside)
    if filled is not None:
        light = np.where((s >= filled[0]) & (s <= filled[1]), 0.12, light)
    light = light + noise * np.random.default_rng(5).normal(size=light.shape)
    return BeadMap(
        bgr=np.repeat(coded(light)[:, :, None], 3, axis=2),
        seen=np.ones(light.shape, dtype=bool),
        s_mm=s,
        across_mm=across,
        px_per_mm=PX_PER_MM,
        axis=AXIS,
    )


@pytest.mark.parametrize("shift", [0.0, 0.02, 0.05])
def test_edges_lie_where_they_were_drawn(shift):
    s = np.arange(600) / PX_PER_MM
    left, right = -1.6 + shift + 0.004 * s, 1.1 + shift - 0.006 * s
    found = slit_edges(a_map(left, right, noise=0.002), blur_mm=0.1)
    assert found.clear.all()
    at = [np.interp(found.s_mm, s, edge) for edge in (left, right)]
    # A bevel that darkens towards the slit draws its half level outwards a little.
    assert_allclose(found.left_mm, at[0], atol=0.06)
    assert_allclose(found.right_mm, at[1], atol=0.06)
    assert abs(np.mean(found.right_mm - found.left_mm - at[1] + at[0])) < 0.04
    assert (np.abs(found.left_mm - at[0]) <= 2.0 * found.u_left_mm).mean() > 0.95


def test_metal_between_the_edges_shows_as_a_filled_stretch():
    left, right = np.full(720, -1.2), np.full(720, 1.3)
    found = slit_edges(a_map(left, right, filled=(20.0, 33.0)), blur_mm=0.1)
    inside = (found.s_mm > 21.0) & (found.s_mm < 32.0)
    outside = (found.s_mm < 19.0) | (found.s_mm > 34.0)
    assert (found.filled[inside] > 0.6).all()
    assert (np.abs(found.filled[outside]) < 0.2).all()


def test_a_face_without_a_slit_has_no_clear_edges():
    left = right = np.zeros(600)
    found = slit_edges(a_map(left, right, noise=0.002), blur_mm=0.1)
    assert found.clear.mean() < 0.2
