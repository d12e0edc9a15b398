"""The picture laid level along a weld's own line: there and back, and which way it runs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.coupon import Shape
from beadcheck.surface import UnscaledSurface, unscaled_surface

WIDTH_PX = 96.0
REACH_PX = 2500.0
MIDDLE_PX = np.array([1710.0, 1290.0])


def arc(*, turn_deg: float, radius_px: float = 2600.0, half_deg: float = 17.0) -> np.ndarray:
    """Points of a circular arc, turned about a place off the picture's middle."""
    angle = np.radians(np.linspace(-half_deg, half_deg, 400))
    flat = radius_px * np.stack([np.sin(angle), np.cos(angle) - math.cos(0.06)], axis=1)
    turn = math.radians(turn_deg)
    cosine, sine = math.cos(turn), math.sin(turn)
    return MIDDLE_PX + flat @ np.array([[cosine, sine], [-sine, cosine]])


def laid(points_px: np.ndarray) -> UnscaledSurface:
    return unscaled_surface(points_px, np.ones(len(points_px)), WIDTH_PX, REACH_PX)


@settings(max_examples=40, deadline=None)
@given(
    turn_deg=st.floats(-180.0, 180.0),
    s=st.floats(-20.0, 150.0),
    across=st.floats(-9.0, 9.0),
)
def test_a_place_beside_a_curved_line_comes_back(turn_deg: float, s: float, across: float) -> None:
    surface = laid(arc(turn_deg=turn_deg))
    there_px = surface.to_px(np.array([[s, across]]))
    # Pieces of the line are a pixel long, and a unit is 12 px: on this bend a place a width beside
    # the line is told to a fiftieth of a pixel.
    assert_allclose(surface.to_mm(there_px), [[s, across]], atol=0.02)


def test_a_unit_is_an_eighth_of_the_width_and_lengths_are_the_pictures_own() -> None:
    points_px = arc(turn_deg=-31.0)
    surface = laid(points_px)
    assert surface.px_per_unit == WIDTH_PX / 8.0
    along = surface.to_mm(points_px)
    length_px = np.hypot(*np.diff(points_px, axis=0).T).sum()
    assert np.ptp(along[:, 0]) * surface.px_per_unit == pytest.approx(length_px, rel=0.002)
    # The line is stiff: at the ends of this bend it lies off the weld's middle by less than a
    # quarter of the width, and so nearly square that a width is told to one per cent.
    assert np.abs(along[:, 1]).max() < 2.0
    slope = np.diff(along[:, 1]) / np.diff(along[:, 0])
    assert np.hypot(1.0, slope).max() < 1.01
    across_px = np.hypot(*np.diff(surface.to_px(np.array([[40.0, -4.0], [40.0, 4.0]])), axis=0)[0])
    assert across_px == pytest.approx(WIDTH_PX, rel=1e-6)


@pytest.mark.parametrize("turn_deg", [-170.0, -100.0, -44.0, 0.0, 44.0, 80.0, 137.0])
def test_the_line_runs_to_the_right_or_down_where_it_is_steeper(turn_deg: float) -> None:
    surface = laid(arc(turn_deg=turn_deg, half_deg=9.0))
    ahead = np.diff(surface.to_px(np.array([[20.0, 0.0], [60.0, 0.0]])), axis=0)[0]
    assert ahead[np.abs(ahead).argmax()] > 0.0
    right = np.diff(surface.to_px(np.array([[40.0, 0.0], [40.0, 1.0]])), axis=0)[0]
    # Facing growing s in a picture whose y runs down, right is a quarter turn clockwise.
    assert ahead[0] * right[1] - ahead[1] * right[0] > 0.0


def test_past_its_ends_the_line_runs_on_straight() -> None:
    points_px = arc(turn_deg=23.0)
    surface = laid(points_px)
    last = surface.to_mm(points_px)[:, 0].max()
    ahead = surface.to_px(np.stack([last + np.arange(2.0, 150.0, 4.0), np.zeros(37)], axis=1))
    steps = np.diff(ahead, axis=0)
    directions = np.degrees(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
    assert np.ptp(directions) < 0.2
    assert_allclose(np.hypot(*steps.T), 4.0 * surface.px_per_unit, rtol=1e-3)


def test_nothing_is_claimed_that_only_a_target_tells() -> None:
    surface = laid(arc(turn_deg=5.0))
    places = np.array([[3.0, 0.5], [9.0, -2.0]])
    assert surface.shape is Shape.PLATE
    assert math.isnan(surface.tilt_deg)
    assert math.isnan(surface.distance_mm)
    assert np.isnan(surface.clock_deg(places)).all()
    assert surface.distance_components(places, places + 1.0) == ()
    assert surface.target_outline_mm() == ()
    assert surface.outside_diameter_mm is None
