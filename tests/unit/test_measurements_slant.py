"""What an unknown view may have done to spreads, extremes and overlaps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.measurements.slant import overlap_effect, trend_effect
from beadcheck.quantity import Quantity, QuantityName, Scope, Statistic
from beadcheck.units import Unit

PLACES = np.arange(0.0, 71.0)


def seen_along(tilt_deg: float, *, distance: float = 210.0) -> np.ndarray:
    """Widths of an even weld, 8 wide, on a plate tilted along it, as a pinhole camera shows them.

    Written out here: the scale at a place is the focal length over its depth.
    """
    depth = distance + (PLACES - PLACES.mean()) * math.sin(math.radians(tilt_deg))
    return 8.0 * distance / depth


def seen_on_a_pipe(radius: float, *, distance: float = 210.0) -> np.ndarray:
    """The same weld round a pipe: its ends lie deeper than its middle."""
    angle = (PLACES - PLACES.mean()) / radius
    return 8.0 * distance / (distance + radius * (1.0 - np.cos(angle)))


@pytest.mark.parametrize(
    "widths", [seen_along(20.0), seen_along(-35.0), seen_on_a_pipe(60.0), seen_on_a_pipe(110.0)]
)
def test_the_effect_covers_all_that_the_view_does_to_an_even_weld(widths: np.ndarray) -> None:
    mean = float(widths.mean())
    for statistic, value in (
        (Statistic.SD, float(widths.std(ddof=1))),
        (Statistic.MIN, mean - float(widths.min())),
        (Statistic.MAX, float(widths.max()) - mean),
    ):
        effect = trend_effect(PLACES, widths, statistic)
        assert effect.scope is Scope.PHOTO
        # The weld itself is even: all of the value is the view's.
        assert 2.0 * effect.standard_uncertainty >= value
        assert 2.0 * effect.standard_uncertainty <= 1.3 * value


@given(seed=st.integers(0, 10_000))
def test_unevenness_without_a_trend_costs_little(seed: int) -> None:
    widths = 8.0 + np.random.default_rng(seed).normal(0.0, 0.3, PLACES.size)
    effect = trend_effect(PLACES, widths, Statistic.SD)
    # A parabola through N chance readings takes two parts in N of their variance: 0.05 here.
    assert effect.standard_uncertainty < 0.06 * 3.0


def test_too_few_readings_show_no_trend() -> None:
    effect = trend_effect(np.arange(3.0), np.array([7.0, 8.0, 9.0]), Statistic.SD)
    assert effect.standard_uncertainty == 0.0


@pytest.mark.parametrize(("along_deg", "across_deg"), [(30.0, 0.0), (0.0, 30.0), (18.0, 12.0)])
def test_an_overlap_is_covered_whichever_way_the_view_is_slanted(
    along_deg: float, across_deg: float
) -> None:
    ratio = 0.3
    seen = ratio * math.cos(math.radians(along_deg)) / math.cos(math.radians(across_deg))
    overlap = Quantity(
        name=QuantityName.PULSE_OVERLAP,
        statistic=Statistic.MEAN,
        value=1.0 - seen,
        unit=Unit.RATIO,
        count=40,
        budget=(),
        s_range_mm=(0.0, 70.0),
    )
    u = overlap_effect(overlap).standard_uncertainty
    assert abs(seen - ratio) <= 2.0 * u
