"""Valleys between beads side by side, on faces whose truth is drawn here.

The faces are lit from one side: brightness follows the slope of round beads, with ripples bowed as
a pool leaves them. Nothing of the renderer or of the weights' own training data is used.
"""

from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.measurements.groove_overlap import groove_overlap_quantities
from beadcheck.measurements.layer import Layer, NoLayer, find_layer
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.toes import Toes, ToeUncertainty
from beadcheck.units import Unit

PX_PER_MM = 12.0
LENGTH_MM = 70.0


class SquareOn:
    """A plate seen from straight above, 250 mm away, at the middle of the weld."""

    def seen_at_deg(self, points_mm):
        return 90.0 - np.degrees(np.arctan(np.hypot(*(points_mm - [35.0, 0.0]).T) / 250.0))


def edges_mm(widths_mm, s_mm):
    """Edges of beads side by side, each wandering a little."""
    at = np.concatenate([[0.0], np.cumsum(widths_mm)]) - 0.5 * np.sum(widths_mm)
    wander = [0.25 * np.sin(s_mm / (6.0 + k) + 1.7 * k) for k in range(at.size)]
    return np.array([place + bend for place, bend in zip(at, wander, strict=True)])


def face(widths_mm, seed=5):
    """Return a map of a lit weld face, and its toes and edges."""
    generator = np.random.default_rng(seed)
    s_mm = np.arange(0.0, LENGTH_MM, 1.0 / PX_PER_MM)
    reach = 0.5 * sum(widths_mm) + 3.0
    across_mm = np.arange(-reach, reach, 1.0 / PX_PER_MM)
    edges = edges_mm(widths_mm, s_mm)
    light = np.full((across_mm.size, s_mm.size), 0.30)
    for k, (low, high) in enumerate(pairwise(edges)):
        u = 2.0 * (across_mm[:, None] - low) / (high - low) - 1.0
        inside = np.abs(u) < 1.0
        bow = 0.45 * (high - low) * (1.0 - np.sqrt(np.clip(1.0 - 0.9 * u**2, 0.0, 1.0)))
        phase = 2.0 * np.pi * ((s_mm + bow) / 1.7 + 0.37 * k)
        slope = u * np.abs(u) ** 0.3
        shade = 0.28 + 0.13 * slope + 0.05 * np.sqrt(np.clip(1.0 - u**2, 0.0, 1.0)) * np.sin(phase)
        light = np.where(inside, shade, light)
    light = np.clip(light + 0.012 * generator.standard_normal(light.shape), 0.02, 1.0)
    grey = (255.0 * light ** (1.0 / 2.2)).astype(np.uint8)
    bead = BeadMap(
        bgr=np.repeat(grey[..., None], 3, axis=2),
        seen=np.ones(grey.shape, dtype=bool),
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=PX_PER_MM,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )
    at = np.arange(4.0, LENGTH_MM - 4.0)
    there = edges_mm(widths_mm, at)
    return SimpleNamespace(bead=bead, toes=toes_at(at, there[0], there[-1]), edges=there, s_mm=at)


def toes_at(s_mm, low, high):
    left, right = (np.stack([s_mm, toe], axis=1) for toe in (low, high))
    some, none = np.full(s_mm.size, 0.05), np.zeros(s_mm.size)
    return Toes(
        s_mm=s_mm,
        left_mm=left,
        right_mm=right,
        left_px=left * PX_PER_MM,
        right_px=right * PX_PER_MM,
        u_left_mm=some,
        u_right_mm=some,
        hand_u_left_mm=none,
        hand_u_right_mm=none,
        sure=np.ones(s_mm.size, dtype=bool),
        steady=np.ones(s_mm.size, dtype=bool),
        correlation_mm=2.0,
        shared=ToeUncertainty(tone_curve_mm=0.012, definition_mm=0.053, finder_width_mm=0.05),
    )


def found(drawn, entered=None):
    return find_layer(drawn.bead, SquareOn(), drawn.toes, entered=entered)


@pytest.mark.parametrize("widths_mm", [(5.2, 6.1, 4.7), (4.6, 5.3, 4.9, 5.6)])
def test_beads_are_counted_and_each_mean_width_is_within_its_uncertainty(widths_mm):
    drawn = face(widths_mm)
    layer = found(drawn)
    assert isinstance(layer, Layer)
    assert (layer.seen_count, len(layer.beads)) == (len(widths_mm), len(widths_mm))
    true_mm = np.diff(drawn.edges, axis=0)
    for bead, true in zip(layer.beads, true_mm, strict=True):
        mean = bead.quantities[0]
        assert abs(mean.value - true.mean()) <= mean.expanded_uncertainty < 0.6
        assert abs(mean.value - true.mean()) < 0.4
        within = np.abs(bead.width_mm - true) <= 2.0 * bead.u_mm
        assert within[bead.used].mean() >= 0.9


def test_a_single_bead_is_not_split():
    for seed, width_mm in ((1, 9.0), (2, 13.0), (3, 16.0)):
        assert found(face((width_mm,), seed=seed)) is None


def test_two_beads_are_told_only_when_they_were_entered():
    drawn = face((6.2, 5.4))
    assert found(drawn) is None
    layer = found(drawn, entered=2)
    assert isinstance(layer, Layer)
    widths = [bead.quantities[0].value for bead in layer.beads]
    np.testing.assert_allclose(widths, np.diff(drawn.edges, axis=0).mean(axis=1), atol=0.4)


def test_one_bead_entered_leaves_nothing_to_tell():
    assert found(face((5.2, 6.1, 4.7)), entered=1) is None


def test_beads_that_cannot_be_seen_are_not_measured_and_the_reason_says_which():
    answer = found(face((16.0,)), entered=3)
    assert isinstance(answer, NoLayer)
    assert "3 beads side by side were entered" in answer.reason
    assert "cannot be seen" in answer.reason
    assert "light" in answer.how_to


def test_the_overlap_is_half_of_what_the_cap_is_wider_and_so_is_its_uncertainty():
    """Both sides together are W - G, so their mean is exact whichever way the cap lies."""
    width = Quantity(
        name=QuantityName.WELD_WIDTH,
        statistic=Statistic.MEAN,
        value=16.4,
        unit=Unit.MM,
        count=50,
        budget=(Component(source="toes", standard_uncertainty=0.2, scope=Scope.PHOTO),),
        s_range_mm=(0.0, 50.0),
    )
    (overlap,) = groove_overlap_quantities(width, 12.0)
    assert overlap.value == pytest.approx(2.2)
    # Half of a rectangular half millimetre, and half of the width's own.
    assert overlap.expanded_uncertainty == pytest.approx(np.hypot(0.2, 0.5 / np.sqrt(3.0)))
    assert groove_overlap_quantities(width, None) == ()
